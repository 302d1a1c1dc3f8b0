import type { Job } from '@ferrule/engine';
import { folderStore } from '@ferrule/records';
import { type PrivateKey, readPrivateKey, shortKeyId } from '@ferrule/signing';
import { callFault, type Faulty } from '../pack/open-pack.ts';
import { complain } from '../terminal/output.ts';
import type { Keep } from './keep.ts';
import { writeTime } from './occasion.ts';

/** The key that closed jobs are signed with; undefined where none was named. */
export function keyFor(file: string | undefined): { readonly key?: PrivateKey } | Faulty {
  if (file === undefined) return {};
  const key = readPrivateKey(file);
  if ('wrong' in key) return callFault(key.wrong);
  if (key.unchecked !== undefined) complain(`ferrule: ${key.unchecked}`);
  return { key };
}

/** Signs a kept job when it is closed, and says so in a line, or why it is not signed; nothing where no key was named. */
export function signKept(
  { kept }: Keep,
  { control, facts }: Job,
  key: PrivateKey | undefined,
): { readonly line: string; readonly isSigned: boolean } | undefined {
  if (key === undefined || kept === undefined || control.closed === undefined) return undefined;
  const by = facts.at(-1)?.by ?? '';
  const done = folderStore(kept.store).sign(kept.job, key, by, writeTime(new Date()));
  return done.refused === undefined
    ? { line: `The record is signed with the key ${shortKeyId(key.id)}`, isSigned: true }
    : { line: `The record is not signed. ${done.message}`, isSigned: false };
}
