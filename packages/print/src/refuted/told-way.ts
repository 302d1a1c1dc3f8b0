import {
  advance,
  type Control,
  ENTRY,
  type Entry,
  type Fact,
  type Job,
  type Pack,
  PHASE,
  type Plan,
  type PlanNode,
  progressOf,
  type Signal,
  startControl,
  type WrittenVerdict,
  waysOn,
} from '@ferrule/engine';
import { derivationOf } from '../telling/derivation.ts';
import { partWords } from '../telling/part-words.ts';
import { readingText } from '../telling/reading-text.ts';
import { shorten } from '../telling/shorten.ts';
import type { Telling } from '../telling/telling.ts';
import { answerText, entryTitle, nameOf, partOf, roleTitle, stepTitle } from '../telling/titles.ts';

/** A way to what a proof refutes, with the job that was driven along it, or why none goes it. */
export interface DrivenWay {
  readonly signals: readonly Signal[];
  /** Undefined where no job was driven along it. */
  readonly replayed?: DrivenJob | NotDriven | undefined;
}

interface DrivenJob {
  readonly job: Job;
  readonly facts: readonly Fact[];
  /** For each signal of the way, the place of the fact that it comes from. */
  readonly factOf: readonly number[];
  readonly failed?: undefined;
}

interface NotDriven {
  readonly failed: {
    /** How many signals came about, or would have. */
    readonly after: number;
    readonly why: string;
    readonly because: 'no-values' | 'values-not-found' | 'no-part' | 'refused' | 'otherwise';
  };
}

/** One visit of a job to a place of its plan: what happens there, and what is otherwise afterwards. */
export interface Visit {
  readonly node: PlanNode | undefined;
  readonly title: string;
  readonly happens: readonly string[];
  /** `Pump of bore 3: seated → clamped`. */
  readonly changes: readonly string[];
  /** Cells whose value is another one afterwards. */
  readonly changed: readonly number[];
  /**
   * `plain`: the work as it is written, nothing outside its limits. `choice`: it could as well go on otherwise, by an answer
   * or because a step is left out. `turn`: something goes wrong, or is put right.
   */
  readonly course: Course;
  /** How many signals of the way have come about when it is over. */
  readonly until: number;
}

export type Course = 'plain' | 'choice' | 'turn';

export interface ToldWay {
  readonly visits: readonly Visit[];
  /** Where the job stands after the way. */
  readonly last: Control;
}

/** A way through a plan as visits in words, with the readings of the job that was driven along it. */
export function tellWay(plan: Plan, pack: Pack, { signals, replayed }: DrivenWay): ToldWay {
  const job = replayed?.failed === undefined ? replayed : undefined;
  const visits: Visit[] = [];
  let control = startControl(plan);
  for (let from = 0; from < signals.length; ) {
    const before = control;
    const happens: string[] = [];
    let course: Course = 'plain';
    let next = from;
    do {
      const signal = signals[next];
      if (signal === undefined || !waysAhead(plan, control, signal)) break;
      const fact = job === undefined ? undefined : job.facts[job.factOf[next] ?? -1];
      const after = advance(plan, control, signal);
      const told = tell({ plan, pack, facts: job?.facts ?? [] }, control, after, signal, fact);
      happens.push(...told.says);
      if (course !== 'turn' && told.course !== 'plain') course = told.course;
      control = after;
      next++;
    } while (next < signals.length && control.at === before.at && !isAway(plan, before.at, control));
    if (next === from) break;
    const changed = changedCells(plan, before, control);
    visits.push({
      node: plan.nodes[before.at],
      title: placeTitle(plan, before.at),
      happens,
      changes: changed.map((cell) => changeOf(plan, pack, cell, before, control)),
      changed,
      course,
      until: next,
    });
    from = next;
  }
  return { visits, last: control };
}

/** A way whose rounds could not be written out may not be one that `advance` takes to its end. */
const waysAhead = (plan: Plan, control: Control, signal: Signal): boolean =>
  ['struck', 'undone', 'parked', 'resumed', 'closed'].includes(signal.signal) ||
  waysOn(plan, control).some((one) => one.signal === signal.signal);

/** Whether a step is entered anew, after a rework has come back to it. */
const isAway = (plan: Plan, at: number, control: Control): boolean =>
  progressOf(plan, control, at) <= PHASE.hazards;

