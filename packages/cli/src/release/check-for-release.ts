import { checkPack } from '@ferrule/check';
import type { Diagnostic } from '@ferrule/engine';
import type { Policy } from '@ferrule/signing';
import { progress } from '../terminal/output.ts';

/** Errors of a folder that is to be released or approved: as `check --trials` finds them, of an overlay laid over its pack. */
export async function errorsIn(
  folder: string,
  overlay: string | undefined,
  policy: Policy | undefined,
): Promise<readonly Diagnostic[]> {
  progress(`checking ${folder}`);
  const { diagnostics } = await checkPack(folder, {
    ...(overlay === undefined ? {} : { overlay }),
    ...{ policy, withTrials: true },
    onProof: (procedure, variant) => progress(`proving ${procedure} for ${variant}`),
  });
  // Whether the policy lets it be released is said by whoever signs.
  return diagnostics.filter((one) => one.severity === 'error' && one.code !== 'release-outside-policy');
}
