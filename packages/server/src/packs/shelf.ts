import { jobsOf } from '@ferrule/check';
import { type Diagnostic, type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import type { JobHeader } from '@ferrule/records';
import { type Policy, type ReleaseState, releaseWords, unsigned } from '@ferrule/signing';
import { type Bundle, bundleOf, type Positions, readOverlayHead, readPack } from '@ferrule/source';
import { type Problem, problem } from '../problem.ts';
import type { OverlayNamed } from './beside-pack.ts';
import { type Found, findPacks, stampOf } from './find-packs.ts';
import type { Policies } from './policies.ts';

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
  readonly release: ReleaseState;
  readonly jobs: readonly ShelvedJob[];
  /** What reading it and its form give; names and the proof are for `check`. */
  readonly diagnostics: { readonly errors: number; readonly warnings: number };
}

/** What is said of an overlay, laid over the pack that it is for. */
export interface ShelvedOverlay extends OverlayNamed {
  readonly title?: string;
  /** The pack that it is for; undefined where it does not say. */
  readonly over?: { readonly pack: string; readonly revision: string };
  /** Of the pack with the overlay. */
  readonly digest?: string;
  readonly release: ReleaseState;
  readonly diagnostics: { readonly errors: number; readonly warnings: number };
}

/** A pack that runs, as it stands on the shelf now. */
export interface OpenedPack {
  readonly folder: string;
  readonly overlay?: string;
  readonly pack: Pack;
  readonly positions: Positions;
  readonly bundle: Bundle;
  readonly release: ReleaseState;
  /** That of the overlay, where one is laid over it. */
  readonly overlayRelease?: ReleaseState;
}

/** What was said of a pack, and what its files were like then. */
interface Said<T> {
  readonly stamp: string;
  readonly said: T;
}

/** The packs that jobs can be begun from: those in the folders that the server was started with, and no others. */
export class Shelf {
  readonly #folders: readonly string[];
  readonly #policies: Policies;
  #said: ReadonlyMap<string, Said<ShelvedPack>> = new Map();
  #saidOfOverlays: ReadonlyMap<string, Said<ShelvedOverlay>> = new Map();
  #listing: Promise<readonly ShelvedPack[] | Problem> | undefined;

  constructor(folders: readonly string[], policies: Policies) {
    this.#folders = folders;
    this.#policies = policies;
  }

