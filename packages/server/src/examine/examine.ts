import { checkPack, ProvenPlans } from '@ferrule/check';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { deferral } from '@ferrule/print';
import { type ReleaseState, unsigned } from '@ferrule/signing';
import { bundleOf, readPack, readPolicyFile } from '@ferrule/source';
import { releaseNow } from '../documents.ts';
import { httpFormat } from '../problem.ts';
import { checkAnswer } from './check-answer.ts';
import { Places } from './places.ts';
import { type OnProgress, trialsAnswer } from './trials-answer.ts';

/** What is to be looked at: a pack by its folder, and under which names it stands on the shelf. */
export interface Asked {
  readonly what: 'check' | 'trials';
  readonly folder: string;
  readonly pack: string;
  readonly revision: string;
  /** The file of the policy that it is held against. */
  readonly policy?: string;
}

/** Packs whose proofs are kept for the next check. */
const MOST_PROVEN = 4;

/** Checks packs and runs their trials; what was proved before, and is as it was, is not proved again. */
export class Examination {
  readonly #proven = new Map<string, ProvenPlans>();

  /** The document that answers, as JSON; undefined where a pack is too faulty for its trials to be run. */
  async run(asked: Asked, onProgress: OnProgress): Promise<string | undefined> {
    return asked.what === 'check' ? this.#check(asked, onProgress) : tried(asked, onProgress);
  }

  async #check(asked: Asked, onProgress: OnProgress): Promise<string> {
    const { folder } = asked;
    const report = await checkPack(folder, {
      policy: await policyOf(asked),
      proven: this.#provenOf(folder),
      onProof: (procedure, variant, done, of) => onProgress(`proving ${procedure} for ${variant}`, done, of),
    });
    const head = headOf(asked, report.pack, report.digest, report.release);
    return JSON.stringify({ ...head, ...checkAnswer(folder, report) });
  }

  #provenOf(folder: string): ProvenPlans {
    const known = this.#proven.get(folder) ?? new ProvenPlans();
    this.#proven.delete(folder);
    this.#proven.set(folder, known);
    const [oldest] = this.#proven.keys();
    if (this.#proven.size > MOST_PROVEN && oldest !== undefined) this.#proven.delete(oldest);
    return known;
  }
}

async function tried(asked: Asked, onProgress: OnProgress): Promise<string | undefined> {
  const { folder } = asked;
  const { document, diagnostics, files, positions, release } = await readPack(folder, {
    policy: await policyOf(asked),
  });
  const { pack } = diagnostics.some(({ severity }) => severity === 'error') ? {} : validate(document);
  if (pack === undefined) return undefined;
  const { digest } = bundleOf(document);
  const answer = trialsAnswer(pack, digest, new Places(folder, positions, files), onProgress);
  return JSON.stringify({ ...headOf(asked, pack, digest, release), ...answer });
}

const policyOf = async ({ policy }: Asked) =>
  policy === undefined ? undefined : (await readPolicyFile(policy)).policy;

const headOf = (
  { pack, revision }: Asked,
  read: Pack | undefined,
  digest: string | undefined,
  release: ReleaseState = unsigned,
) => ({
  ...{ format: httpFormat, deferral, pack, revision },
  ...(read === undefined ? {} : { title: read.title }),
  ...(read?.notice === undefined ? {} : { notice: read.notice }),
  ...(digest === undefined ? {} : { digest }),
  release: releaseNow(release),
});