/** A place of a plan by the first sentence of its title, cut to `most` signs, with its bore where that does not say it. */
export function placeTitle(plan: Plan, at: number, most = 100): string {
  let node = plan.nodes[at];
  if (node === undefined) return 'the end';
  if (node.node === 'choose') return `the choice "${node.id.replaceAll('-', ' ')}"`;
  // A block without a title is known by the first thing that is done in it.
  while (node?.node === 'block' && node.title === undefined && node.first >= 0) node = plan.nodes[node.first];
  const title = stepTitle(plan, node?.path ?? '').replace(/(?<=[^.]{3})[.:] (?=\p{Lu}).*$/su, '');
  const says = node?.bore === undefined || new RegExp(`\\b${node.bore}\\b`).test(title);
  return `"${shorten(title, most)}"${says ? '' : ` (bore ${node?.bore ?? ''})`}`;
}

interface Told {
  readonly says: readonly string[];
  readonly course: Course;
}

function tell(
  telling: Telling,
  before: Control,
  after: Control,
  signal: Signal,
  fact: Fact | undefined,
): Told {
  const { plan } = telling;
  const told =
    (course: Course) =>
    (...says: readonly string[]): Told => ({ says, course });
  const [plain, choice, turn] = [told('plain'), told('choice'), told('turn')];
  const body = fact?.fact;
  switch (signal.signal) {
    case 'acknowledged':
    case 'started':
      return plain();
    case 'done':
      return plain();
    case 'witnessed':
      return plain('witnessed by another person');
    case 'omitted':
      return choice('left out, as not applicable');
    case 'recorded': {
      const entry = plan.entries[signal.entry];
      if (body?.kind === 'reading' || body?.kind === 'carried') {
        const node = plan.nodes[before.at];
        const isOnly = node?.node === 'step' && node.entries.length === 1;
        const value = readingText(body) ?? '';
        return plain(isOnly ? `reads ${value}` : `${titleOf(plan, before, entry)} reads ${value}`);
      }
      if (body?.kind === 'filled') return plain(`${titleOf(plan, before, entry)}: ${body.text}`);
      return plain(`${titleOf(plan, before, entry)} is taken`);
    }
    case 'observed': {
      const entry = plan.entries[signal.entry];
      const answer = entry?.entry === 'observation' ? entry.answers[signal.answer] : undefined;
      const says = `${titleOf(plan, before, entry)} ${answer === undefined ? 'answered' : `"${answerText(plan, entry?.name ?? '', answer.id)}"`}`;
      return answer?.conforming === false
        ? turn(says)
        : entry?.decides.length === 0
          ? plain(says)
          : choice(says);
    }
    case 'identified': {
      const entry = plan.entries[signal.entry];
      const number = body?.kind === 'identified' ? body.identity : 'the number';
      const says = `${titleOf(plan, before, entry)}: ${number}, ${partWords[signal.part]}`;
      return signal.part === 'found' || signal.part === 'own' ? plain(says) : turn(says);
    }
    case 'judged': {
      const says =
        body?.kind === 'judged'
          ? verdictWords(telling, body.of, body.verdict, fact?.seq)
          : outcomeWords[signal.outcome];
      if (signal.outcome === 'conforming') return plain(says);
      return turn(says, ...whatFollows(plan, before, after));
    }
    case 'branched': {
      const says =
        body?.kind === 'branched'
          ? body.decided.map((one) => `decided: ${one.explanation}`)
          : [`decided ${signal.truth.map((one) => (one ? 'yes' : 'no')).join(', ')}`];
      return choice(...says);
    }
    case 'released': {
      const hold = plan.holds[before.hold];
      const way = hold?.releases[signal.release];
      const by = way?.role === undefined ? '' : `, granted by ${roleTitle(plan, way.role)}`;
      return turn(`the hold is released by ${way?.by ?? 'somebody'}${by}`);
    }
    case 'struck':
      return turn(
        `the entry "${titleOf(plan, before, plan.entries[signal.entry])}" is struck as a mistake`,
        ...whatFollows(plan, before, after),
      );
    case 'undone':
      return turn(
        `"${stepTitle(plan, plan.nodes[signal.node]?.path ?? '')}" is struck: it was not done after all`,
        ...whatFollows(plan, before, after),
      );
    case 'parked':
      return turn('the job is left for later');
    case 'resumed':
      return turn('the job is taken up again');
    case 'closed':
      return turn(signal.finished ? 'the job is closed' : 'the job is closed as unfinished');
  }
}

function whatFollows(plan: Plan, before: Control, after: Control): readonly string[] {
  const hold = plan.holds[after.hold];
  if (hold !== undefined && after.hold !== before.hold) return [`on hold: ${hold.text}`];
  if (before.at < plan.nodes.length && progressOf(plan, after, before.at) === PHASE.reworking)
    return ['the rework begins'];
  return after.at < before.at ? [`the job goes back to ${placeTitle(plan, after.at)}`] : [];
}