  /** Every pack, those with faults as well, in the order of their names. Only what has changed since the last time is read. */
  list(): Promise<readonly ShelvedPack[] | Problem> {
    this.#listing ??= this.#list().finally(() => {
      this.#listing = undefined;
    });
    return this.#listing;
  }

  async #list(): Promise<readonly ShelvedPack[] | Problem> {
    const { packs, libraries } = await findPacks(this.#folders);
    const shared = (await Promise.all(libraries.map(({ folder }) => stampOf(folder)))).join('\n');
    const said = new Map<string, Said<ShelvedPack>>();
    for (const one of packs) {
      const now = await this.#policies.of(one.folder);
      if ('code' in now) return now;
      const stamp = `${shared}\n${now.stamp}\n${await stampOf(one.folder)}`;
      const before = this.#said.get(one.folder);
      const isSame = before?.stamp === stamp;
      said.set(one.folder, isSame ? before : { stamp, said: await describe(one, now.policy) });
    }
    this.#said = said;
    return [...said.values()].map((one) => one.said);
  }

  /** Every overlay, laid over the pack that it is for, in the order of their names. */
  async overlays(): Promise<readonly ShelvedOverlay[] | Problem> {
    const { packs, overlays, libraries } = await findPacks(this.#folders);
    if (overlays.length === 0) return [];
    const stamps = await Promise.all([...packs, ...libraries].map(({ folder }) => stampOf(folder)));
    const said = new Map<string, Said<ShelvedOverlay>>();
    for (const one of overlays) {
      const now = await this.#policies.of(one.folder);
      if ('code' in now) return now;
      const stamp = [...stamps, now.stamp, await stampOf(one.folder)].join('\n');
      const before = this.#saidOfOverlays.get(one.folder);
      const isSame = before?.stamp === stamp;
      said.set(one.folder, isSame ? before : { stamp, said: await describeOverlay(one, packs, now.policy) });
    }
    this.#saidOfOverlays = said;
    return [...said.values()].map((one) => one.said);
  }

  /** Where a pack stands now, held against which policy, and what shows that anything on the shelf has changed. */
  async find(
    name: string,
    revision: string,
    overlay?: OverlayNamed,
  ): Promise<
    | {
        readonly folder: string;
        /** That of the overlay. */
        readonly overlay?: string;
        readonly policy?: string;
        readonly stamp: string;
      }
    | Problem
  > {
    const { packs, libraries, overlays } = await findPacks(this.#folders);
    const found = packs.find((one) => one.name === name && one.revision === revision);
    if (found === undefined) return noSuchPack(name, revision);
    const laid = overlay && laidOf(overlays, overlay);
    if (overlay !== undefined && laid === undefined) return noSuchOverlay(overlay);
    const now = await this.#policies.of(found.folder);
    if ('code' in now) return now;
    // A pack takes from libraries, and names procedures of other packs.
    const all = [...packs, ...libraries, ...(laid === undefined ? [] : [laid])];
    const stamps = await Promise.all(all.map(({ folder }) => stampOf(folder)));
    return {
      folder: found.folder,
      ...(laid === undefined ? {} : { overlay: laid.folder }),
      ...(now.path === undefined ? {} : { policy: now.path }),
      stamp: [now.stamp, ...stamps].join('\n'),
    };
  }

  /** The pack that stands there with this digest now, as it is signed. */
  async bundle(digest: string): Promise<string | undefined> {
    const all = await this.list();
    const said = 'code' in all ? undefined : all.find((one) => one.digest === digest);
    const opened = said ? await this.open(said.pack, said.revision) : await this.#laid(digest);
    if (opened === undefined || 'code' in opened) return undefined;
    return opened.bundle.digest === digest ? opened.bundle.text : undefined;
  }

  /** The pack with an overlay laid over it that has this digest. */
  async #laid(digest: string): Promise<OpenedPack | Problem | undefined> {
    const overlays = await this.overlays();
    const said = 'code' in overlays ? undefined : overlays.find((one) => one.digest === digest);
    return said?.over && this.open(said.over.pack, said.over.revision, said);
  }

  /** A pack as it stands there now, with an overlay laid over it where one is named. */
  async open(name: string, revision: string, overlay?: OverlayNamed): Promise<OpenedPack | Problem> {
    const shelf = await findPacks(this.#folders);
    const found = shelf.packs.find((one) => one.name === name && one.revision === revision);
    if (found === undefined) return noSuchPack(name, revision);
    const laid = overlay && laidOf(shelf.overlays, overlay);
    if (overlay !== undefined && laid === undefined) return noSuchOverlay(overlay);
    const now = await this.#policies.of(found.folder);
    if ('code' in now) return now;
    const read = await readWhole(found, now.policy, laid);
    const errors = countOf(read.diagnostics, 'error');
    if (read.pack === undefined || errors > 0) {
      return problem(
        'faulty-pack',
        `${name} ${revision}${laid === undefined ? '' : ` with ${laid.name} ${laid.revision}`} has ${errors} ${errors === 1 ? 'fault' : 'faults'}.`,
        {
          operands: {
            ...{ pack: name, revision, errors },
            ...(laid === undefined ? {} : { overlay: laid.name, overlayRevision: laid.revision }),
            release: releaseWords(read.release, laid === undefined ? undefined : read.overlayRelease),
          },
        },
      );
    }
    return {
      folder: found.folder,
      ...(laid === undefined ? {} : { overlay: laid.folder }),
      pack: read.pack,
      positions: read.positions,
      bundle: bundleOf(read.document),
      release: read.release,
      ...(laid === undefined ? {} : { overlayRelease: read.overlayRelease }),
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

const noSuchPack = (pack: string, revision: string): Problem =>
  problem('no-such-pack', `There is no pack ${pack} in revision ${revision} on the shelf.`, {
    operands: { pack, revision },
  });

const laidOf = (overlays: readonly Found[], { overlay, revision }: OverlayNamed): Found | undefined =>
  overlays.find((one) => one.name === overlay && one.revision === revision);

const noSuchOverlay = ({ overlay, revision }: OverlayNamed): Problem =>
  problem('no-such-pack', `There is no overlay ${overlay} in revision ${revision} on the shelf.`, {
    operands: { overlay, revision },
  });

const countOf = (found: readonly Diagnostic[], severity: Diagnostic['severity']): number =>
  found.filter((one) => one.severity === severity).length;

async function readWhole(
  { folder }: Found,
  policy: Policy | undefined,
  overlay?: Found,
): Promise<{
  readonly document: unknown;
  readonly positions: Positions;
  readonly pack?: Pack;
  readonly diagnostics: readonly Diagnostic[];
  readonly release: ReleaseState;
  readonly overlayRelease: ReleaseState;
}> {
  const reading = await readPack(
    folder,
    overlay === undefined ? { policy } : { policy, overlay: overlay.folder },
  );
  const { document, positions, diagnostics, release = unsigned, overlayRelease = unsigned } = reading;
  const read = { document, positions, release, overlayRelease };
  if (countOf(diagnostics, 'error') > 0) return { ...read, diagnostics };
  const validated = validate(document);
  const all = [...diagnostics, ...validated.diagnostics];
  return validated.pack === undefined
    ? { ...read, diagnostics: all }
    : { ...read, pack: validated.pack, diagnostics: all };
}

async function describe(found: Found, policy: Policy | undefined): Promise<ShelvedPack> {
  const { name, revision } = found;
  const { document, pack, diagnostics, release } = await readWhole(found, policy);
  const named = { pack: name, revision, release };
  if (pack === undefined) return { ...named, jobs: [], diagnostics: counted(diagnostics) };
  const jobs = jobsOf(pack).map(
    (procedure): ShelvedJob => ({
      procedure,
      title: pack.procedures[procedure]?.title ?? procedure,
      variants: variantsOf(pack, procedure).map((variant) => ({
        variant,
        title: pack.variants[variant]?.title ?? variant,
      })),
    }),
  );
  return {
    ...named,
    title: pack.title,
    ...(pack.notice === undefined ? {} : { notice: pack.notice }),
    digest: bundleOf(document).digest,
    jobs,
    diagnostics: counted(diagnostics),
  };
}

async function describeOverlay(
  laid: Found,
  packs: readonly Found[],
  policy: Policy | undefined,
): Promise<ShelvedOverlay> {
  const head = await readOverlayHead(laid.folder);
  const named = { overlay: laid.name, revision: laid.revision, ...head };
  const found = packs.find((one) => one.name === head.over?.pack && one.revision === head.over.revision);
  if (found === undefined) return { ...named, release: unsigned, diagnostics: { errors: 0, warnings: 0 } };
  const { document, pack, diagnostics, overlayRelease } = await readWhole(found, policy, laid);
  return {
    ...named,
    ...(pack === undefined ? {} : { digest: bundleOf(document).digest }),
    release: overlayRelease,
    diagnostics: counted(diagnostics),
  };
}

const counted = (all: readonly Diagnostic[]) => ({
  errors: countOf(all, 'error'),
  warnings: countOf(all, 'warning'),
});

/** The engines that a procedure is for. */
export const variantsOf = (pack: Pack, procedure: string): readonly string[] =>
  pack.procedures[procedure]?.variants ?? Object.keys(pack.variants);

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
