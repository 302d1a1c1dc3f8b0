import {
  type Details,
  type DiagnosticCode,
  ENTRY,
  type Entry,
  entryValues,
  type Plan,
  type PlanNode,
  type PlanRelease,
  pointerTo,
  type Remedy,
  type Report,
  reliedOn,
  type Test,
} from '@ferrule/engine';
import type { Crowd, Refutation } from '@ferrule/engine/proof';
import { sameFault } from './counterexample.ts';
import type { Proof } from './proof.ts';

/** One fault of the pack, with where it shows up. */
interface Fault {
  readonly refutation: Refutation;
  readonly proof: Proof;
  readonly plan: Plan | undefined;
  readonly variants: Set<string>;
  /** What differs between the places where it shows up: paths of steps, or the names of what ends wrong. */
  readonly places: Set<string>;
}

/**
 * Reports what the explorations refuted, each fault once, with the variants and the number of places that it shows up in,
 * and where one was cut short. The ways there are in the explorations.
 */
export function reportProofs(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  const faults = new Map<string, Fault>();
  for (const [number, proof] of proofs.entries()) {
    const plan = plans[number];
    const { procedure, variant, exploration } = proof;
    for (const refutation of exploration.refutations) {
      const key = `${procedure} ${sameFault(refutation)}`;
      const known = faults.get(key) ?? { refutation, proof, plan, variants: new Set(), places: new Set() };
      known.variants.add(variant);
      known.places.add(placeNamed(refutation));
      faults.set(key, known);
    }
    if (exploration.cutShort) {
      const message = `The proof of ${procedure} for ${variant} was cut short after ${exploration.states} states.`;
      const at = pointerTo('/procedures', procedure);
      report.add('unfinished-proof', at, message, crowdDetails(exploration.crowd));
    } else if (!exploration.reachesEnd && exploration.refutations.length === 0) {
      report.add(
        'dead-end',
        pointerTo('/procedures', procedure),
        `No way through ${procedure} for ${variant} reaches its end.`,
        {
          remedy:
            'Every way leads into a hold that nothing releases, or round in a rework. Give one of them a way on.',
        },
      );
    }
  }
  for (const { refutation, proof, plan, variants, places } of faults.values()) {
    const more = places.size - 1;
    const others = more === 0 ? '' : `, and so at ${more} other ${more === 1 ? 'place' : 'places'}`;
    const where = ` (${[...variants].join(', ')}${others})`;
    report.add(
      codeOf(refutation),
      placeOf(refutation),
      messageOf(refutation, proof.procedure, plan) + where,
      {
        ...otherOf(refutation, plan),
        ...remedyOf(refutation, plan),
      },
    );
  }
}

/** Where a refutation was met, so that it can be told from another one of the same fault. */
const placeNamed = (refutation: Refutation): string =>
  refutation.property === 'ends' ? refutation.guard.because.says : refutation.node;

/** Names that a message lists; the rest is counted. */
const MOST_NAMES = 8;

/** Where the states of a proof gather, what multiplies them, and what an author can do about it. */
function crowdDetails(crowd: Crowd | undefined): Details {
  if (crowd === undefined) return {};
  const { node, pointer, states, live } = crowd;
  const more = live.length > MOST_NAMES ? ` and ${live.length - MOST_NAMES} more` : '';
  const names = live.slice(0, MOST_NAMES).join(', ') + more;
  const apart = live.length === 0 ? '' : `, told apart by ${names}, which something later still reads`;
  return {
    remedy: `${states} of them stand ${node === undefined ? 'at the end' : `at ${node}`}${apart}. Read these sooner, take an answer out, or split the procedure there.`,
    other: [{ pointer, message: 'where most of the states are' }],
  };
}

/** The place that lays down what does not hold, where that is another than the place of the fault. */
function otherOf(refutation: Refutation, plan: Plan | undefined): Pick<Details, 'other'> {
  switch (refutation.property) {
    case 'law':
      return refutation.guard.pointer === refutation.pointer
        ? {}
        : { other: [{ pointer: refutation.guard.pointer, message: 'where it is laid down' }] };
    case 'judged': {
      const entry = plan?.entries.find((one) => one.name === refutation.entry);
      return entry === undefined || entry.pointer === refutation.pointer
        ? {}
        : { other: [{ pointer: entry.pointer, message: 'the reading' }] };
    }
    default:
      return {};
  }
}

/** What an author can do about it. */
function remedyOf(refutation: Refutation, plan: Plan | undefined): { readonly remedy?: string } {
  const isStruck = refutation.trace.some((one) => one.signal.signal === 'struck');
  switch (refutation.property) {
    case 'law':
      return {
        remedy: isStruck
          ? 'An entry was struck on that way, and its way back leads on in other states. Say in requires of its first step when it may be begun, or undo more in it.'
          : 'Follow the way there: a step on it leaves out a change, stands too early or too late, or a rework does not undo what it should.',
      };
    case 'goes-on':
      return {
        remedy:
          waitsFor(refutation, plan) === ''
            ? 'Follow the way there: no case fits what was answered on it, or nothing releases the hold that it leads to.'
            : 'Take it in a step before this one, on every way that leads here, and behind whatever disturbs it.',
      };
    case 'one-case':
      return { remedy: 'Make exactly one case true for each value, or add otherwise.' };
    case 'judged':
      return {
        remedy: `Judge ${refutation.entry} in the step that reads it, or on every way before this place.`,
      };
    case 'ends':
      return endRemedy(refutation, plan);
  }
}

