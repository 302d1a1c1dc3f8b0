import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { runTrial } from '@ferrule/check';
import { type Fact, type Pack, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { describe, expect, it } from 'vitest';
import { Comparing, type Judge } from '../../packages/compare/src/rejudge/judge.ts';
import type { Outcome } from '../../packages/compare/src/rejudge/outcome.ts';
import { rejudgeJob } from '../../packages/compare/src/rejudge/rejudge-job.ts';
import { type Edit, edited, type Json } from './edit.ts';

async function documentOf(folder: string): Promise<Json> {
  const { document } = await readPack(folder);
  return JSON.parse(JSON.stringify(document)) as Json;
}

function packOf(document: unknown): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics));
  return pack;
}

interface Done {
  readonly trial: string;
  readonly procedure: string;
  readonly variant: string;
  readonly facts: readonly Fact[];
}

/** The jobs that the trials of a pack come to. */
function jobsIn(pack: Pack): readonly Done[] {
  const plans = new Map<string, ReturnType<typeof resolve>['plan']>();
  return Object.entries(pack.trials ?? {}).flatMap(([trial, one]) => {
    const { procedure, variant } = one;
    const key = `${procedure} ${variant}`;
    if (!plans.has(key)) plans.set(key, resolve(pack, { procedure, variant }).plan);
    const plan = plans.get(key);
    if (plan === undefined) return [];
    const { facts } = runTrial(pack, trial, one, plan, 'sha256:0');
    return facts.length === 0 ? [] : [{ trial, procedure, variant, facts }];
  });
}

function judgesFor(before: Pack, after: Pack): (done: Done) => Judge {
  const comparing = new Comparing(before, after);
  const made = new Map<string, Judge>();
  return ({ procedure, variant }) => {
    const key = `${procedure} ${variant}`;
    const known = made.get(key);
    if (known !== undefined) return known;
    const then = resolve(before, { procedure, variant }).plan;
    const now = resolve(after, comparing.successor(procedure, variant)).plan;
    if (then === undefined || now === undefined)
      throw new Error(JSON.stringify(resolve(after, comparing.successor(procedure, variant)).diagnostics));
    const judge = comparing.judge(then, now);
    made.set(key, judge);
    return judge;
  };
}

const specs = readdirSync('specs').flatMap((name) =>
  readdirSync(join('specs', name)).map((revision) => join('specs', name, revision)),
);
const packs = specs.filter((folder) => readdirSync(folder).includes('pack.yaml'));

describe('a pack judges its own jobs', () => {
  it.each(packs)('%s as they were judged when everything is judged again', async (folder) => {
    const pack = packOf(await documentOf(folder));
    const judge = judgesFor(pack, pack);
    const jobs = jobsIn(pack);
    let judged = 0;
    for (const job of jobs) {
      const outcomes = rejudgeJob(judge(job), job.facts, { all: true });
      judged += outcomes.filter((one) => one.outcome === 'same').length;
      const others = outcomes.filter(
        (one) =>
          one.outcome !== 'same' &&
          !(one.outcome === 'cannot' && ['not-taken', 'left-out', 'struck'].includes(one.because)),
      );
      expect(others.map((one) => [job.trial, judge(job).measures[one.measure]?.name, one])).toEqual([]);
    }
    if (jobs.length > 0) expect(judged).toBeGreaterThan(0);
  });
});

/** An outcome in words: `drift-limits@1 changed conforming nonconforming limits`. */
function words(judge: Judge, one: Outcome): string {
  const measure = judge.measures[one.measure];
  const changes = (measure?.because ?? []).map((index) => judge.changes[index]?.change ?? '');
  const verdicts = [
    ...('was' in one && one.was !== undefined ? [one.was.verdict] : []),
    ...('is' in one ? [one.is.verdict] : []),
  ];
  const reason = one.outcome === 'cannot' ? [one.because, ...one.names] : [];
  return [measure?.name ?? '', one.outcome, ...verdicts, ...reason, ...changes].join(' ');
}

const unitPumps = 'specs/marram-unit-pumps/1.1.0';
const pumps = '/procedures/install-and-synchronise';
const start = '/procedures/first-start';

/**
 * Revisions of the unit-pump pack, with all that is not as before in the job of its trial clean-four. That trial reads an oil
 * pressure above 1.3 bar and below 9 bar, a highest speed above 2000 r/min, and an idle speed above 650 r/min.
 */
