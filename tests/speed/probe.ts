import { examine, jobsOf } from '@ferrule/check';
import { Report, resolve } from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';

/** The parts of a check, in their order. */
export const parts = ['node', 'read', 'validate', 'digest', 'resolve', 'rules', 'proof'] as const;

export interface Probed {
  /** Milliseconds that each part took in a process of its own, in which nothing was warm. */
  readonly spent: Readonly<Record<(typeof parts)[number], number>>;
  /** Milliseconds of processor that all of them took: what else the machine does hardly tells in it. */
  readonly processor: number;
  readonly states: number;
  readonly strikes: number;
  readonly nodes: number;
  readonly diagnostics: number;
  /** Most bytes that the process had in memory at once. */
  readonly memory: number;
}

/** Does what a check does, part by part, once; in a process that was started for it. */
export async function probe(folder: string): Promise<Probed> {
  let last = 0;
  const lap = (): number => {
    const now = performance.now();
    const spent = now - last;
    last = now;
    return spent;
  };
  const node = lap();
  const read = await readPack(folder);
  const reading = lap();
  const { pack, diagnostics } = validate(read.document);
  if (pack === undefined) throw new Error(JSON.stringify([...read.diagnostics, ...diagnostics].slice(0, 3)));
  const validating = lap();
  bundleOf(read.document);
  const digest = lap();
  const report = new Report();
  const plans = jobsOf(pack).flatMap((procedure) =>
    (pack.procedures[procedure]?.variants ?? Object.keys(pack.variants)).flatMap(
      (variant) => resolve(pack, { procedure, variant }, report).plan ?? [],
    ),
  );
  const resolving = lap();
  examine({ pack, plans, report }, 'written');
  examine({ pack, plans, report }, 'resolved');
  const rules = lap();
  const found = plans.map((plan) => explore(plan));
  const proof = lap();
  const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);
  const { user, system } = process.cpuUsage();
  return {
    processor: (user + system) / 1000,
    spent: { node, read: reading, validate: validating, digest, resolve: resolving, rules, proof },
    states: sum(found.map((one) => one.states)),
    strikes: sum(found.map((one) => one.strikes)),
    nodes: sum(plans.map((plan) => plan.nodes.length)),
    diagnostics: report.diagnostics.length + sum(found.map((one) => one.refutations.length)),
    memory: process.resourceUsage().maxRSS * 1024,
  };
}