/** How a state stands at the end instead. What else an end asks for says itself what is to do. */
function endRemedy(
  { guard, states }: Extract<Refutation, { property: 'ends' }>,
  plan: Plan | undefined,
): { readonly remedy?: string } {
  const [test] = 'any' in guard.test ? guard.test.any : [guard.test];
  const cell = test !== undefined && 'cell' in test ? plan?.cells[test.cell] : undefined;
  if (cell?.cell === 'part')
    return { remedy: 'Renew what was removed, or compare what was fitted, in a step on that way.' };
  if (cell?.cell === 'entry')
    return { remedy: 'Take it again, and judge it again, behind the step that disturbs it.' };
  const value = cell === undefined ? undefined : states.get(cell.name);
  return value === undefined || cell === undefined
    ? {}
    : {
        remedy: `${cell.name} is ${value} there. Change it in a step on that way, or add ${value} to its ends.`,
      };
}

const placeOf = (refutation: Refutation): string =>
  refutation.property === 'ends' ? refutation.guard.pointer : refutation.pointer;

/** The step or choice that a refutation was met at. */
const nodeOf = ({ node }: { readonly node: string }, plan: Plan | undefined): PlanNode | undefined =>
  plan?.nodes.find((one) => one.path === node);

/** What is not recorded that a place needs, as the end of a sentence; '' where nothing is missing. */
function waitsFor(refutation: Extract<Refutation, { property: 'goes-on' }>, plan: Plan | undefined): string {
  const node = nodeOf(refutation, plan);
  if (plan === undefined || node === undefined) return '';
  const needed = entriesNeeded(node, plan).filter(({ cell }) => {
    const value = refutation.states.get(plan.cells[cell]?.name ?? '');
    return value === entryValues[ENTRY.none] || value === entryValues[ENTRY.stale];
  });
  const [first] = needed;
  if (first === undefined) return '';
  const isStale = refutation.states.get(plan.cells[first.cell]?.name ?? '') === entryValues[ENTRY.stale];
  const names = [...new Set(needed.map(({ name }) => name))].join(' and ');
  return `: ${names} ${needed.length > 1 ? 'are' : 'is'} needed there, and ${isStale ? 'no longer counts' : 'not taken before'}`;
}

/** The entries that a step judges by, or that decide whether or where it goes on. */
function entriesNeeded(node: PlanNode, plan: Plan): readonly Entry[] {
  const numbers: number[] = [];
  if (node.node === 'step') numbers.push(...reliedOn(plan, node.check));
  const decisions = [node.onlyIf, ...(node.node === 'choose' ? node.cases.map((one) => one.when) : [])];
  const cells = decisions.flatMap((one) => (one?.by === 'test' ? (one.needs ?? []) : []));
  for (const one of decisions)
    if (one?.by === 'condition') numbers.push(...(plan.conditions[one.condition]?.entries ?? []));
  return [
    ...numbers.flatMap((number) => plan.entries[number] ?? []),
    ...plan.entries.filter(({ cell }) => cells.includes(cell)),
  ];
}

/** What was answered, and how the states stand, that the cases of a choice ask for. */
function answersAt(
  refutation: Extract<Refutation, { property: 'one-case' }>,
  plan: Plan | undefined,
): string {
  const node = nodeOf(refutation, plan);
  if (plan === undefined || node?.node !== 'choose') return 'a value';
  const cells = new Set(node.cases.flatMap(({ when }) => (when.by === 'test' ? cellsIn(when.test) : [])));
  const said = [...cells].flatMap((cell) => {
    const name = plan.cells[cell]?.name ?? '';
    const value = refutation.states.get(name);
    return value === undefined ? [] : [`${name}: ${value}`];
  });
  return said.length === 0 ? 'readings' : said.join(', ');
}

/** Every cell that a test reads. */
function cellsIn(test: Test): readonly number[] {
  if ('cell' in test) return [test.cell];
  if ('not' in test) return cellsIn(test.not);
  return ('all' in test ? test.all : test.any).flatMap(cellsIn);
}

const codeOf = (refutation: Refutation): DiagnosticCode => codeOfProperty[refutation.property];

/** The diagnostic that each property of the proof comes to. */
export const codeOfProperty = {
  law: 'law-broken',
  'goes-on': 'dead-end',
  'one-case': 'dead-end',
  judged: 'relied-unjudged',
  ends: 'wrong-end',
} as const satisfies Readonly<Record<Refutation['property'], DiagnosticCode>>;

