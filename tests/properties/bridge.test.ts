import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { runTrials } from '@ferrule/check';
import {
  advance,
  type Control,
  decide,
  ENTRY,
  type Fact,
  type Job,
  jobFrom,
  PHASE,
  type Plan,
  progressOf,
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
import { Liveness } from '../../packages/engine/src/proof/liveness.ts';
import { planOf } from '../../packages/engine/test/small-pack.ts';
import { Chance, type Manner, people, Walker } from './random-walk.ts';
import { smallProcedures } from './small-procedures.ts';

const shape = (signal: Signal): string => JSON.stringify(signal, Object.keys(signal).sort());
const copyOf = (control: Control): string =>
  `${control.at} ${control.hold} ${control.parked} ${control.closed} ${control.bytes}`;

/** What tells controls apart for what can follow, as the exploration sees them. */
function keyOf(plan: Plan, liveness: Liveness, control: Control): string {
  const phase = progressOf(plan, control, control.at);
  const live = liveness
    .at(control.at, phase)
    .map(({ cell, classes }) => classes[control.bytes[cell] ?? 0] ?? 0);
  return `${control.at} ${phase} ${control.hold} ${control.closed ?? ''} ${live}`;
}

interface Explored {
  readonly liveness: Liveness;
  readonly keys: ReadonlySet<string>;
}

function explored(plan: Plan): Explored {
  const liveness = new Liveness(plan);
  const keys = new Set<string>();
  const { cutShort } = explore(plan, undefined, (control) => keys.add(keyOf(plan, liveness, control)));
  expect(cutShort).toBe(false);
  return { liveness, keys };
}

/** Sees that facts could happen where they happened, and that folding them gives the control that was decided. */
function crossBridge(plan: Plan, before: Job, facts: readonly Fact[], after: Job, known?: Explored): void {
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
    const isOutside = control.parked || control.closed === 'unfinished';
    if (known !== undefined && !isOutside && !known.keys.has(keyOf(plan, known.liveness, control)))
      expect.unreachable(`unexplored: ${plan.nodes[control.at]?.path}`);
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
    if (node.node !== 'step' || node.check?.check !== 'tolerance') return;
    const judged = job.facts.findLast(({ fact }) => fact.kind === 'judged' && fact.step === node.path);
    const passed = progressOf(plan, job.control, node.index) === PHASE.done && judged !== undefined;
    if (!passed) return;
    const entries = plan.tolerances[node.check.tolerance]?.entries ?? [];
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
    if (struck.kind !== 'struck' || struck.entry === undefined) continue;
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

function walk(plan: Plan, from: Job, seed: number, commands: number, manner: Manner, known?: Explored): Job {
  const walker = new Walker(plan, new Chance(seed), manner);
  let job = from;
  for (let count = 0; count < commands && job.control.closed === undefined; count++) {
    const { command, occasion, expectedSeq } = walker.deed(job);
    const before = copyOf(job.control);
    const answer = decide(plan, job, command, occasion, expectedSeq);
    expect(copyOf(job.control)).toBe(before);
    if (answer.job === undefined) {
      expect(answer.refusals.length).toBeGreaterThan(0);
      expect(answer.facts).toBeUndefined();
      continue;
    }
    crossBridge(plan, job, answer.facts, answer.job, known);
    job = answer.job;
    if (count % 5 === 0) seeSignals(plan, job.control);
  }
  seeEnd(plan, job);
  seeStruck(plan, job);
  const again = replay(plan, JSON.parse(JSON.stringify(job.facts)) as readonly Fact[]);
  expect(again.fault).toBeUndefined();
  expect(again.job === undefined ? '' : copyOf(again.job.control)).toBe(copyOf(job.control));
  return job;
}

const [technician, lead, second] = people;
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

const wild: Manner = { wrong: 0.1, strikes: 0.08, parks: 0.1 };
const tame: Manner = { wrong: 0.03, strikes: 0, parks: 0.05 };

describe.each(Object.keys(smallProcedures))('small procedure %s', (name) => {
  const plan = planOf(smallProcedures[name] ?? {});

  test('random walks cross the bridge', () => {
    const job = started(plan);
    let closed = 0;
    for (let seed = 0; seed < 50; seed++)
      if (walk(plan, job, seed, 90, wild).control.closed === 'finished') closed++;
    expect(closed).toBeGreaterThan(0);
  });

  test('walks without strikes stay where the exploration has been, and come nearly everywhere', () => {
    const known = explored(plan);
    const been = new Set<number>();
    for (let seed = 1000; seed < 1050; seed++) {
      const job = walk(plan, started(plan), seed, 120, tame, known);
      for (const { fact } of job.facts)
        if ('step' in fact) been.add(plan.nodes.findIndex((one) => one.path === fact.step));
    }
    const steps = plan.nodes.filter((one) => one.node === 'step');
    expect(steps.filter((one) => been.has(one.index)).length / steps.length).toBeGreaterThan(0.8);
  });
});

const specs = join(import.meta.dirname, '../../specs');
const folders = readdirSync(specs).flatMap((pack) =>
  readdirSync(join(specs, pack)).map((revision) => join(specs, pack, revision)),
);

describe.each(folders.map((folder) => [folder.slice(specs.length + 1), folder]))(
  'demonstration pack %s',
  (_, folder) => {
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
    });

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
      const known = new Map<Plan, Explored>();
      for (const { plan, facts } of jobs) {
        if (facts.some(({ fact }) => fact.kind === 'struck')) continue;
        const here = known.get(plan) ?? explored(plan);
        known.set(plan, here);
        let job: Job | undefined;
        for (const fact of facts) {
          job = job === undefined ? jobFrom(plan, fact) : withFact(plan, job, fact);
          if (job.control.parked || job.control.closed === 'unfinished') continue;
          const key = keyOf(plan, here.liveness, job.control);
          if (!here.keys.has(key)) expect.unreachable(`unexplored: ${plan.nodes[job.control.at]?.path}`);
        }
        expect(job?.seq).toBe(facts.length);
      }
    });
  },
);

test('signals that mean the same are the same, others are not', () => {
  expect(sameSignal({ signal: 'recorded', entry: 1 }, { entry: 1, signal: 'recorded' })).toBe(true);
  expect(sameSignal({ signal: 'recorded', entry: 1 }, { signal: 'recorded', entry: 2 })).toBe(false);
  expect(
    sameSignal({ signal: 'branched', truth: [true, false] }, { signal: 'branched', truth: [true, true] }),
  ).toBe(false);
});
