import { resolve as resolvePath } from 'node:path';
import { resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { folderStore, type JobHeader, type JobStore } from '@ferrule/records';
import { bundleOf, readBundle, readPack } from '@ferrule/source';
import { complain } from '../terminal/output.ts';
import type { Runnable } from './runnable.ts';

/**
 * What a kept job runs on: the pack as its store has kept it, whatever has become of the folder. Undefined when the store has
 * none, as for jobs that were begun before packs were kept, or one that this revision of Ferrule cannot read.
 */
export function keptRunnable(
  store: string,
  { pack, overlay, procedure, variant, release }: JobHeader,
): Runnable | undefined {
  const text = folderStore(store).bundle(pack.digest);
  if (text === undefined) return undefined;
  const read = readBundle(text);
  const validated = read.document === undefined ? undefined : validate(read.document).pack;
  const { plan } = validated === undefined ? {} : resolve(validated, { procedure, variant });
  if (validated === undefined || plan === undefined) return undefined;
  return {
    ...{ plan, opened: { pack: validated }, digest: pack.digest, bundle: text },
    folder: resolvePath(store, pack.path),
    ...(overlay === undefined ? {} : { overlay: resolvePath(store, overlay.path) }),
    ...(release === undefined ? {} : { release }),
  };
}

/** Why a job has nothing to run on in its store, as the beginning of a sentence. */
export const noKeptPack = (store: JobStore, { job, pack }: JobHeader): string =>
  store.hasOtherBundle(pack.digest)
    ? `what the store keeps as the pack of ${job} is something else: it was altered`
    : store.bundle(pack.digest) === undefined
      ? `the store has kept no pack of ${job}`
      : `this version does not read the pack of ${job}`;

/** Says that the folder that was named holds something else than the job goes on with. */
export async function sayOtherPack(
  { plan: { pack }, digest }: Runnable,
  folder: string,
  overlay: string | undefined,
): Promise<void> {
  const { document, diagnostics } = await readPack(folder, overlay === undefined ? {} : { overlay });
  const isRead = !diagnostics.some((one) => one.severity === 'error');
  if (isRead && bundleOf(document).digest === digest) return;
  complain(
    `ferrule: ${folder} ${isRead ? 'holds something else' : 'cannot be read any more'}. The job goes on with ${pack.id} ${pack.revision} (${digest.slice(0, 19)}…) as the store has kept it.`,
  );
}