const table: readonly {
  readonly says: string;
  readonly edits: readonly Edit[];
  readonly trial?: string;
  readonly finds: readonly string[];
}[] = [
  {
    says: 'a title is another, and nothing is touched',
    edits: [{ set: `${pumps}/tolerances/shift-limits/title`, to: 'Shift of the rack' }],
    finds: [],
  },
  {
    says: 'the same limit in another unit is the same',
    edits: [{ set: `${start}/tolerances/oil-pressure-limit/at-least`, to: '0.13 MPa' }],
    finds: [],
  },
  {
    says: 'a limit above what was read',
    edits: [{ set: `${start}/tolerances/oil-pressure-limit/at-least`, to: '9 bar' }],
    finds: ['first-start.oil-pressure-limit changed conforming nonconforming tightened'],
  },
  {
    says: 'a tolerance has another name, and another limit with it',
    edits: [
      { set: `${start}/tolerances/oil-pressure-limit/at-least`, to: '9 bar' },
      { rename: `${start}/tolerances/oil-pressure-limit`, to: 'least-oil-pressure' },
    ],
    finds: ['first-start.least-oil-pressure changed conforming nonconforming tightened'],
  },
  {
    says: 'a reading has another name, and its limit is another',
    edits: [
      { set: `${start}/tolerances/oil-pressure-limit/at-least`, to: '9 bar' },
      { rename: `${start}/readings/oil-pressure`, to: 'pressure-of-oil' },
    ],
    finds: ['first-start.oil-pressure-limit changed conforming nonconforming tightened'],
  },
  {
    says: 'a guarded rule, and no uncertainty is known of the gauge',
    edits: [
      { set: `${start}/tolerances/oil-pressure-limit/rule`, to: 'guarded-acceptance' },
      { set: 'first-start#watch-oil/if-inconclusive', to: { hold: 'oil-pressure-low' } },
      { remove: '/instruments/oil-pressure-gauge/maximum-permissible-error' },
    ],
    finds: [
      'first-start.oil-pressure-limit cannot conforming uncertainty-unknown rule-changed instrument-changed',
    ],
  },
  {
    says: 'a fact of the variant',
    edits: [{ set: '/variants/marram-four/facts/top-speed', to: '2000 r/min' }],
    finds: ['first-start.highest-speed-limit changed conforming nonconforming tightened'],
  },
  {
    says: 'a reading is asked for three times',
    edits: [{ set: `${start}/readings/oil-pressure/repeats`, to: { times: '3' } }],
    finds: ['first-start.oil-pressure-limit cannot conforming fewer-repeats first-start.oil-pressure added'],
  },
  {
    says: 'an answer does not conform any more',
    edits: [{ set: `${start}/observations/idle-sound/conforming`, to: ['hunts'] }],
    finds: ['first-start.idle-sound changed conforming nonconforming loosened tightened'],
  },
  {
    says: 'a reading that was taken is judged for the first time',
    edits: [
      {
        set: `${start}/tolerances/speed-of-notes`,
        to: { of: 'idle-speed', 'at-most': '650 r/min', source: 'invented' },
      },
      {
        insert: {
          step: 'look-at-notes',
          do: 'Compare the idle speed with the notes.',
          judge: 'speed-of-notes',
          'if-nonconforming': { hold: 'oil-pressure-low' },
        },
        into: `${start}/steps`,
        index: 5,
      },
    ],
    finds: ['first-start.speed-of-notes added nonconforming added'],
  },
  {
    says: 'a limit of a reading that did not exist',
    edits: [
      {
        set: `${start}/readings/boost`,
        to: {
          measurand: 'Pressure behind the primer',
          quantity: 'pressure',
          unit: 'bar',
          instrument: 'oil-pressure-gauge',
          plausible: ['0 bar', '10 bar'],
        },
      },
      {
        set: `${start}/tolerances/boost-limit`,
        to: { of: 'boost', 'at-least': '1 bar', source: 'invented' },
      },
      {
        insert: {
          step: 'read-boost',
          do: 'Read the pressure.',
          read: 'boost',
          judge: 'boost-limit',
          'if-nonconforming': { hold: 'oil-pressure-low' },
        },
        into: `${start}/steps`,
        index: 5,
      },
    ],
    finds: ['first-start.boost-limit cannot no-such-reading first-start.boost added added'],
  },
  {
    says: 'what was judged is not judged any more',
    edits: [
      { remove: `${start}/tolerances/oil-pressure-limit` },
      { remove: 'first-start#watch-oil/judge' },
      { remove: 'first-start#watch-oil/if-nonconforming' },
    ],
    finds: ['first-start.oil-pressure-limit gone conforming removed'],
  },
];

describe('jobs under small revisions', async () => {
  const document = await documentOf(unitPumps);
  const before = packOf(document);
  const jobs = jobsIn(before);

  it.each(table)('$says', ({ edits, finds, trial = 'clean-four' }) => {
    const after = packOf(edited(document, edits));
    const job = jobs.find((one) => one.trial === trial);
    if (job === undefined) throw new Error(`no job ${trial}`);
    const judge = judgesFor(before, after)(job);
    const outcomes = rejudgeJob(judge, job.facts, { all: false });
    const told = outcomes.filter(
      (one) =>
        one.outcome !== 'untouched' &&
        one.outcome !== 'same' &&
        !(one.outcome === 'cannot' && one.because === 'not-taken'),
    );
    expect(told.map((one) => words(judge, one))).toEqual(finds);
  });

  it('what was struck and not taken again cannot be judged', () => {
    let seen = 0;
    for (const job of jobs) {
      const judge = judgesFor(before, before)(job);
      for (const [index, { fact }] of job.facts.entries()) {
        if (fact.kind !== 'struck' || fact.entry === undefined || fact.open === true) continue;
        const relying = new Set(judge.reliesOn.get(fact.entry));
        const judgedBefore = new Set(
          job.facts.slice(0, index).flatMap((one) => (one.fact.kind === 'judged' ? [one.fact.of] : [])),
        );
        const outcomes = rejudgeJob(judge, job.facts.slice(0, index + 1), { all: true });
        for (const one of outcomes) {
          const { was = '' } = judge.measures[one.measure] ?? {};
          if (!relying.has(one.measure) || !judgedBefore.has(was)) continue;
          seen += 1;
          expect(one).toMatchObject({ outcome: 'cannot', because: 'struck' });
        }
      }
    }
    expect(seen).toBeGreaterThan(0);
  });
});
