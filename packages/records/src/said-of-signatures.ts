import { releaseWords, shortKeyId } from '@ferrule/signing';
import type { JobHeader } from './job-header.ts';
import type { JobVerification } from './job-verification.ts';

/** What a page says of a signature: one sentence, and whether it is there and can be relied on. */
export interface SignatureSaid {
  readonly state: 'unsigned' | 'signed' | 'broken';
  readonly says: string;
}

/** What is said of the release of a job's pack, as it was known when the job began. */
export function saidOfPack({ release }: Pick<JobHeader, 'release'>): SignatureSaid {
  const isSigned = release !== undefined && release.signedBy.length > 0;
  return { state: isSigned ? 'signed' : 'unsigned', says: `The pack is ${releaseWords(release)}.` };
}

/**
 * What is said of the signature of a record after it was verified. Whose keys have signed it, only a policy or a person can
 * say.
 */
export function saidOfRecord({ signature, isSound, findings }: JobVerification): SignatureSaid {
  const isSigned = signature !== undefined || findings.some(({ code }) => code === 'signature-broken');
  if (!isSigned) return { state: 'unsigned', says: 'The record is unsigned.' };
  if (!isSound || signature === undefined)
    return { state: 'broken', says: 'The record is NOT AS SIGNED: the verb verify names what was changed.' };
  const keys = signature.signedBy.map((id) => `key ${shortKeyId(id)}`).join(', ');
  const at = signature.at.slice(0, 16).replace('T', ' ');
  return { state: 'signed', says: `The record is signed by ${signature.by} at ${at}, ${keys}.` };
}
