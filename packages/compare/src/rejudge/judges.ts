import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { folderStore, type JobHeader, type JobStore } from '@ferrule/records';
import { readBundle } from '@ferrule/source';
import type { AsideReason } from './aside.ts';
import { Comparing, type Judge } from './judge.ts';

/** The newer revision as bundles: by itself, and with each overlay of the shop laid over it. */
export interface NewRevision {
  readonly bundle: string;
  readonly laid: readonly { readonly overlay: string; readonly bundle: string }[];
}

export interface Why {
  readonly because: AsideReason;
  readonly message: string;
}

/** Judges by what a job was done by: each is made once. */
export class Judges {
  readonly #store: JobStore;
  readonly #pack: Pack;
  readonly #laid: ReadonlyMap<string, Pack>;
  readonly #packs = new Map<string, Pack | Why>();
  readonly #comparing = new Map<string, Comparing>();
  readonly #judges = new Map<string, Judge | Why>();

  /** Throws a RangeError when a bundle of the newer revision cannot be read. */
  constructor(store: string, { bundle, laid }: NewRevision) {
    this.#store = folderStore(store);
    this.#pack = packOf(bundle);
    this.#laid = new Map(laid.map((one) => [one.overlay, packOf(one.bundle)]));
  }

  /** The judge for a job, or why there is none. */
  for({ pack, overlay, procedure, variant }: JobHeader): Judge | Why {
    if (pack.id !== this.#pack.pack)
      return { because: 'other-pack', message: `It is of ${pack.id} ${pack.revision}.` };
    const key = `${pack.digest} ${procedure} ${variant}`;
    const known = this.#judges.get(key);
    if (known !== undefined) return known;
    const made = this.#make(pack.digest, overlay, procedure, variant);
    this.#judges.set(key, made);
    return made;
  }

  #make(digest: string, overlay: JobHeader['overlay'], procedure: string, variant: string): Judge | Why {
    const before = this.#kept(digest);
    if ('because' in before) return before;
    const after = overlay === undefined ? this.#pack : this.#laid.get(overlay.id);
    if (after === undefined)
      return {
        because: 'no-overlay',
        message: `It was begun with the overlay ${overlay?.id ?? ''} ${overlay?.revision ?? ''}. Name a revision of it that fits with --overlay.`,
      };
    const comparing = this.#comparing.get(digest) ?? new Comparing(before, after);
    this.#comparing.set(digest, comparing);
    const then = planOf(before, procedure, variant);
    if (then === undefined)
      return {
        because: 'does-not-fit',
        message: `The revision that it says it was done by has no ${procedure} for ${variant}.`,
      };
    const now = comparing.successor(procedure, variant);
    const document = after.procedures[now.procedure];
    if (document === undefined)
      return { because: 'no-procedure', message: `There is no ${procedure} any more.` };
    const plan = planOf(after, now.procedure, now.variant);
    return plan === undefined
      ? { because: 'no-variant', message: `There is no ${procedure} for ${variant} any more.` }
      : comparing.judge(then, plan);
  }

  #kept(digest: string): Pack | Why {
    const known = this.#packs.get(digest);
    if (known !== undefined) return known;
    const text = this.#store.bundle(digest);
    const found = text === undefined ? this.#without(digest) : readPackText(text, digest);
    this.#packs.set(digest, found);
    return found;
  }

  #without(digest: string): Why {
    return this.#store.hasOtherBundle(digest)
      ? {
          because: 'bundle-unreadable',
          message: `What the store keeps as the pack of the digest ${digest} is something else: it was altered. Put back a copy from before.`,
        }
      : { because: 'no-bundle', message: `The store has no pack of the digest ${digest}.` };
  }
}

function readPackText(text: string, digest: string): Pack | Why {
  const { document, diagnostics } = readBundle(text);
  const pack = document === undefined ? undefined : validate(document).pack;
  return (
    pack ?? {
      because: 'bundle-unreadable',
      message: `The pack of the digest ${digest} cannot be read${diagnostics[0] === undefined ? '' : `: ${diagnostics[0].message}`}`,
    }
  );
}

function packOf(bundle: string): Pack {
  const found = readPackText(bundle, 'that was named');
  if ('because' in found) throw new RangeError(found.message);
  return found;
}

const planOf = (pack: Pack, procedure: string, variant: string): Plan | undefined =>
  Object.hasOwn(pack.procedures, procedure) && Object.hasOwn(pack.variants, variant)
    ? resolve(pack, { procedure, variant }).plan
    : undefined;