function messageOf(refutation: Refutation, procedure: string, plan: Plan | undefined): string {
  switch (refutation.property) {
    case 'law':
      return `${refutation.node} can be reached in ${procedure} when it must not be done: ${refutation.guard.because.says}`;
    case 'goes-on':
      return `${refutation.node} can be reached in ${procedure}, and nothing carries the job on from there${waitsFor(refutation, plan)}.`;
    case 'one-case': {
      const { areTrue, node } = refutation;
      return areTrue.length === 0
        ? `${node} can be reached in ${procedure} with ${answersAt(refutation, plan)}, for which no case is true.`
        : `${node} can be reached in ${procedure} with ${answersAt(refutation, plan)}, for which ${areTrue.length} cases are true at once: ${areTrue.join('; ')}.`;
    }
    case 'judged':
      return refutation.atEnd
        ? `The end of ${procedure} can be reached before ${refutation.entry} was held against its limits.`
        : `${refutation.node} can be reached in ${procedure}, and relies on ${refutation.entry} before that was held against its limits.`;
    case 'ends':
      return `The end of ${procedure} can be reached in the wrong state: ${refutation.guard.because.says}`;
  }
}

/** Reports where a procedure says how it may be left, and no way ever allows it. */
export function reportParking(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  plans.forEach(({ parking, procedure, variant }, number) => {
    const exploration = proofs[number]?.exploration;
    if (parking === undefined || exploration === undefined || exploration.canPark) return;
    if (exploration.cutShort || exploration.refutations.length > 0) return;
    report.add(
      'never-parked',
      parking.guard.pointer,
      `Nowhere in ${procedure.id} for ${variant.id} are the states so that the job could be left: ${parking.guard.because.says}`,
      { remedy: 'Name states that hold together somewhere on the way, or leave parking out.' },
    );
  });
}

/**
 * Reports steps that no way reaches in any variant. What only a strike leads to is not explored, and left out. A fault on
 * the way hides what lies behind it; what was come past and always passed over is told all the same.
 */
export function reportUnreached(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  const reached = new Set<string>();
  const unreached = new Map<string, { readonly path: string; readonly isPassed: boolean }>();
  plans.forEach((plan, number) => {
    const exploration = proofs[number]?.exploration;
    if (exploration === undefined || exploration.cutShort) {
      for (const node of plan.nodes) reached.add(node.pointer);
      return;
    }
    const isHidden = exploration.refutations.length > 0;
    const missed = new Set(exploration.unreached);
    const onlyStruck = struckNodes(plan);
    for (const node of plan.nodes) {
      if (node.node !== 'step') continue;
      const isPassed = node.onlyIf !== undefined && isPassedOver(node, plan, missed, exploration.reachesEnd);
      if (!missed.has(node.path)) reached.add(node.pointer);
      else if (isHidden && !isPassed) continue;
      else if (!onlyStruck.has(node.index)) unreached.set(node.pointer, { path: node.path, isPassed });
    }
  });
  for (const [pointer, { path, isPassed }] of unreached) {
    if (reached.has(pointer)) continue;
    report.add(
      'unreachable',
      pointer,
      isPassed
        ? `${path} is passed over on every way: its only-if is never true there.`
        : `No way leads to ${path}, in any variant.`,
      {
        severity: 'warning',
        remedy: isPassed
          ? 'Correct the state, the value or the answer under only-if, or take the step out.'
          : 'Correct the condition, the case or the remedy that should lead to it, or take it out.',
      },
    );
  }
}

/** Whether ways led on past a step: something that is done only after it was reached. */
function isPassedOver(node: PlanNode, plan: Plan, missed: ReadonlySet<string>, reachesEnd: boolean): boolean {
  for (let at: PlanNode | undefined = node; at !== undefined; at = plan.nodes[at.parent]) {
    const next = plan.nodes[at.next];
    if (next !== undefined) return isComeTo(next, plan, missed);
    const around = plan.nodes[at.parent];
    // What follows a rework is not what stands behind it.
    if (around?.node === 'step' || around?.node === 'hold') return false;
  }
  return reachesEnd;
}

function isComeTo(node: PlanNode, plan: Plan, missed: ReadonlySet<string>): boolean {
  for (let index = node.index; index < node.end; index++) {
    const inside = plan.nodes[index];
    if (inside?.node === 'step' && !missed.has(inside.path)) return true;
  }
  return false;
}

/** Nodes that only a struck entry leads to. */
function struckNodes(plan: Plan): ReadonlySet<number> {
  const found = new Set<number>();
  const body = (index: number): void => {
    for (let node = index; node < (plan.nodes[index]?.end ?? index); node++) found.add(node);
  };
  const hold = (index: number): void => {
    for (const release of plan.holds[index]?.releases ?? []) releaseBody(release);
  };
  const releaseBody = (release: PlanRelease): void => {
    if (release.by === 'rework') body(release.body);
  };
  const remedy = (one: Remedy): void => {
    if (one.remedy === 'hold') return hold(one.hold);
    body(one.body);
    hold(one.exhausted);
  };
  for (const node of plan.nodes) if (node.node === 'step' && node.struck !== undefined) remedy(node.struck);
  return found;
}
