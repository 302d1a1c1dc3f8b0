import { readFileSync, statSync } from 'node:fs';
import { folderStore, makeStore } from '@ferrule/records';
import { notRead } from '@ferrule/signing';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { writeResult } from '../terminal/write-result.ts';
import { noSuchJob, openStore } from './open-store.ts';

/** More bytes than any file in which a job is handed on has. */
const MOST_BYTES = 256 * 1024 * 1024;

/** Writes a job with its pack, signature and photographs to one file. */
export function exportJobTo(folder: string, job: string, { out }: { readonly out: string }): ExitCode {
  const store = openStore(folder);
  if ('exitCode' in store) return store.exitCode;
  const none = noSuchJob(folder, store, job);
  if (none !== undefined) return none.exitCode;
  const exported = store.exportJob(job);
  if (exported.refused !== undefined) {
    complain(`ferrule: ${job}: ${exported.message}`);
    return 1;
  }
  const unwritten = writeResult(out, exported.text);
  if (unwritten !== undefined) return unwritten.exitCode;
  say(wrap(`${job} was written to ${out}. The verb verify looks at it, and jobs import takes it in.`));
  return 0;
}

/** Takes a job from a file into a store, which is made when it is not there. */
export function importJobFrom(folder: string, file: string): ExitCode {
  const noStore = makeStore(folder);
  if (noStore !== undefined) return callFault(noStore).exitCode;
  const text = textIn(file);
  if (text === undefined) return callFault(whyNoText(file)).exitCode;
  const done = folderStore(folder).importJob(text);
  if (done.refused !== undefined) {
    complain(`ferrule: ${file}: ${done.message}`);
    for (const { message } of done.findings?.slice(1) ?? []) complain(`  ${message}`);
    return 1;
  }
  const { imported, facts } = done;
  const what = {
    new: `The job ${imported} was taken in, with ${facts} facts.`,
    continued: `The job ${imported} was here already, and goes on: it has ${facts} facts now.`,
    there: `The job ${imported} is here already, as far as this file goes. Nothing was changed.`,
  }[done.was];
  say(wrap(what));
  return 0;
}

/** Why a file has no text that could be a job, and what to do. */
function whyNoText(file: string): string {
  try {
    const found = statSync(file);
    if (found.isDirectory())
      return `${file} cannot be read (EISDIR). It is a folder. Name the file that jobs export wrote.`;
    if (!found.isFile()) return `${file} is no file. Name the one that jobs export wrote.`;
    if (found.size > MOST_BYTES)
      return `${file} is larger than any job. Name the file that jobs export wrote.`;
    readFileSync(file);
    return `${file} was changed while it was read. Try again.`;
  } catch (fault) {
    return notRead(file, fault);
  }
}

/** The text of a regular file that is not too large; undefined otherwise. */
export function textIn(file: string): string | undefined {
  try {
    const found = statSync(file);
    return found.isFile() && found.size <= MOST_BYTES ? readFileSync(file, 'utf8') : undefined;
  } catch {
    return undefined;
  }
}
