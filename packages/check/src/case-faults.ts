import {
  type ChooseNode,
  type Entry,
  type Plan,
  pointerTo,
  type Rational,
  type Remedy,
  type Test,
  type TypedTruth,
  writeQuantity,
} from '@ferrule/engine';
import type { Finding, Subject } from './diagnostics/diagnostic-kind.ts';
import { exclusiveSteps } from './exclusive-steps.ts';
import { variantsAt } from './variants-at.ts';

/** What is wrong with the cases of choices, and with steps side by side that are each for some variants. */
export interface CaseFaults {
  readonly overlapping: readonly Finding[];
  readonly missing: readonly Finding[];
}

const made = new WeakMap<Subject['plans'], CaseFaults>();

/**
 * Looks at each choice of each plan as far as its cases can be compared without a proof: conditions on the variant and
 * on what was given, on answers of one observation, on values of the same states, and on one reading against constants.
 */
export function caseFaults(subject: Subject): CaseFaults {
  const known = made.get(subject.plans);
  if (known !== undefined) return known;
  const overlapping = new Map<string, Finding>();
  const missing = new Map<string, Finding>();
  for (const plan of subject.plans) {
    for (const node of plan.nodes) {
      if (node.node !== 'choose') continue;
      const cases = casesOf(node, plan);
      for (const one of [
        ...settled(cases, node, plan),
        ...byCells(cases, node, plan),
        ...byReading(cases, node, plan),
      ])
        if (!(one.is === 'overlapping' ? overlapping : missing).has(one.finding.pointer))
          (one.is === 'overlapping' ? overlapping : missing).set(one.finding.pointer, one.finding);
    }
  }
  const beside = besideFaults(subject);
  const faults = {
    overlapping: [...overlapping.values(), ...beside.overlapping],
    missing: [...missing.values(), ...beside.missing],
  };
  made.set(subject.plans, faults);
  return faults;
}

interface Case {
  readonly when: ChooseNode['cases'][number]['when'];
  readonly says: string;
  /** Of its condition. */
  readonly pointer: string;
}

interface Fault {
  readonly is: 'overlapping' | 'missing';
  readonly finding: Finding;
}

const casesOf = (node: ChooseNode, plan: Plan): readonly Case[] =>
  node.cases.map(({ when, says, body }) => ({
    when,
    says,
    pointer: pointerTo(plan.nodes[body]?.pointer ?? node.pointer, 'when'),
  }));

const overlap = (first: Case, second: Case, at: string): Fault => ({
  is: 'overlapping',
  finding: {
    pointer: second.pointer,
    message: `At ${at} this case and the one of ${first.says} are both true.`,
    remedy: 'Let exactly one of them be true.',
    other: [{ pointer: first.pointer, message: 'the other case' }],
  },
});

const lack = (node: ChooseNode, what: string): Fault => ({
  is: 'missing',
  finding: {
    pointer: node.pointer,
    message: `No case of ${node.id} is for ${what}, and there is no otherwise.`,
    remedy: 'Add a case, or say under otherwise what is done then.',
  },
});

const isAlways = (one: Case): boolean =>
  one.when.by === 'test' && 'all' in one.when.test && one.when.test.all.length === 0;

/** Cases that the variant, or what was given, has decided already. */
function settled(cases: readonly Case[], node: ChooseNode, plan: Plan): readonly Fault[] {
  const always = cases.filter(isAlways);
  const [first, second] = always;
  if (first !== undefined && second !== undefined) return [overlap(first, second, plan.variant.id)];
  if (cases.length > 0 || node.otherwise >= 0) return [];
  const items = node.path.split('/').flatMap((part) => /(?:^|\.)([^.=]+=.+)$/.exec(part)?.[1] ?? []);
  return [lack(node, [plan.variant.id, ...items].join(', '))];
}

/** Cells and the values of them that a case takes; undefined if it asks for more than that. */
function cellsOf(test: Test): ReadonlyMap<number, readonly number[]> | undefined {
  const found = new Map<number, readonly number[]>();
  const waiting = [test];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if ('all' in next) waiting.push(...next.all);
    else if (!('cell' in next) || found.has(next.cell)) return undefined;
    else found.set(next.cell, next.among);
  }
  return found;
}

