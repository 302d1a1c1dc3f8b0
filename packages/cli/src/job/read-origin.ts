import { basename, dirname, join, resolve as resolvePath } from 'node:path';
import { type Origin, resolve } from '@ferrule/engine';
import { handedOn, replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { type JobHeader, readJob } from '@ferrule/records';
import { bundleOf, readPack, type SourceMapping } from '@ferrule/source';

/**
 * What a kept job hands on to others. Its values are made again under the pack that it was done with: that is looked for
 * where the record says, and on `shelf`, the folder in which packs stand as `<pack>/<revision>`; the digest has to be the same.
 */
export async function readOrigin(
  path: string,
  shelf: string,
): Promise<{ readonly origin: Origin; readonly wrong?: undefined } | { readonly wrong: string }> {
  const read = readJob(path);
  if (read.fault !== undefined) return { wrong: `${path}: ${read.fault.message}` };
  const { header, facts, last } = read;
  const { pack, job } = header;
  const document = await packOf(
    header,
    [resolvePath(dirname(path), pack.path), join(shelf, pack.id, pack.revision)],
    dirname(path),
  );
  if (document === undefined)
    return {
      wrong: `The job ${job} was done with ${pack.id} ${pack.revision} (${pack.digest.slice(0, 19)}…), and that is not at hand. Put this pack back where it was, ${pack.path} from the record.`,
    };
  const validated = validate(document).pack;
  const { procedure, variant } = header;
  const { plan } = validated === undefined ? {} : resolve(validated, { procedure, variant });
  if (plan === undefined) return { wrong: `The pack of the job ${job} has faults.` };
  const replayed = replay(plan, facts);
  if (replayed.job === undefined)
    return { wrong: `${path}: fact ${replayed.fault.seq}: ${replayed.fault.message}` };
  return { origin: handedOn(plan, replayed.job, { job, record: last }) };
}

/** The first of the folders that holds the pack of a job as it was then, with its overlay. `from` is the folder of the record. */
async function packOf(
  { pack, overlay }: JobHeader,
  folders: readonly string[],
  from: string,
): Promise<SourceMapping | undefined> {
  const laid = overlay === undefined ? {} : { overlay: resolvePath(from, overlay.path) };
  for (const folder of folders) {
    const { document, diagnostics } = await readPack(folder, laid);
    const isRead = !diagnostics.some((one) => one.severity === 'error');
    if (isRead && bundleOf(document).digest === pack.digest) return document;
  }
  return undefined;
}

/** The folder on which a pack stands with its neighbours: of `specs/pumps/1.0.0` it is `specs`. */
export const shelfOf = (folder: string): string => {
  const root = resolvePath(folder);
  return basename(root) === '' ? root : dirname(dirname(root));
};
