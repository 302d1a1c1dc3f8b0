import { join } from 'node:path';
import { runTrials } from '@ferrule/check';
import {
  advance,
  type Control,
  decide,
  describeCells,
  ENTRY,
  type Fact,
  type Job,
  jobFrom,
  offers,
  PHASE,
  type Plan,
  type PlanNode,
  progressOf,
  reliedOn,
  resolve,
  type Signal,
  sameSignal,
  signalOf,
  signals,
  start,
  waysOn,
  withFact,
} from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';
import { beforeAll, describe, expect, test } from 'vitest';
import type { OpenCell } from '../../packages/engine/src/proof/joined-places.ts';
import { Liveness } from '../../packages/engine/src/proof/liveness.ts';
import { randomProcedure } from '../../packages/engine/test/proof/random-procedure.ts';
import { planOf } from '../../packages/engine/test/small-pack.ts';
import { packs } from '../packs/copy-pack.ts';
import { Chance, type Manner, people, Walker } from './random-walk.ts';
import { smallProcedures } from './small-procedures.ts';

const shape = (signal: Signal): string => JSON.stringify(signal, Object.keys(signal).sort());
const copyOf = (control: Control): string =>
  `${control.at} ${control.hold} ${control.parked} ${control.closed} ${control.bytes}`;

/** The value of a cell; of a counter only whether anything is counted, while the job is in the block that it belongs to. */
function told(plan: Plan, { at, bytes }: Control, cell: number): number {
  const value = bytes[cell] ?? 0;
  if (plan.cells[cell]?.cell !== 'counter') return value;
  const scope = plan.nodes.find((node) => node.node === 'block' && node.counters.includes(cell));
  const isInside = scope !== undefined && scope.index <= at && at < scope.end;
  return isInside && value > 0 ? 1 : 0;
}

/** What tells controls apart for what can follow, as the exploration sees them. */
function keyOf(plan: Plan, liveness: Liveness, control: Control): string {
  const phase = control.at < plan.nodes.length ? progressOf(plan, control, control.at) : 0;
  const live = liveness
    .at(control.at, phase)
    .map(({ cell, classes }) => classes[told(plan, control, cell)] ?? 0);
  return `${control.at} ${phase} ${control.hold} ${control.closed ?? ''} ${live}`;
}

/** A control once for each combination of the values that its open cells may have. */
function* combined(control: Control, [first, ...others]: readonly OpenCell[]): Generator<Control> {
  if (first === undefined) {
    yield control;
    return;
  }
  for (const value of first.values) {
    const bytes = control.bytes.slice();
    bytes[first.cell] = value;
    yield* combined({ ...control, bytes }, others);
  }
}

interface Explored {
  readonly liveness: Liveness;
  readonly keys: ReadonlySet<string>;
  /** Every refutation by where it is written, in the words of `violationsAt`. */
  readonly reported: ReadonlySet<string>;
  readonly unreached: ReadonlySet<string>;
}

function explored(plan: Plan, withoutStrikes: boolean): Explored {
  const liveness = new Liveness(plan);
  const keys = new Set<string>();
  const { cutShort, refutations, unreached } = explore(plan, {
    withoutStrikes,
    onReach: (control, open) => {
      for (const one of combined(control, open)) keys.add(keyOf(plan, liveness, one));
    },
  });
  expect(cutShort).toBe(false);
  const reported = refutations.flatMap((one) => {
    switch (one.property) {
      case 'law':
        return [`law ${one.pointer} ${one.guard.because.says}`];
      case 'ends':
        return [`ends ${one.guard.because.says}`];
      case 'goes-on':
      case 'one-case':
        return [`stop ${one.pointer}`];
      default:
        return [];
    }
  });
  return { liveness, keys, reported: new Set(reported), unreached: new Set(unreached) };
}

