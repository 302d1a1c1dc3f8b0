import { readFileSync, statSync } from 'node:fs';
import {
  addSignature,
  type Envelope,
  type PrivateKey,
  readEnvelope,
  sign,
  verifyEnvelope,
  writeEnvelope,
} from '@ferrule/signing';
import { writeDurably } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import { type JobStatement, jobStatementType, readStatement, statementOf } from './job-statement.ts';
import type { JobContent, JobReading } from './read-job.ts';
import { signaturePath } from './store-folder.ts';
import { unwritten } from './unwritten.ts';

export type Signed =
  | { readonly signature: Envelope; readonly refused?: undefined }
  | {
      readonly refused: 'not-closed' | 'unreadable' | 'signature-broken' | 'not-written';
      readonly message: string;
    };

/** More than the signature of a hundred thousand facts has. */
const MOST_BYTES = 64_000_000;

/** The text of a job's signature; undefined when there is none. */
export function signatureText(folder: string, job: string): string | undefined {
  try {
    const path = signaturePath(folder, job);
    const found = statSync(path);
    return found.isFile() && found.size <= MOST_BYTES ? readFileSync(path, 'utf8') : undefined;
  } catch (error) {
    if (error instanceof RangeError) throw error;
    return undefined;
  }
}

/** Signs a closed job, or adds the signature of a second key to what the first has signed. */
export function signJob(folder: string, read: JobReading, key: PrivateKey, by: string, at: string): Signed {
  if (read.fault !== undefined) return { refused: 'unreadable', message: read.fault.message };
  if (read.facts.at(-1)?.fact.kind !== 'closed')
    return {
      refused: 'not-closed',
      message: `The job ${read.header.job} is not closed, so more can follow. It is signed when it is closed.`,
    };
  const path = signaturePath(folder, read.header.job);
  try {
    const done = whileLocked(path, (): Signed => {
      const text = signatureText(folder, read.header.job);
      const envelope = text === undefined ? undefined : readEnvelope(text);
      if (text !== undefined && (envelope === undefined || !isOf(envelope, read)))
        return {
          refused: 'signature-broken',
          message: `There is a signature already, and it is not one of this record: ${path}. The verb verify says more.`,
        };
      const signature =
        envelope === undefined
          ? sign(jobStatementType, statementOf(read, by, at), [key])
          : addSignature(envelope, key);
      writeDurably(path, writeEnvelope(signature));
      return { signature };
    });
    return done ?? { refused: 'not-written', message: `Another process keeps ${path} locked.` };
  } catch (error) {
    return { refused: 'not-written', message: unwritten(`The signature ${path}`, error) };
  }
}

/** Whether an envelope is a good one, of this record as it stands. */
function isOf(envelope: Envelope, content: JobContent): boolean {
  const read = verifyEnvelope(envelope, jobStatementType);
  const said: JobStatement | undefined = 'wrong' in read ? undefined : readStatement(read.payload);
  return said !== undefined && said.job === content.header.job && said.last === content.last;
}