function byCells(cases: readonly Case[], node: ChooseNode, plan: Plan): readonly Fault[] {
  const faults: Fault[] = [];
  const maps = cases.map((one) => (one.when.by === 'test' ? cellsOf(one.when.test) : undefined));
  const [first] = maps;
  if (first === undefined || first.size === 0) return [];
  const isAlike = maps.every(
    (map) => map?.size === first.size && [...first.keys()].every((cell) => map.has(cell)),
  );
  if (!isAlike) return [];
  cases.forEach((second, j) => {
    const i = maps.findIndex(
      (map, at) => at < j && [...first.keys()].every((cell) => meets(map?.get(cell), maps[j]?.get(cell))),
    );
    const earlier = cases[i];
    if (earlier === undefined) return;
    const at = [...first.keys()].map((cell) => {
      const value = maps[i]?.get(cell)?.find((one) => maps[j]?.get(cell)?.includes(one));
      return `${plan.cells[cell]?.name}: ${valueName(plan, cell, value)}`;
    });
    faults.push(overlap(earlier, second, at.join(', ')));
  });
  const [cell] = first.keys();
  if (node.otherwise >= 0 || first.size > 1 || cell === undefined) return faults;
  const entry = plan.entries.find((one) => one.cell === cell);
  if (entry?.entry !== 'observation' || isAskedAround(node, cell, plan)) return faults;
  const covered = new Set(maps.flatMap((map) => map?.get(cell) ?? []));
  const left = entry.answers.filter(
    (answer, index) => !covered.has(index + 1) && (answer.conforming || canPass(entry, plan)),
  );
  if (left.length > 0)
    faults.push(lack(node, `${entry.name}: ${left.map((answer) => answer.id).join(', ')}`));
  return faults;
}

const meets = (a: readonly number[] | undefined, b: readonly number[] | undefined): boolean =>
  a?.some((value) => b?.includes(value)) ?? false;

const valueName = (plan: Plan, cell: number, value = -1): string => {
  const named = plan.cells[cell];
  return (named !== undefined && 'values' in named ? named.values[value] : undefined) ?? '…';
};

/** Whether something around a choice already asks for the same answer, so that not every answer comes to it. */
function isAskedAround(node: ChooseNode, cell: number, plan: Plan): boolean {
  for (let at = node.index; at >= 0; at = plan.nodes[at]?.parent ?? -1) {
    const around = plan.nodes[at];
    if (around === undefined) return false;
    const decisions = [
      around.onlyIf,
      ...(around.node === 'choose' && around !== node ? around.cases.map((one) => one.when) : []),
    ];
    if (decisions.some((one) => one?.by === 'test' && one.needs?.includes(cell))) return true;
  }
  return false;
}

/** Whether the job can go on with an answer that does not conform: only a concession lets it. */
function canPass(entry: Entry, plan: Plan): boolean {
  return entry.takers.some((taker) => {
    const step = plan.nodes[taker];
    if (step?.node !== 'step') return false;
    if (step.check?.check !== 'observation') return true;
    return step.check.nonconforming !== undefined && concedes(step.check.nonconforming, plan);
  });
}

function concedes(remedy: Remedy, plan: Plan): boolean {
  const hold = plan.holds[remedy.remedy === 'hold' ? remedy.hold : remedy.exhausted];
  return hold?.releases.some((release) => release.by === 'concession') ?? false;
}

/** The values of one name for which a case is true. */
interface Stretch {
  readonly one: Case;
  readonly name: string;
  readonly low?: End;
  readonly high?: End;
}
interface End {
  readonly value: Rational;
  readonly isIn: boolean;
  readonly says: string;
}

function byReading(cases: readonly Case[], node: ChooseNode, plan: Plan): readonly Fault[] {
  if (cases.length < 2) return [];
  const stretches: Stretch[] = [];
  for (const one of cases) {
    const typed =
      one.when.by === 'condition' ? plan.conditions[one.when.condition]?.lowered.typed : undefined;
    const stretch = typed === undefined ? undefined : stretchOf(typed, one);
    if (stretch === undefined || (stretches[0]?.name ?? stretch.name) !== stretch.name) return [];
    stretches.push(stretch);
  }
  const faults: Fault[] = [];
  const sorted = stretches.sort((a, b) => byLow(a.low, b.low));
  for (const [index, next] of sorted.entries()) {
    const before = sorted[index - 1];
    if (before === undefined) continue;
    const { high } = before;
    const { low } = next;
    const order = high === undefined || low === undefined ? 1 : high.value.compare(low.value);
    if (order > 0 || (order === 0 && high?.isIn === true && low?.isIn === true)) {
      const [a, b] = cases.indexOf(before.one) < cases.indexOf(next.one) ? [before, next] : [next, before];
      faults.push(overlap(a.one, b.one, `${next.name} = ${(low ?? high)?.says ?? 'any value'}`));
    } else if (node.otherwise < 0 && (order < 0 || (high?.isIn === false && low?.isIn === false))) {
      const what = order < 0 ? `between ${high?.says} and ${low?.says}` : `of ${low?.says}`;
      faults.push(lack(node, `a value of ${next.name} ${what}`));
    }
  }
  return faults;
}