/** What is wrong where a job stands, by what it lets its people do: no step can be gone on with, or no end be made. */
function violationsAt(plan: Plan, job: Job): readonly string[] {
  const { standing, offers: all, blocked } = offers(plan, job);
  if (standing === 'ready-to-close')
    return all.some((one) => one.offer === 'close') ? [] : blocked.map((one) => `ends ${one.message}`);
  const node = plan.nodes[job.control.at];
  if (standing !== 'at-step' || node === undefined) return [];
  if (all.some((one) => one.offer !== 'omit' && one.offer !== 'park')) return [];
  const phase = progressOf(plan, job.control, node.index);
  if (phase === PHASE.act) {
    const { refusals } = decide(plan, job, { command: 'done', step: node.path }, nobodyWaits);
    expect(refusals?.map((one) => one.message)).toEqual(blocked.map((one) => one.message));
    for (const { code } of refusals ?? [])
      expect(['interlock', 'requirement', 'change-from']).toContain(code);
  }
  if (phase === PHASE.act || phase === PHASE.entries)
    return blocked.map((one) => `law ${node.pointer} ${one.message}`);
  return mayBeUnseen(plan, node) ? [] : [`stop ${node.pointer}`];
}

/** A choice by several readings at once: which of its cases are true together is not known to the proof. */
function mayBeUnseen(plan: Plan, node: PlanNode): boolean {
  if (node.node !== 'choose') return false;
  const conditions = node.cases.flatMap(({ when }) => (when.by === 'condition' ? when.condition : []));
  return new Set(conditions.flatMap((one) => plan.conditions[one]?.entries ?? [])).size > 1;
}

/** Whether something ahead of the job has been begun or done: an entry was struck, and not all is made good again. */
const isMendingStrike = (plan: Plan, { at, bytes }: Control): boolean =>
  bytes
    .subarray(plan.cells.length + at + 1, plan.cells.length + plan.nodes.length)
    .some((progress) => progress !== PHASE.unstarted);

/** What an exploration has found out that has to be so of a walk. */
interface Known {
  readonly explored: Explored;
  /** Which strikes the walk may make: none, one after the other, or any. */
  readonly strikes: 'none' | 'single' | 'any';
}

/** No step is come to that the proof calls unreachable, and without a strike no control that it has not come to itself. */
function seeReached(plan: Plan, control: Control, { explored: to, strikes }: Known): void {
  if (control.parked || control.closed === 'unfinished') return;
  const node = plan.nodes[control.at];
  if (to.unreached.has(node?.path ?? '')) expect.unreachable(`called unreachable: ${node?.path}`);
  // Of strikes the proof follows only those that can lead to something new, so it does not come to every control itself.
  if (strikes === 'none' && !to.keys.has(keyOf(plan, to.liveness, control)))
    expect.unreachable(
      `unexplored: ${node?.path} ${[...describeCells(plan, control)].map((one) => one.join('=')).join(' ')}`,
    );
}

/** Every violation that a walk has met is one that the proof reports. Answers how many there were. */
function seeViolations(plan: Plan, job: Job, { explored: to, strikes }: Known): number {
  const met = strikes === 'any' ? [] : violationsAt(plan, job);
  expect(met.filter((one) => !to.reported.has(one))).toEqual([]);
  return met.length;
}

/** Sees that facts could happen where they happened, and that folding them gives the control that was decided. */
function crossBridge(plan: Plan, before: Job, facts: readonly Fact[], after: Job, known?: Known): void {
  let job = before;
  let control = before.control;
  for (const fact of facts) {
    expect(fact.seq).toBe(job.seq + 1);
    const signal = signalOf(plan, job, fact.fact);
    if (signal !== undefined) {
      const possible = signals(plan, control).flatMap((one) =>
        one.signal === signal.signal ? [shape(one)] : [],
      );
      expect(possible, `${fact.fact.kind} at ${plan.nodes[control.at]?.path}`).toContain(shape(signal));
      control = advance(plan, control, signal);
    }
    job = withFact(plan, job, fact);
    expect(copyOf(job.control)).toBe(copyOf(control));
    if (known !== undefined) seeReached(plan, control, known);
  }
  expect(copyOf(after.control)).toBe(copyOf(control));
  expect(after.seq).toBe(job.seq);
}

