import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type Control,
  evaluate,
  evaluateAmount,
  failing,
  findEntry,
  isLive,
  judge,
  type Plan,
  parseQuantity,
  type Quantity,
  resolve,
  type Signal,
} from '../../src/index.ts';
import { openDecisions } from '../../src/job/advance.ts';
import { decided } from '../../src/job/control.ts';
import { actFaults } from '../../src/job/effects.ts';
import {
  advance,
  openConditions,
  PHASE,
  progressOf,
  startControl,
  strikes,
  waysOn,
} from '../../src/job/index.ts';
import { explore } from '../../src/proof/index.ts';
import { validate } from '../../src/validate.ts';
import { randomProcedure } from './random-procedure.ts';

interface Found {
  readonly nodes: ReadonlySet<number>;
  readonly faults: ReadonlySet<string>;
  readonly reachesEnd: boolean;
}

const MOST = 8_000;

/** Values that a reading is given: on each constant that something compares it with, between them, and at the ends. */
const samples = ['0 mm', '0.5 mm', '1 mm', '1.5 mm', '2 mm', '2.5 mm', '3 mm', '4 mm', '5 mm'].map((text) => {
  const read = parseQuantity(text, 'length');
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
});

/** A control with a value for each reading that is held. */
interface Real {
  readonly control: Control;
  readonly values: ReadonlyMap<string, Quantity>;
}

/** What can happen in a control with these values; a reading is given each of the sample values. */
function* realSteps(plan: Plan, { control, values }: Real, ways: readonly Signal[]): Generator<Real> {
  const node = plan.nodes[control.at];
  const read = (name: string) => values.get(name);
  for (const way of ways) {
    const after = () => advance(plan, control, way);
    if (way.signal === 'recorded') {
      const entry = plan.entries[way.entry];
      for (const value of entry?.entry === 'reading' ? samples : [])
        yield { control: after(), values: new Map([...values, [entry?.name ?? '', value]]) };
    } else if (way.signal === 'judged' && node?.node === 'step' && node.check?.check === 'tolerance') {
      const tolerance = plan.tolerances[node.check.tolerance];
      if (tolerance?.elapsed !== undefined) {
        // As much time passes as anybody likes.
        yield { control: after(), values };
        continue;
      }
      const value = tolerance === undefined ? undefined : evaluateAmount(tolerance.value, read);
      if (tolerance === undefined || value === undefined || !('amount' in value))
        throw new Error('unmeasured');
      const verdict = judge(tolerance, { amount: value.amount });
      const outcome = verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict;
      if (outcome === way.outcome) yield { control: after(), values };
    } else if (way.signal === 'branched' && node !== undefined) {
      const open = openConditions(node, plan, control.bytes).flatMap((one) => plan.conditions[one] ?? []);
      const isSo = open.every((one, place) => evaluate(one.lowered, read).truth === way.truth[place]);
      if (isSo) yield { control: after(), values };
    } else yield { control: after(), values };
  }
}

/** The cases of a choice that are true of the values, where all of them are about readings; else undefined. */
function trueCases(plan: Plan, { control, values }: Real): readonly string[] | undefined {
  const node = plan.nodes[control.at];
  if (node?.node !== 'choose' || progressOf(plan, control, control.at) !== PHASE.deciding) return undefined;
  const decisions = openDecisions(node, plan, control.bytes);
  if (decisions[0] === node.onlyIf) return undefined;
  const truths = decisions.map((one) => {
    const condition = one.by === 'condition' ? plan.conditions[one.condition] : undefined;
    return condition === undefined
      ? decided(plan, one, control.bytes)
      : evaluate(condition.lowered, (name) => values.get(name)).truth;
  });
  if (truths.includes(undefined) || decisions.every((one) => one.by === 'test')) return undefined;
  return node.cases.flatMap(({ says }, place) => (truths[place] === true ? [says] : []));
}

/**
 * Every control, with all of its bytes, counters and sample values, that a job can come to; undefined when there are too
 * many. With strikes: whatever may be struck at a place where nothing was struck before, and leads on.
 */