const byLow = (a: End | undefined, b: End | undefined): number => {
  if (a === undefined || b === undefined) return Number(a !== undefined) - Number(b !== undefined);
  return a.value.compare(b.value) || Number(b.isIn) - Number(a.isIn);
};

/** A comparison of one name with constants, or several of them that all hold. */
function stretchOf(typed: TypedTruth, one: Case): Stretch | undefined {
  if (typed.node === 'connective') {
    if (typed.connective !== 'and') return undefined;
    const parts = typed.operands.map((operand) => stretchOf(operand, one));
    return parts.reduce((a, b) => (a === undefined || b === undefined ? undefined : both(a, b)));
  }
  if (typed.node !== 'comparison' || typed.relation === '!=') return undefined;
  let found: Stretch | undefined;
  for (const [index, left] of typed.operands.entries()) {
    const right = typed.operands[index + 1];
    if (right === undefined) break;
    const isLeft = left.node === 'name';
    const [name, constant] = isLeft ? [left, right] : [right, left];
    if (name.node !== 'name' || constant.node !== 'literal') return undefined;
    const { amount } = constant;
    const { relation } = typed;
    const end: End = {
      value: amount.value,
      isIn: relation === '==' || relation.endsWith('='),
      says: writeQuantity(amount),
    };
    const isBelow = relation.startsWith('<') === isLeft;
    const part: Stretch = {
      one,
      name: name.name,
      ...(relation === '==' ? { low: end, high: end } : isBelow ? { high: end } : { low: end }),
    };
    found = found === undefined ? part : both(found, part);
    if (found === undefined) return undefined;
  }
  return found;
}

function both(a: Stretch, b: Stretch): Stretch | undefined {
  if (a.name !== b.name) return undefined;
  const low = [a.low, b.low]
    .flatMap((end) => end ?? [])
    .sort((x, y) => y.value.compare(x.value) || Number(x.isIn) - Number(y.isIn))[0];
  const high = [a.high, b.high]
    .flatMap((end) => end ?? [])
    .sort((x, y) => x.value.compare(y.value) || Number(x.isIn) - Number(y.isIn))[0];
  return {
    one: a.one,
    name: a.name,
    ...(low === undefined ? {} : { low }),
    ...(high === undefined ? {} : { high }),
  };
}

/** Steps side by side that are each for some variants and do the same to the same thing: meant to be one for each. */
function besideFaults({ pack, plans }: Subject): CaseFaults {
  const overlapping: Finding[] = [];
  const missing: Finding[] = [];
  const at = variantsAt(plans);
  for (const { steps, procedure, about } of exclusiveSteps(pack)) {
    const scope = at.get(procedure) ?? new Set<string>();
    const counts = new Map<string, string[]>();
    for (const { pointer, variants } of steps)
      for (const id of variants) counts.set(id, [...(counts.get(id) ?? []), pointer]);
    const last = steps.at(-1)?.pointer ?? '';
    const twice = [...counts].find(([id, pointers]) => scope.has(id) && pointers.length > 1);
    if (twice !== undefined) {
      const [id, [first = '', second = '']] = twice;
      overlapping.push({
        severity: 'warning',
        pointer: pointerTo(second, 'only-if', 'variant'),
        message: `For ${id} two steps side by side are done, and both are about ${about}.`,
        remedy: 'Name each variant in one of them.',
        other: [{ pointer: pointerTo(first, 'only-if', 'variant'), message: 'the other one' }],
      });
    }
    const left = [...scope].filter((id) => !counts.has(id));
    if (left.length > 0)
      missing.push({
        severity: 'warning',
        pointer: last,
        message: `The steps side by side about ${about} are each for some variants, and none is for ${left.join(', ')}.`,
        remedy: 'Name every variant in one of them.',
        other: steps.slice(0, -1).map((one) => ({ pointer: one.pointer, message: 'another one' })),
      });
  }
  return { overlapping, missing };
}