/** Every signal can be taken, the ways on are among them, and taking one leaves the old control as it was. */
function seeSignals(plan: Plan, control: Control): void {
  const all = signals(plan, control);
  const known = new Set(all.map(shape));
  expect(known.size).toBe(all.length);
  for (const way of waysOn(plan, control)) expect(known.has(shape(way))).toBe(true);
  const before = copyOf(control);
  for (const signal of all) advance(plan, control, signal);
  expect(copyOf(control)).toBe(before);
}

/** No judged step has passed that lacks what it was judged by, and nothing is left undone at the end. */
function seeEnd(plan: Plan, job: Job): void {
  if (job.control.closed !== 'finished') return;
  const last = new Map<number, boolean>();
  plan.nodes.forEach((node) => {
    if (node.node !== 'step' || !['tolerance', 'stock'].includes(node.check?.check ?? '')) return;
    const judged = job.facts.findLast(({ fact }) => fact.kind === 'judged' && fact.step === node.path);
    const passed = progressOf(plan, job.control, node.index) === PHASE.done && judged !== undefined;
    if (!passed) return;
    const entries = reliedOn(plan, node.check);
    const lacks = entries.filter((entry) => {
      const value = job.control.bytes[plan.entries[entry]?.cell ?? 0];
      return value === ENTRY.none || value === ENTRY.stale;
    });
    last.set(node.index, lacks.length === 0);
  });
  expect([...last.values()]).not.toContain(false);
}

/** No verdict of a step that counts as done at the end rests on a reading that was struck after it. */
function seeStruck(plan: Plan, job: Job): void {
  if (job.control.closed !== 'finished') return;
  for (const { seq, fact: struck } of job.facts) {
    if (struck.kind !== 'struck' || struck.entry === undefined || struck.open === true) continue;
    const entry = plan.entries.find((one) => one.name === struck.entry);
    for (const index of entry?.judgedBy ?? []) {
      const node = plan.nodes[index];
      if (node === undefined || progressOf(plan, job.control, index) !== PHASE.done) continue;
      const judged = job.facts.findLast(({ fact }) => fact.kind === 'judged' && fact.step === node.path);
      if (judged !== undefined && struck.target < judged.seq && judged.seq < seq)
        expect.unreachable(`${node.path} stands on ${struck.entry}, which was struck`);
    }
  }
}

/** A fact in one line, for whoever has to find out what went wrong. */
const toldOf = (fact: Fact['fact']): string =>
  [
    fact.kind,
    'step' in fact ? fact.step : '',
    'entry' in fact ? fact.entry : '',
    'answer' in fact ? String(fact.answer) : '',
    'verdict' in fact ? JSON.stringify(fact.verdict).slice(0, 60) : '',
  ]
    .filter((word) => word !== '')
    .join(' ');

interface Walked {
  readonly job: Job;
  readonly violations: number;
  readonly strikes: number;
}

function walk(plan: Plan, from: Job, seed: number, commands: number, manner: Manner, known?: Known): Walked {
  const walker = new Walker(plan, new Chance(seed), manner);
  let job = from;
  let violations = 0;
  let strikes = 0;
  for (let count = 0; count < commands && job.control.closed === undefined; count++) {
    const { command, occasion, expectedSeq } = walker.deed(job);
    const isSecond = command.command === 'strike' && (command.insist || isMendingStrike(plan, job.control));
    if (isSecond && known?.strikes === 'single') continue;
    const before = copyOf(job.control);
    const answer = decide(plan, job, command, occasion, expectedSeq);
    expect(copyOf(job.control)).toBe(before);
    if (answer.job === undefined) {
      expect(answer.refusals.length).toBeGreaterThan(0);
      expect(answer.facts).toBeUndefined();
      continue;
    }
    const so = job;
    try {
      crossBridge(plan, job, answer.facts, answer.job, known);
      if (known !== undefined) violations += seeViolations(plan, answer.job, known);
    } catch (fault) {
      const told = [...so.facts, ...answer.facts].map(({ fact }) => toldOf(fact)).join('\n');
      throw new Error(`${String(fault)} after\n${told}`);
    }
    job = answer.job;
    if (command.command === 'strike') strikes++;
    if (count % 5 === 0) seeSignals(plan, job.control);
  }
  seeEnd(plan, job);
  seeStruck(plan, job);
  const again = replay(plan, JSON.parse(JSON.stringify(job.facts)) as readonly Fact[]);
  expect(again.fault).toBeUndefined();
  expect(again.job === undefined ? '' : copyOf(again.job.control)).toBe(copyOf(job.control));
  expect(again.job?.taken).toEqual(job.taken);
  expect(again.job?.underWay.map((one) => one ?? [])).toEqual(job.underWay.map((one) => one ?? []));
  return { job, violations, strikes };
}

