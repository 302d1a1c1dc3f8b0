import {
  advance,
  type Control,
  describeStep,
  type Entry,
  type Fact,
  type Pack,
  PHASE,
  type Plan,
  progressOf,
  type Signal,
  startControl,
} from '@ferrule/engine';
import type { ComparedWayStep } from '../document/generated/comparison-document.ts';

/** Where a way is told. */
interface Telling {
  readonly plan: Plan;
  readonly pack: Pack;
}

/** A job that went the way: its facts, and for each signal the place of its fact. */
interface Gone {
  readonly facts: readonly Fact[];
  readonly factOf: readonly number[];
}

interface Visit {
  readonly title: string;
  readonly happens: readonly string[];
  /** Something is out of the ordinary, or changes what is looked at. */
  readonly isTold: boolean;
}

/**
 * A way from the start of a job as numbered steps: what is done as it is written is one line together, and what is out of the
 * ordinary, or changes one of the watched cells, is told in full.
 */
export function tellWay(
  telling: Telling,
  signals: readonly Signal[],
  gone: Gone | undefined,
  watched: readonly number[],
): readonly ComparedWayStep[] {
  const visits = visitsOf(telling, signals, gone, watched);
  const told: ComparedWayStep[] = [];
  for (let from = 0; from < visits.length; ) {
    let until = from;
    while (until < visits.length - 1 && visits[until]?.isTold === false) until++;
    if (until - from > 1) {
      const says = `As it is written, nothing outside its limits: from ${visits[from]?.title ?? ''} to ${visits[until - 1]?.title ?? ''}.`;
      told.push({ from: from + 1, until, says, happens: [] });
      from = until;
    }
    const visit = visits[from];
    if (visit !== undefined)
      told.push({ from: from + 1, until: from + 1, says: visit.title, happens: [...visit.happens] });
    from++;
  }
  return told;
}

function visitsOf(
  telling: Telling,
  signals: readonly Signal[],
  gone: Gone | undefined,
  watched: readonly number[],
): readonly Visit[] {
  const { plan } = telling;
  const visits: Visit[] = [];
  let control = startControl(plan);
  for (let from = 0; from < signals.length; ) {
    const before = control;
    const happens: string[] = [];
    let isTold = false;
    do {
      const signal = signals[from];
      if (signal === undefined) break;
      const fact = gone?.facts[gone.factOf[from] ?? -1];
      const after = advance(plan, control, signal);
      const told = tell(plan, control, after, signal, fact);
      happens.push(...told.says);
      isTold ||= told.isOdd;
      control = after;
      from++;
    } while (from < signals.length && control.at === before.at && !isAnew(plan, before.at, control));
    const changes = watched.flatMap((cell) => changeOf(telling, cell, before, control) ?? []);
    visits.push({
      title: nodeTitle(plan, before.at),
      happens: [...happens, ...changes],
      isTold: isTold || changes.length > 0,
    });
  }
  return visits;
}

const isAnew = (plan: Plan, at: number, control: Control): boolean =>
  at < plan.nodes.length && progressOf(plan, control, at) <= PHASE.hazards;

/** The step at which a path is found, by its title. */
export function titleAt(plan: Plan, { node }: { readonly node: string }): string {
  return nodeTitle(
    plan,
    plan.nodes.findIndex(({ path }) => path === node),
  );
}

/** A node by its title, with its bore where that does not say it. */
export function nodeTitle(plan: Plan, at: number): string {
  const node = plan.nodes[at];
  if (node === undefined) return 'the end';
  const title = describeStep(plan, node).title.replace(/\.$/, '');
  const bore =
    node.bore === undefined || new RegExp(`\\b${node.bore}\\b`).test(title) ? '' : ` (bore ${node.bore})`;
  return `"${title}"${bore}`;
}

function tell(
  plan: Plan,
  before: Control,
  after: Control,
  signal: Signal,
  fact: Fact | undefined,
): { readonly says: readonly string[]; readonly isOdd: boolean } {
  const plain = (...says: string[]) => ({ says, isOdd: false });
  const odd = (...says: string[]) => ({ says, isOdd: true });
  const body = fact?.fact;
  switch (signal.signal) {
    case 'recorded':
      return body?.kind === 'reading'
        ? plain(`${entryTitle(plan.entries[signal.entry])}: ${body.typed}`)
        : plain();
    case 'observed': {
      const entry = plan.entries[signal.entry];
      const answer = entry?.entry === 'observation' ? entry.answers[signal.answer] : undefined;
      const says = `${entryTitle(entry)}: ${answer?.text ?? 'answered'}`;
      return answer?.conforming === false ? odd(says) : plain(says);
    }
    case 'judged': {
      const verdict = body?.kind === 'judged' ? body.verdict : undefined;
      // Of what was looked at there is an answer, and there are no limits.
      const limits = verdict?.limits === undefined ? '' : `, limits ${verdict.limits}`;
      const value = verdict?.value === undefined ? '' : ` (${verdict.value}${limits})`;
      const hold = after.hold === before.hold ? undefined : plan.holds[after.hold];
      const follows = hold === undefined ? [] : [`on hold: ${hold.text}`];
      const says = [`${outcomes[signal.outcome]}${value}`, ...follows];
      return signal.outcome === 'conforming' ? plain(...says) : odd(...says);
    }
    case 'released': {
      const release = plan.holds[before.hold]?.releases[signal.release];
      return odd(
        `the hold is released by ${release?.by ?? 'somebody'}${release?.role === undefined ? '' : ` of the ${release.role.replaceAll('-', ' ')}`}`,
      );
    }
    case 'omitted':
      return odd('left out, as not applicable');
    case 'struck':
      return odd(`the entry "${entryTitle(plan.entries[signal.entry])}" is struck as a mistake`);
    case 'undone':
      return odd(`${nodeTitle(plan, signal.node)} is struck: it was not done after all`);
    case 'parked':
      return odd('the job is left for later');
    case 'resumed':
      return odd('the job is taken up again');
    case 'closed':
      return odd(signal.finished ? 'the job is closed' : 'the job is closed as unfinished');
    default:
      return plain();
  }
}

const outcomes = {
  conforming: 'conforming',
  nonconforming: 'nonconforming',
  inconclusive: 'inconclusive',
  high: 'too high',
  low: 'too low',
} as const;

const entryTitle = (entry: Entry | undefined): string =>
  entry === undefined ? 'an entry' : entry.title.replace(/[:.]$/, '');

/** `Timing pin in the flywheel: withdrawn → fitted`. */
function changeOf(
  { plan, pack }: Telling,
  index: number,
  before: Control,
  after: Control,
): string | undefined {
  const cell = plan.cells[index];
  const was = before.bytes[index] ?? 0;
  const is = after.bytes[index] ?? 0;
  if (was === is || cell === undefined || cell.cell === 'counter') return undefined;
  const word = (value: number): string => (cell.values[value] ?? '?').replaceAll('-', ' ');
  const bore = /@(\d+)$/.exec(cell.name)?.[1];
  const title =
    cell.cell === 'state'
      ? (pack.states?.[cell.state]?.title ?? cell.state)
      : cell.cell === 'crank'
        ? 'Crankshaft'
        : cell.name;
  return `${title}${bore === undefined ? '' : ` of bore ${bore}`}: ${word(was)} → ${word(is)}`;
}
