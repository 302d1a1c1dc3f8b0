import type { JobStore } from '@ferrule/records';
import { type PrivateKey, shortKeyId } from '@ferrule/signing';
import type { OpenJob } from './desk.ts';

/** What is said of the signature of a job that a command has closed. */
export interface ClosedSignature {
  readonly state: 'unsigned' | 'signed';
  readonly says: string;
}

/**
 * Signs a job that was closed, as far as there is a key. The facts are on the disk by then, so what goes wrong here takes nothing
 * away: it is said in the answer, and whoever sends the same command again under its id has it tried again. One that this key
 * has signed already stays as it is.
 */
export function signClosed(
  { job, header }: OpenJob,
  {
    store,
    key,
    at,
  }: {
    readonly store: JobStore;
    readonly key: PrivateKey | undefined;
    readonly at: string;
  },
): ClosedSignature | undefined {
  const last = job.facts.at(-1);
  if (key === undefined || last?.fact.kind !== 'closed') return undefined;
  const id = shortKeyId(key.id);
  const signed = { state: 'signed', says: `The record is signed with the key ${id}.` } as const;
  if (store.signature(header.job) !== undefined) {
    const { isSound, signature } = store.verify(header.job);
    if (isSound && signature?.signedBy.includes(key.id) === true) return signed;
  }
  const done = store.sign(header.job, key, last.by, at);
  if (done.refused === undefined) return signed;
  return {
    state: 'unsigned',
    says:
      done.refused === 'signature-broken'
        ? 'The record is not signed: there is a signature already that is not one of this record. The verb verify says more.'
        : 'The record is closed and kept, and not signed: the store did not take the signature. Send the same again under its id, or sign it by run with --key.',
  };
}