function bruteForce(plan: Plan, withStrikes: boolean): Found | undefined {
  const seen = new Set<string>();
  const nodes = new Set<number>();
  const faults = new Set<string>();
  let reachesEnd = false;
  const waiting: Real[] = [{ control: startControl(plan), values: new Map() }];
  for (let real = waiting.pop(); real !== undefined; real = waiting.pop()) {
    const { control } = real;
    const held = [...real.values].filter(([name]) =>
      isLive(plan.entries[findEntry(plan, name) ?? -1], control.bytes),
    );
    const values = new Map(held);
    const written = held.map(([name, value]) => `${name}=${value.value}`).sort();
    const key = `${control.at} ${control.hold} ${control.closed ?? ''} ${control.bytes} ${written}`;
    if (seen.has(key)) continue;
    if (seen.size >= MOST) return undefined;
    seen.add(key);
    nodes.add(control.at);
    if (control.closed !== undefined) continue;
    const ways = waysOn(plan, control);
    const node = plan.nodes[control.at];
    if (node === undefined) {
      reachesEnd = true;
      for (const guard of failing(plan.ends, control.bytes)) faults.add(`ends ${guard.because.says}`);
    } else if (control.hold < 0 && ways.every((way) => way.signal === 'omitted')) {
      const isAct = node.node === 'step' && progressOf(plan, control, control.at) === PHASE.act;
      const open =
        node.node !== 'step'
          ? []
          : isAct
            ? actFaults(node, control.bytes)
            : node.entries.flatMap((entry) => failing(plan.entries[entry]?.guards ?? [], control.bytes));
      for (const guard of open) faults.add(`law ${node.path} ${guard.because.says}`);
      if (open.length === 0) faults.add(`goes-on ${node.path}`);
    }
    const cases = trueCases(plan, { control, values });
    if (
      cases !== undefined &&
      node?.node === 'choose' &&
      (cases.length > 1 || (cases.length === 0 && node.otherwise < 0))
    )
      faults.add(`goes-on ${node.path}`);
    waiting.push(...realSteps(plan, { control, values }, ways));
    const isBack = control.bytes
      .subarray(plan.cells.length + control.at + 1, plan.cells.length + plan.nodes.length)
      .some((one) => one !== PHASE.unstarted);
    if (!withStrikes || isBack) continue;
    for (const strike of strikes(plan, control)) {
      const after = advance(plan, control, strike);
      if (waysOn(plan, after).length > 0) waiting.push({ control: after, values });
    }
  }
  return { nodes, faults, reachesEnd };
}

function explored(plan: Plan, withStrikes: boolean): Found {
  const nodes = new Set<number>();
  const { refutations, reachesEnd, cutShort } = explore(plan, {
    withoutStrikes: !withStrikes,
    onReach: (control) => nodes.add(control.at),
  });
  expect(cutShort).toBe(false);
  const faults = refutations.flatMap((one) => {
    switch (one.property) {
      // A choice of which not exactly one case is true stands still, too.
      case 'goes-on':
      case 'one-case':
        return `goes-on ${one.node}`;
      case 'ends':
        return `ends ${one.guard.because.says}`;
      case 'law':
        return `law ${one.node} ${one.guard.because.says}`;
      default:
        return [];
    }
  });
  return { nodes, faults: new Set(faults), reachesEnd };
}

test.each([false, true])(
  'on random small procedures the exploration finds all that going everywhere finds, with strikes: %s',
  (withStrikes) => {
    let whole = 0;
    let faulty = 0;
    let counted = 0;
    fc.assert(
      fc.property(fc.gen(), (gen) => {
        const document = randomProcedure((count) => gen(fc.nat, { max: count - 1 }));
        const { pack } = validate(document);
        fc.pre(pack !== undefined);
        const { plan } = resolve(pack, { procedure: 'main', variant: 'small' });
        fc.pre(plan !== undefined);
        const all = bruteForce(plan, withStrikes);
        fc.pre(all !== undefined);
        const found = explored(plan, withStrikes);
        whole += 1;
        if (all.faults.size > 0) faulty += 1;
        const lost = [...all.faults].filter((one) => !found.faults.has(one));
        expect(lost).toEqual([]);
        expect([...all.nodes].filter((one) => !found.nodes.has(one))).toEqual([]);
        if (all.reachesEnd) expect(found.reachesEnd).toBe(true);
        // Only how often a way may be gone is left open by the exploration; without that it finds nothing more.
        if (plan.cells.some((one) => one.cell === 'counter')) return;
        counted += 1;
        expect([...found.faults].filter((one) => !all.faults.has(one))).toEqual([]);
        expect(found.nodes).toEqual(all.nodes);
        expect(found.reachesEnd).toBe(all.reachesEnd);
      }),
      { numRuns: withStrikes ? 200 : 400, seed: 20270104, maxSkipsPerRun: 100 },
    );
    // The procedures are worth the trouble: many can go wrong, many cannot.
    expect(whole).toBeGreaterThanOrEqual(150);
    expect(faulty).toBeGreaterThan(whole / 10);
    expect(whole - faulty).toBeGreaterThan(whole / 20);
    expect(counted).toBeGreaterThan(whole / 20);
  },
);