const [technician, lead, second] = people;
const nobodyWaits = { at: '2027-02-04T08:00:00Z', by: technician, id: 'v' };
function started(plan: Plan): Job {
  const persons = [
    { role: 'technician', person: technician },
    { role: 'lead', person: lead },
    { role: 'second', person: second },
  ];
  const begun = start(
    plan,
    { bundle: 'sha256:0', persons, instruments: [] },
    { at: '2027-01-04T08:00:00Z', by: technician, id: 's' },
  );
  if (begun.job === undefined) throw new Error(JSON.stringify(begun.refusals));
  return begun.job;
}

/** How many random procedures are walked through. */
const PROCEDURES = 50;
const wild: Manner = { wrong: 0.1, strikes: 0.08, parks: 0.1 };
const tame: Manner = { wrong: 0.03, strikes: 0, parks: 0.05 };
const single: Manner = { wrong: 0.03, strikes: 0.08, parks: 0.05 };

/** Walks of every manner over a plan, none of which may meet what the proof says nothing of. */
function walkAll(plan: Plan, seed: number, each: number, commands: number): readonly Walked[] {
  const unstruck: Known = { explored: explored(plan, true), strikes: 'none' };
  const whole = explored(plan, false);
  const manners: readonly (readonly [Manner, Known])[] = [
    [tame, unstruck],
    [single, { explored: whole, strikes: 'single' }],
    [wild, { explored: whole, strikes: 'any' }],
  ];
  return manners.flatMap(([manner, known], number) =>
    Array.from({ length: each }, (_, count) => {
      return walk(plan, started(plan), seed + number * each + count, commands, manner, known);
    }),
  );
}

describe.each(Object.keys(smallProcedures))('small procedure %s', (name) => {
  const plan = planOf(smallProcedures[name] ?? {});

  test('random walks stay where the exploration has been, and come nearly everywhere', () => {
    const walked = walkAll(plan, 1000, 16, 110);
    expect(walked.filter(({ job }) => job.control.closed === 'finished').length).toBeGreaterThan(0);
    if (plan.entries.some((one) => one.entry === 'reading' && one.carry !== undefined))
      expect(
        walked.filter(({ job }) => job.facts.some(({ fact }) => fact.kind === 'carried')).length,
      ).toBeGreaterThan(10);
    const been = new Set<number>();
    for (const { job } of walked)
      for (const { fact } of job.facts)
        if ('step' in fact) been.add(plan.nodes.findIndex((one) => one.path === fact.step));
    const steps = plan.nodes.filter((one) => one.node === 'step');
    expect(steps.filter((one) => been.has(one.index)).length / steps.length).toBeGreaterThan(0.8);
  });
});

