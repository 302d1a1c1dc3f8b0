import { jobsOf } from '@ferrule/check';
import { type Diagnostic, type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import type { JobHeader } from '@ferrule/records';
import { type Bundle, bundleOf, readPack } from '@ferrule/source';
import { type Problem, problem } from '../problem.ts';
import { type Found, findPacks } from './find-packs.ts';

/** A job that a pack has, with the engines that it is for. */
export interface ShelvedJob {
  readonly procedure: string;
  readonly title: string;
  readonly variants: readonly { readonly variant: string; readonly title: string }[];
}

/** What is said of a pack without opening it for a job. */
export interface ShelvedPack {
  readonly pack: string;
  readonly revision: string;
  readonly title?: string;
  readonly notice?: string;
  readonly digest?: string;
  readonly jobs: readonly ShelvedJob[];
  /** What reading, form and names of the pack give; the proof is for `check`. */
  readonly diagnostics: { readonly errors: number; readonly warnings: number };
}

/** A pack that runs, as it stands on the shelf now. */
export interface OpenedPack {
  readonly folder: string;
  readonly overlay?: string;
  readonly pack: Pack;
  readonly bundle: Bundle;
}

/** How long what was said of the packs holds, in milliseconds. A job always begins with the pack as it is then. */
const HOLDS = 2000;

/** The packs that jobs can be begun from: those in the folders that the server was started with, and no others. */
export class Shelf {
  readonly #folders: readonly string[];
  readonly #now: () => number;
  #said: { readonly until: number; readonly packs: Promise<readonly ShelvedPack[]> } | undefined;

  constructor(folders: readonly string[], now: () => number) {
    this.#folders = folders;
    this.#now = now;
  }

  /** Every pack, those with faults as well, in the order of their names. */
  list(): Promise<readonly ShelvedPack[]> {
    const now = this.#now();
    if (this.#said === undefined || this.#said.until < now) {
      const packs = findPacks(this.#folders).then(async (found) => {
        const described: ShelvedPack[] = [];
        for (const one of found.packs) described.push(await describe(one));
        return described;
      });
      this.#said = { until: now + HOLDS, packs };
    }
    return this.#said.packs;
  }

  /** A pack as it stands there now, with an overlay laid over it where one is named. */
  async open(
    name: string,
    revision: string,
    overlay?: { readonly overlay: string; readonly revision: string },
  ): Promise<OpenedPack | Problem> {
    const shelf = await findPacks(this.#folders);
    const isNamed = (one: Found, as: string, which: string): boolean =>
      one.name === as && one.revision === which;
    const found = shelf.packs.find((one) => isNamed(one, name, revision));
    if (found === undefined) {
      return problem('no-such-pack', `There is no pack ${name} in revision ${revision} on the shelf.`, {
        operands: { pack: name, revision },
      });
    }
    const laid = overlay && shelf.overlays.find((one) => isNamed(one, overlay.overlay, overlay.revision));
    if (overlay !== undefined && laid === undefined) {
      return problem(
        'no-such-pack',
        `There is no overlay ${overlay.overlay} in revision ${overlay.revision} on the shelf.`,
        { operands: { ...overlay } },
      );
    }
    const read = await readWhole(found, laid);
    const errors = countOf(read.diagnostics, 'error');
    if (read.pack === undefined || errors > 0) {
      return problem(
        'faulty-pack',
        `${name} ${revision} has ${errors} ${errors === 1 ? 'fault' : 'faults'}.`,
        {
          operands: { pack: name, revision, errors },
        },
      );
    }
    return {
      folder: found.folder,
      ...(laid === undefined ? {} : { overlay: laid.folder }),
      pack: read.pack,
      bundle: bundleOf(read.document),
    };
  }

  /** The document of the pack that a job was started with, if it stands here unchanged. */
  async documentOf({ pack, overlay }: JobHeader): Promise<unknown> {
    const shelf = await findPacks(this.#folders);
    const found = shelf.packs.find((one) => one.name === pack.id && one.revision === pack.revision);
    if (found === undefined) return undefined;
    const laid =
      overlay && shelf.overlays.find((one) => one.name === overlay.id && one.revision === overlay.revision);
    if (overlay !== undefined && laid === undefined) return undefined;
    const { document } = await readPack(found.folder, laid === undefined ? {} : { overlay: laid.folder });
    return bundleOf(document).digest === pack.digest ? document : undefined;
  }
}

const countOf = (found: readonly Diagnostic[], severity: Diagnostic['severity']): number =>
  found.filter((one) => one.severity === severity).length;

async function readWhole(
  { folder }: Found,
  overlay?: Found,
): Promise<{
  readonly document: unknown;
  readonly pack?: Pack;
  readonly diagnostics: readonly Diagnostic[];
}> {
  const { document, diagnostics } = await readPack(
    folder,
    overlay === undefined ? {} : { overlay: overlay.folder },
  );
  if (countOf(diagnostics, 'error') > 0) return { document, diagnostics };
  const validated = validate(document);
  const all = [...diagnostics, ...validated.diagnostics];
  return validated.pack === undefined
    ? { document, diagnostics: all }
    : { document, pack: validated.pack, diagnostics: all };
}

async function describe(found: Found): Promise<ShelvedPack> {
  const { name, revision } = found;
  const { document, pack, diagnostics } = await readWhole(found);
  const named = { pack: name, revision };
  const said = (all: readonly Diagnostic[]) => ({
    errors: countOf(all, 'error'),
    warnings: countOf(all, 'warning'),
  });
  if (pack === undefined) return { ...named, jobs: [], diagnostics: said(diagnostics) };
  const resolving: Diagnostic[] = [];
  const jobs = jobsOf(pack).map((procedure): ShelvedJob => {
    const variants = variantsOf(pack, procedure).map((variant) => {
      resolving.push(...resolve(pack, { procedure, variant }).diagnostics);
      return { variant, title: pack.variants[variant]?.title ?? variant };
    });
    return { procedure, title: pack.procedures[procedure]?.title ?? procedure, variants };
  });
  return {
    ...named,
    title: pack.title,
    ...(pack.notice === undefined ? {} : { notice: pack.notice }),
    digest: bundleOf(document).digest,
    jobs,
    diagnostics: said([...diagnostics, ...onceEach(resolving)]),
  };
}

/** The engines that a procedure is for. */
export const variantsOf = (pack: Pack, procedure: string): readonly string[] =>
  pack.procedures[procedure]?.variants ?? Object.keys(pack.variants);

/** The same fault shows for each engine. */
function onceEach(found: readonly Diagnostic[]): readonly Diagnostic[] {
  const seen = new Set<string>();
  return found.filter(({ code, pointer }) => {
    const key = `${code} ${pointer}`;
    return !seen.has(key) && seen.add(key) !== undefined;
  });
}

/** The plan of a job of an opened pack. */
export function planOf({ pack }: OpenedPack, procedure: string, variant: string): Plan | Problem {
  const operands = { pack: pack.pack, revision: pack.revision, procedure, variant };
  const jobs = jobsOf(pack);
  if (!jobs.includes(procedure)) {
    return problem(
      'no-such-procedure',
      `${pack.pack} ${pack.revision} has no job ${procedure}. It has ${jobs.join(', ')}.`,
      { operands, pointer: '/procedure' },
    );
  }
  const variants = variantsOf(pack, procedure);
  if (!variants.includes(variant)) {
    return problem(
      'no-such-procedure',
      `${procedure} is not for ${variant}. It is for ${variants.join(', ')}.`,
      { operands, pointer: '/variant' },
    );
  }
  const { plan, diagnostics } = resolve(pack, { procedure, variant });
  if (plan !== undefined) return plan;
  const errors = countOf(diagnostics, 'error');
  return problem(
    'faulty-pack',
    `${pack.pack} ${pack.revision} has ${errors} ${errors === 1 ? 'fault' : 'faults'} for ${procedure} on ${variant}.`,
    { operands: { ...operands, errors } },
  );
}
