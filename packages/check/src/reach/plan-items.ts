import type { Entry, Guard, Plan, PlanNode, Remedy, StepNode } from '@ferrule/engine';
import { type CoveredKind, type Mark, markOf, partsOf } from './mark.ts';
import { caseMark, exhaustedMark, parkingPointer, remediesOf, reworkMark } from './marks-of-signal.ts';

/** One thing of a plan that trials can reach, with the words for when none does. */
export interface PlanItem {
  readonly mark: Mark;
  readonly kind: CoveredKind;
  /** Where it is written, RFC 6901. */
  readonly pointer: string;
  /** `no trial lets shift-limits be missed on the low side` */
  readonly unreached: string;
  /** Nodes and the like at which it can be reached: one for each bore. */
  readonly nodes: readonly number[];
}

/** Everything of a plan that trials can reach, each written place once, in the order of the plan. */
export function itemsOfPlan(plan: Plan): ReadonlyMap<Mark, PlanItem> {
  const found = new Map<Mark, PlanItem & { readonly nodes: number[] }>();
  const add = (mark: Mark, unreached: string, node: number): void => {
    const known = found.get(mark);
    if (known !== undefined) {
      if (!known.nodes.includes(node)) known.nodes.push(node);
      return;
    }
    found.set(mark, { mark, ...partsOf(mark), unreached: `no trial ${unreached}`, nodes: [node] });
  };
  for (const node of plan.nodes) {
    for (const [mark, unreached] of branchItems(plan, node)) add(mark, unreached, node.index);
    if (node.node !== 'step') continue;
    for (const [mark, unreached] of stepItems(plan, node)) add(mark, unreached, node.index);
  }
  for (const hold of plan.holds) {
    if (hold.pointer === '') continue;
    add(markOf('hold', hold.pointer), `comes to the hold ${hold.id}`, hold.node);
    for (const [number, release] of hold.releases.entries()) {
      const at = `${hold.pointer}/release/${number}`;
      add(markOf('release', at), `releases ${hold.id} by ${release.by}`, hold.node);
      if (release.by === 'rework')
        add(
          markOf('used-up', `${at}/times`),
          `comes to ${hold.id} again after ${times(release.times)} of rework, when that is no longer offered`,
          hold.node,
        );
    }
  }
  if (plan.parking !== undefined) {
    add(markOf('parking', parkingPointer(plan), 'parked'), 'is parked', 0);
    add(markOf('parking', parkingPointer(plan), 'resumed'), 'is resumed after it was parked', 0);
  }
  return found;
}

type Item = readonly [mark: Mark, unreached: string];

function* branchItems(plan: Plan, node: PlanNode): Generator<Item> {
  if (node.onlyIf !== undefined) {
    const at = `${node.pointer}/only-if`;
    yield [markOf('branch', at, 'true'), `finds the only-if of ${node.id} true, and does it`];
    yield [markOf('branch', at, 'false'), `finds the only-if of ${node.id} false, and passes it over`];
  }
  if (node.node !== 'choose') return;
  for (const [place, one] of node.cases.entries())
    yield [caseMark(plan, node, place), `takes the case ${one.says} of ${node.id}`];
  if (node.otherwise >= 0) yield [caseMark(plan, node, node.cases.length), `takes otherwise of ${node.id}`];
}

function* stepItems(plan: Plan, node: StepNode): Generator<Item> {
  yield [markOf('step', node.pointer), `does ${node.id}`];
  for (const index of node.entries) {
    const entry = plan.entries[index];
    if (entry !== undefined) yield* entryItems(node, entry);
  }
  yield* outcomeItems(plan, node);
  yield* remedyItems(plan, node);
  if (node.struck !== undefined) {
    const what = `strikes what ${node.id} took when it cannot simply be taken again`;
    yield [markOf('strike', `${node.pointer}/if-struck`), what];
    yield* exhaustedItems(plan, node, node.struck);
  }
  if (node.notApplicable !== undefined)
    yield [markOf('omission', `${node.pointer}/not-applicable`), `leaves ${node.id} out as not applicable`];
  for (const guard of [...node.guards, ...node.invariants]) yield* guardItems(node, guard);
}