test('walks over repeats strike and park in the middle of them, and go beyond the scale', () => {
  const plan = planOf(smallProcedures['repeated'] ?? {});
  const met = new Set<string>();
  for (let seed = 0; seed < 30; seed++) {
    const { job } = walk(plan, started(plan), seed, 80, wild);
    job.facts.forEach(({ fact }, place) => {
      const before = job.facts[place - 1]?.fact;
      if (fact.kind === 'struck' && fact.open) met.add('one repeat struck');
      if (fact.kind === 'struck' && fact.also) met.add('all repeats struck');
      if (fact.kind === 'reading' && fact.beyond) met.add('beyond the scale');
      if (fact.kind === 'reading' && fact.wide) met.add('too far apart');
      if (fact.kind === 'parked' && before?.kind === 'reading' && before.open) met.add('parked');
      if (fact.kind === 'judged' && fact.verdict.verdict === 'inconclusive') met.add('inconclusive');
    });
  }
  expect([...met].sort()).toEqual([
    'all repeats struck',
    'beyond the scale',
    'inconclusive',
    'one repeat struck',
    'parked',
    'too far apart',
  ]);
});

test('random walks of random procedures meet nothing that the proof says nothing of', () => {
  let procedures = 0;
  let faulty = 0;
  let strikes = 0;
  for (let seed = 0; procedures < PROCEDURES; seed++) {
    const chance = new Chance(seed * 7919 + 1);
    const { pack } = validate(randomProcedure((count) => chance.below(count), true));
    const plan = pack === undefined ? undefined : resolve(pack, { procedure: 'main', variant: 'small' }).plan;
    if (plan === undefined) continue;
    procedures++;
    try {
      const walked = walkAll(plan, seed, 4, 45);
      if (walked.some((one) => one.violations > 0)) faulty++;
      for (const one of walked) strikes += one.strikes;
    } catch (fault) {
      throw new Error(`procedure ${seed}`, { cause: fault });
    }
  }
  expect(faulty).toBeGreaterThan(PROCEDURES / 10);
  expect(strikes).toBeGreaterThan(PROCEDURES);
});

const specs = join(import.meta.dirname, '../../specs');

describe.each(packs.map((pack) => [pack, join(specs, pack)]))('demonstration pack %s', (_, folder) => {
  const jobs: { readonly plan: Plan; readonly facts: readonly Fact[] }[] = [];

  beforeAll(async () => {
    const { document } = await readPack(folder);
    const { pack } = validate(document);
    if (pack === undefined) throw new Error('the pack does not fit the format');
    const plans = new Map<string, Plan>();
    for (const { procedure, variant, facts } of runTrials(pack, bundleOf(document).digest)) {
      const key = `${procedure} ${variant}`;
      const plan = plans.get(key) ?? resolve(pack, { procedure, variant }).plan;
      if (plan === undefined) throw new Error(key);
      plans.set(key, plan);
      if (facts.length > 0) jobs.push({ plan, facts });
    }
  }, 60_000);

  test('walks from anywhere in its trials cross the bridge', () => {
    expect(jobs.length).toBeGreaterThan(0);
    jobs.forEach(({ plan, facts }, number) => {
      for (const part of [0.3, 0.7]) {
        const { job, fault } = replay(plan, facts.slice(0, Math.max(1, Math.floor(facts.length * part))));
        expect(fault).toBeUndefined();
        if (job !== undefined) walk(plan, job, number * 10 + part * 10, 25, wild);
      }
    });
  });

  test('trials stay where the exploration has been', () => {
    const known = new Map<Plan, Known>();
    for (const { plan, facts } of jobs) {
      if (facts.some(({ fact }) => fact.kind === 'struck')) continue;
      const here = known.get(plan) ?? { explored: explored(plan, true), strikes: 'none' };
      known.set(plan, here);
      let job: Job | undefined;
      for (const fact of facts) {
        job = job === undefined ? jobFrom(plan, fact) : withFact(plan, job, fact);
        seeReached(plan, job.control, here);
      }
      expect(job?.seq).toBe(facts.length);
    }
  });
});

test('signals that mean the same are the same, others are not', () => {
  expect(sameSignal({ signal: 'recorded', entry: 1 }, { entry: 1, signal: 'recorded' })).toBe(true);
  expect(sameSignal({ signal: 'recorded', entry: 1 }, { signal: 'recorded', entry: 2 })).toBe(false);
  expect(
    sameSignal({ signal: 'branched', truth: [true, false] }, { signal: 'branched', truth: [true, true] }),
  ).toBe(false);
});