const outcomeWords = {
  conforming: 'conforming',
  nonconforming: 'nonconforming',
  inconclusive: 'inconclusive',
  high: 'too high',
  low: 'too low',
} as const;

/** `limits 0.010 mm to 0.036 mm: too high by 0.005 mm`, with the value before where it was calculated. */
function verdictWords(
  telling: Telling,
  of: string,
  verdict: WrittenVerdict,
  seq: number | undefined,
): string {
  const tolerance = telling.plan.tolerances.find((one) => one.name === of);
  if (tolerance === undefined) return verdict.verdict;
  const derived = derivationOf(telling, tolerance, seq);
  const value =
    derived === undefined ? '' : `${derived.name} ${verdict.value ?? ''} = ${derived.withValues}; `;
  const word =
    verdict.verdict !== 'nonconforming'
      ? verdict.verdict
      : `too ${verdict.side ?? 'far off'}${verdict.excess === undefined ? '' : ` by ${verdict.excess}`}`;
  return `${value}limits ${tolerance.says}: ${word}`;
}

/** The title of an entry, with its bore where it is another one than that of the step. */
function titleOf(plan: Plan, at: Control, entry: Entry | undefined): string {
  if (entry === undefined) return 'an entry';
  const isHere = entry.bore !== undefined && plan.nodes[at.at]?.bore === entry.bore;
  return isHere ? entry.title.replace(/,? bore \d+$/, '') : entryTitle(plan, entry.name);
}

/** States, parts and the crank that are otherwise, and readings that no longer count. */
function changedCells(plan: Plan, before: Control, after: Control): readonly number[] {
  return plan.cells.flatMap(({ cell, name }, index) => {
    const was = before.bytes[index];
    const is = after.bytes[index];
    if (was === is) return [];
    if (cell === 'entry') return is === ENTRY.stale && isReading(plan, index) ? [index] : [];
    return cell === 'state' || cell === 'crank' || (cell === 'part' && name !== '') ? [index] : [];
  });
}

const isReading = (plan: Plan, index: number): boolean =>
  plan.entries.some((one) => one.cell === index && one.entry === 'reading');

function changeOf(plan: Plan, pack: Pack, index: number, before: Control, after: Control): string {
  const title = cellTitle(plan, pack, index);
  if (plan.cells[index]?.cell === 'entry') return `${title} no longer counts`;
  return `${title}: ${cellValue(plan, index, before.bytes[index] ?? 0)} → ${cellValue(plan, index, after.bytes[index] ?? 0)}`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What a cell stands for, in the words of the pack: `Pump of bore 3`. */
export function cellTitle(plan: Plan, pack: Pack, index: number): string {
  const cell = plan.cells[index];
  if (cell === undefined) return '?';
  const bore = /@(\d+)$/.exec(cell.name)?.[1];
  const place = bore === undefined ? '' : ` of bore ${bore}`;
  switch (cell.cell) {
    case 'crank':
      return 'Crankshaft';
    case 'state': {
      const declared = Object.hasOwn(pack.states ?? {}, cell.state)
        ? pack.states?.[cell.state]?.title
        : undefined;
      return `${declared ?? capital(nameOf(cell.state))}${place}`;
    }
    case 'part': {
      const entry = plan.entries.find((one) => one.entry === 'identity' && one.place === cell.name);
      const declared = Object.hasOwn(pack.parts ?? {}, cell.part)
        ? pack.parts?.[cell.part]?.title
        : undefined;
      const named = entry?.entry === 'identity' ? partOf(entry).part : undefined;
      return `${declared ?? named ?? capital(nameOf(cell.part))}${place}`;
    }
    case 'entry':
      return entryTitle(plan, cell.name);
    case 'truth':
    case 'disturbed':
    case 'counter':
      return nameOf(cell.name);
  }
}

const standingWords: Readonly<Record<string, string>> = {
  unknown: 'number not known',
  found: 'number written down',
  own: 'its own part fitted',
  other: "another bore's part fitted",
  renewed: 'a new part fitted',
  removed: 'taken out',
};

export function cellValue(plan: Plan, index: number, value: number): string {
  const cell = plan.cells[index];
  if (cell === undefined || cell.cell === 'counter') return String(value);
  const word = cell.values[value] ?? '?';
  if (cell.cell === 'part') return standingWords[word] ?? word;
  if (cell.cell === 'crank') return word === 'unknown' ? 'position not known' : word;
  return word.replaceAll('-', ' ');
}