function* entryItems(node: StepNode, entry: Entry): Generator<Item> {
  if (entry.entry === 'observation') {
    for (const answer of entry.answers) {
      const mark = markOf('answer', `${entry.pointer}/answers`, answer.id);
      yield [mark, `answers ${bareName(entry.name)} with ${answer.id}`];
    }
  }
  if (entry.entry !== 'identity') return;
  const words = { found: 'the', own: "the place's own", other: "another place's", renewed: 'a new' } as const;
  const parts = entry.as === 'found' ? (['found'] as const) : (['own', 'other', 'renewed'] as const);
  for (const part of parts)
    yield [
      markOf('identity', `${node.pointer}/identify`, part),
      `reads the number of ${words[part]} ${entry.part} at ${node.id}`,
    ];
}

function* outcomeItems(plan: Plan, node: StepNode): Generator<Item> {
  const { check } = node;
  const outcome = (which: string, says: string): Item => [markOf('outcome', node.pointer, which), says];
  if (check?.check === 'identity') {
    yield outcome('conforming', `lets ${node.id} conform`);
    yield outcome('nonconforming', `lets ${node.id} be nonconforming`);
  }
  if (check?.check === 'stock') {
    yield outcome('conforming', `finds one that does at ${node.id}`);
    yield outcome('nonconforming', `finds none in stock that does at ${node.id}`);
  }
  if (check?.check !== 'tolerance') return;
  const tolerance = plan.tolerances[check.tolerance];
  if (tolerance === undefined) return;
  const name = bareName(tolerance.name);
  yield outcome('conforming', `lets ${name} be met`);
  for (const side of tolerance.sides) yield outcome(side, `lets ${name} be missed on the ${side} side`);
  if (check.inconclusive !== undefined) yield outcome('inconclusive', `leaves ${name} inconclusive`);
}

/** One for each written rework: which sides it is for is said together, and a side that cannot be missed is not. */
function* remedyItems(plan: Plan, node: StepNode): Generator<Item> {
  const { check } = node;
  const sides = check?.check === 'tolerance' ? plan.tolerances[check.tolerance]?.sides : undefined;
  const isMissable = (outcome: string): boolean =>
    sides === undefined || outcome === 'inconclusive' || sides.some((side) => side === outcome);
  const written = new Map<Mark, { readonly remedy: Rework; readonly after: string[] }>();
  for (const { remedy, after } of remediesOf(node)) {
    const possible = after.filter(isMissable);
    if (remedy.remedy !== 'rework' || possible.length === 0) continue;
    const mark = reworkMark(plan, remedy);
    const one = written.get(mark);
    if (one === undefined) written.set(mark, { remedy, after: possible });
    else one.after.push(...possible);
  }
  for (const [mark, { remedy, after }] of written) {
    if (remedy.attempts > 1)
      yield [mark, `begins the rework of ${node.id} after a result that is ${after.join(' or ')}`];
    yield* exhaustedItems(plan, node, remedy);
  }
}

type Rework = Extract<Remedy, { remedy: 'rework' }>;

function* exhaustedItems(plan: Plan, node: StepNode, remedy: Remedy): Generator<Item> {
  if (remedy.remedy === 'rework')
    yield [exhaustedMark(plan, remedy), `uses up the ${remedy.attempts} attempts of ${node.id}`];
}

function* guardItems(node: StepNode, guard: Guard): Generator<Item> {
  if (guard.because.guard === 'interlock')
    yield [markOf('law', guard.pointer), `is refused by the law ${guard.because.law}`];
  // What a part has to be before it is removed or renewed is no state that a trial could be placed in.
  if (guard.because.guard === 'requirement' && guard.pointer.endsWith('/requires'))
    yield [markOf('requirement', guard.pointer), `is refused for what ${node.id} requires`];
}

/** The name as it is declared: without what was performed around it, and without its place. */
const bareName = (name: string): string => {
  const bare = name.split('@')[0] ?? name;
  return bare.slice(bare.lastIndexOf('.') + 1);
};

const times = (number: number): string => (number === 1 ? 'the one time' : `all ${number} times`);
