import { join } from 'node:path';
import { jobsOf, replayWay } from '@ferrule/check';
import { failing, offers, type Plan, resolve } from '@ferrule/engine';
import { explore, type Refutation, spellOut } from '@ferrule/engine/proof';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { beforeAll, describe, expect, test } from 'vitest';
import { removalsOf, without } from './removals/removal.ts';

type Document = Parameters<typeof removalsOf>[0];

const folder = join(import.meta.dirname, '../../specs/valve-clearance/1.0.0');

/** The plans of a pack from which something was taken out; none where a diagnostic shows it already. */
function plansWithout(document: Document, pointer: string): readonly Plan[] {
  const { pack } = validate(without(document, pointer));
  if (pack === undefined) return [];
  return jobsOf(pack).flatMap((procedure) =>
    Object.keys(pack.variants).flatMap((variant) => resolve(pack, { procedure, variant }).plan ?? []),
  );
}

/** Drives a job along the way of a refutation, and sees that the job stands where the refutation says, and may not go on. */
function seeReplayed(plan: Plan, refutation: Refutation): void {
  const way = spellOut(plan, refutation.trace);
  expect(way).toBeDefined();
  const replayed = replayWay(plan, way ?? [], { stays: true });
  expect(replayed.failed).toBeUndefined();
  if (replayed.failed !== undefined) return;
  const { job } = replayed;
  expect(replayed.factOf).toHaveLength(way?.length ?? 0);
  if (refutation.property === 'ends') {
    expect(job.control.at).toBe(plan.nodes.length);
    expect(failing(plan.ends, job.control.bytes)).toContain(refutation.guard);
  } else {
    expect(plan.nodes[job.control.at]?.path).toBe(refutation.node);
    if (refutation.property !== 'law') return;
    const { blocked } = offers(plan, job);
    expect(blocked.map((one) => one.message)).toContain(refutation.guard.because.says);
  }
}

describe('valve-clearance, with one thing taken out at a time', () => {
  let document: Document = '';
  beforeAll(async () => {
    document = (await readPack(folder)).document as Document;
  });

  // Of what can be taken out, changes of states alone are missed by the proof; the rest shows in diagnostics and trials.
  test('a job goes every way to what is refuted without a change', () => {
    let refuted = 0;
    for (const { pointer } of removalsOf(document).filter((one) => one.kind === 'change')) {
      for (const plan of plansWithout(document, pointer)) {
        for (const refutation of explore(plan).refutations) {
          seeReplayed(plan, refutation);
          refuted++;
        }
      }
    }
    expect(refuted).toBeGreaterThanOrEqual(8);
  });
});
