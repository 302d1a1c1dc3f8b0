import { checkPack, ProvenPlans } from '@ferrule/check';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { deferral } from '@ferrule/print';
import { type ReleaseState, unsigned } from '@ferrule/signing';
import { bundleOf, readPack, readPolicyFile } from '@ferrule/source';
import { releaseNow } from '../documents.ts';
import type { OnProgress } from '../long-work/working.ts';
import type { OverlayNamed } from '../packs/beside-pack.ts';
import { httpFormat } from '../problem.ts';
import { Recent } from '../recent.ts';
import { checkAnswer } from './check-answer.ts';
import { Places } from './places.ts';
import { trialsAnswer } from './trials-answer.ts';

/** What is to be looked at: a pack by its folder, and under which names it stands on the shelf. */
export interface Asked {
  readonly folder: string;
  readonly pack: string;
  readonly revision: string;
  /** The overlay that is laid over it. */
  readonly overlay?: OverlayNamed & { readonly folder: string };
  /** The file of the policy that it is held against. */
  readonly policy?: string;
}

/** Packs whose proofs are kept for the next check. */
const MOST_PROVEN = 4;

const readingFiles = { doing: 'reading its files', done: 0, of: 0 };

/** Checks packs and runs their trials; what was proved before, and is as it was, is not proved again. */
export class Examination {
  readonly #proven = new Recent<ProvenPlans>(MOST_PROVEN);

  /** What was found in it, as the JSON of the document that says so. */
  async check(asked: Asked, onProgress: OnProgress): Promise<string> {
    const { folder, overlay } = asked;
    onProgress(readingFiles);
    const report = await checkPack(folder, {
      ...(await beside(asked)),
      proven: this.#provenOf(keyOf(asked)),
      onProof: (procedure, variant, done, of) =>
        onProgress({ doing: `proving ${procedure} for ${variant}`, done, of }),
    });
    const head = headOf(asked, report.pack, report.digest, report);
    return JSON.stringify({ ...head, ...checkAnswer(folder, report, overlay) });
  }

  /** How its trials come out, likewise; undefined where it is too faulty for them to be run. */
  async trials(asked: Asked, onProgress: OnProgress): Promise<string | undefined> {
    const { folder, overlay } = asked;
    onProgress(readingFiles);
    const read = await readPack(folder, await beside(asked));
    const { document, diagnostics, files, positions } = read;
    const { pack } = diagnostics.some(({ severity }) => severity === 'error') ? {} : validate(document);
    if (pack === undefined) return undefined;
    const { digest } = bundleOf(document);
    const answer = trialsAnswer(pack, digest, new Places(folder, positions, files, overlay), onProgress);
    return JSON.stringify({ ...headOf(asked, pack, digest, read), ...answer });
  }

  #provenOf(key: string): ProvenPlans {
    const proven = this.#proven.get(key) ?? new ProvenPlans();
    this.#proven.set(key, proven, 1);
    return proven;
  }
}

/** What a pack is read with. */
const beside = async ({ policy, overlay }: Asked) => ({
  policy: policy === undefined ? undefined : (await readPolicyFile(policy)).policy,
  ...(overlay === undefined ? {} : { overlay: overlay.folder }),
});

interface Releases {
  readonly release?: ReleaseState;
  readonly overlayRelease?: ReleaseState;
}

/** What an examination of a pack is known by: with an overlay laid over it, it is another. */
export const keyOf = ({ folder, overlay }: Asked): string => `${folder}\n${overlay?.folder ?? ''}`;

const overlayIn = ({ overlay, revision }: OverlayNamed, read: Pack | undefined, release: ReleaseState) => ({
  ...{ overlay, revision },
  ...(read?.overlaid === undefined ? {} : { title: read.overlaid.title }),
  release: releaseNow(release),
});

const headOf = (
  { pack, revision, overlay }: Asked,
  read: Pack | undefined,
  digest: string | undefined,
  { release = unsigned, overlayRelease = unsigned }: Releases,
) => ({
  ...{ format: httpFormat, deferral, pack, revision },
  ...(overlay === undefined ? {} : { overlay: overlayIn(overlay, read, overlayRelease) }),
  ...(read === undefined ? {} : { title: read.title }),
  ...(read?.notice === undefined ? {} : { notice: read.notice }),
  ...(digest === undefined ? {} : { digest }),
  release: releaseNow(release),
});
