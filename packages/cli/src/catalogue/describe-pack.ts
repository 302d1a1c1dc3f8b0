import { jobsOf } from '@ferrule/check';
import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { type Policy, releaseWords } from '@ferrule/signing';
import { bundleOf, readPack } from '@ferrule/source';

/** A procedure that is a job of its own, as a catalogue has it. */
export interface CataloguedJob {
  readonly procedure: string;
  readonly title: string;
  readonly variants: readonly string[];
  /** The fewest and the most among the variants, with what every remedy holds. */
  readonly steps: Range;
  readonly readings: Range;
  readonly tolerances: Range;
  readonly holds: Range;
  readonly persons: readonly string[];
  readonly instruments: readonly string[];
  /** The strongest signal word among its hazards. */
  readonly signal?: string;
  readonly dueNext: readonly string[];
  /** Procedures of other packs that its steps lead to. */
  readonly leadsTo: readonly string[];
  /** Procedures of other packs whose values it can take over. */
  readonly takesOver: readonly string[];
}

type Range = readonly [least: number, most: number];

/** A pack as a catalogue has it. */
export interface CataloguedPack {
  readonly folder: string;
  readonly pack: string;
  readonly revision: string;
  readonly title: string;
  readonly notice?: string;
  readonly source?: string;
  readonly digest: string;
  /** How it was released, in words. */
  readonly release: string;
  readonly libraries: readonly string[];
  readonly jobs: readonly CataloguedJob[];
  readonly trials: number;
}

/** The folder could be read, and what stands there is no pack that runs: `check` says why. */
export interface Unreadable {
  readonly folder: string;
  readonly faults: number;
}

/** Reads a pack, and describes each of its jobs over all variants. */
export async function describePack(folder: string, policy?: Policy): Promise<CataloguedPack | Unreadable> {
  const reading = await readPack(folder, { policy });
  const faulty = (faults: number): Unreadable => ({ folder, faults });
  const errors = reading.diagnostics.filter((one) => one.severity === 'error');
  if (errors.length > 0) return faulty(errors.length);
  const { pack, diagnostics } = validate(reading.document);
  if (pack === undefined) return faulty(diagnostics.length);
  const jobs: CataloguedJob[] = [];
  for (const procedure of jobsOf(pack)) {
    const variants = pack.procedures[procedure]?.variants ?? Object.keys(pack.variants);
    const plans: Plan[] = [];
    for (const variant of variants) {
      const resolved = resolve(pack, { procedure, variant });
      if (resolved.plan === undefined) return faulty(resolved.diagnostics.length);
      plans.push(resolved.plan);
    }
    jobs.push(describeJob(procedure, variants, plans));
  }
  return {
    folder,
    pack: pack.pack,
    revision: pack.revision,
    title: pack.title,
    ...(pack.notice === undefined ? {} : { notice: pack.notice }),
    ...(pack.source === undefined ? {} : { source: pack.source }),
    digest: bundleOf(reading.document).digest,
    release: releaseWords(reading.release),
    libraries: reading.libraries.map(({ name, revision }) => `${name} ${revision}`),
    jobs,
    trials: trialsOf(pack),
  };
}

const trialsOf = ({ trials }: Pack): number => Object.keys(trials ?? {}).length;

const signals = ['danger', 'warning', 'caution', 'notice'] as const;

function describeJob(procedure: string, variants: readonly string[], plans: readonly Plan[]): CataloguedJob {
  const range = (count: (plan: Plan) => number): Range => {
    const all = plans.map(count);
    return [Math.min(...all), Math.max(...all)];
  };
  const each = (list: (plan: Plan) => readonly string[]): readonly string[] => [
    ...new Set(plans.flatMap(list)),
  ];
  const signal = signals.find((one) =>
    plans.some((plan) => plan.hazards.some((hazard) => hazard.signal === one)),
  );
  return {
    procedure,
    title: plans[0]?.procedure.title ?? procedure,
    variants,
    steps: range(({ nodes }) => nodes.filter((one) => one.node === 'step').length),
    readings: range(({ entries }) => entries.filter((one) => one.entry === 'reading').length),
    tolerances: range(({ tolerances }) => tolerances.length),
    holds: range(({ holds }) => new Set(holds.map((one) => one.id)).size),
    persons: each((plan) => plan.persons.map((id) => plan.roles.find((one) => one.id === id)?.title ?? id)),
    instruments: each((plan) => plan.instruments.map((one) => one.title)),
    ...(signal === undefined ? {} : { signal }),
    dueNext: each((plan) => plan.dueNext),
    leadsTo: each(({ nodes }) =>
      nodes.flatMap((one) =>
        one.node === 'step' && one.act?.act === 'refer-to' ? `${one.act.pack}/${one.act.procedure}` : [],
      ),
    ),
    takesOver: each(({ entries }) =>
      entries.flatMap((one) =>
        one.entry === 'reading' && one.carry !== undefined ? `${one.carry.pack}/${one.carry.procedure}` : [],
      ),
    ),
  };
}
