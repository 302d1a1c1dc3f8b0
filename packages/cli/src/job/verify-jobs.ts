import { readdirSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { replay } from '@ferrule/engine/replay';
import {
  folderStore,
  isJobId,
  type JobVerification,
  listJobs,
  type VerifyOptions,
  verifyExport,
} from '@ferrule/records';
import { callFault } from '../pack/open-pack.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { textIn } from './hand-on.ts';
import { keptRunnable } from './kept-runnable.ts';

/** Where records stand: in a store, all or one of them, or in a file in which one was handed on. */
export type RecordsAt =
  | { readonly store: string; readonly jobs: readonly string[] }
  | { readonly file: string };

/** The records that a path leads to: `STORE`, `STORE/JOB`, `STORE/JOB.jsonl` or a file; undefined when it leads to none. */
export function recordsAt(path: string): RecordsAt | undefined {
  const job = basename(path, '.jsonl');
  const store = dirname(path);
  const found = statSync(path, { throwIfNoEntry: false });
  if (found?.isDirectory() === true) {
    const isPack = readdirSync(path).some((name) => /^(?:pack|library|overlay)\.yaml$/.test(name));
    const jobs = isPack ? [] : listJobs(path);
    return jobs.length === 0 ? undefined : { store: path, jobs };
  }
  if (isJobId(job) && listJobs(store).includes(job) && (found === undefined || path.endsWith('.jsonl')))
    return { store, jobs: [job] };
  return found?.isFile() === true ? { file: path } : undefined;
}

/** Says of each record whether anything in it was changed, and what such a record cannot show. */
export function verifyJobs(at: RecordsAt, options: VerifyOptions, format: Format): ExitCode {
  const records = 'file' in at ? inFile(at.file, options) : inStore(at, options);
  if (records === undefined)
    return callFault(
      `${'file' in at ? at.file : ''} is no pack, no store, no job of one, and no job that was handed on.`,
    ).exitCode;
  const isSound = records.every((one) => one.isSound);
  if (format === 'json') sayJson({ isSound, records });
  else {
    for (const one of records) say(`${write(one)}\n`);
    if (records.length > 1) {
      const count = records.filter((one) => !one.isSound).length;
      say(
        wrap(
          count === 0
            ? `All ${records.length} records are sound.`
            : `${count} of ${records.length} records are not sound.`,
        ),
      );
      say(wrap('A record that was taken away whole leaves no trace in its store.'));
    }
    say(wrap(deferral));
  }
  return isSound ? 0 : 1;
}

/** What was found in one record, with what its facts and its pack say of one another. */
type Verified = JobVerification & { readonly cannotFollow?: string };

function inFile(file: string, options: VerifyOptions): readonly Verified[] | undefined {
  const text = textIn(file);
  const found = text === undefined ? undefined : verifyExport(text, options);
  return found === undefined ? undefined : [found];
}

function inStore(
  { store, jobs }: { readonly store: string; readonly jobs: readonly string[] },
  options: VerifyOptions,
): readonly Verified[] {
  const kept = folderStore(store);
  return jobs.map((job) => {
    const found = kept.verify(job, options);
    const read = found.isSound ? kept.read(job) : undefined;
    const runnable = read?.facts === undefined ? undefined : keptRunnable(store, read.header);
    const replayed = runnable && read?.facts && replay(runnable.plan, read.facts);
    return replayed?.fault === undefined
      ? found
      : {
          ...found,
          isSound: false,
          cannotFollow: `Fact ${replayed.fault.seq} cannot have happened by its pack: ${replayed.fault.message}`,
        };
  });
}

function write({
  job,
  isSound,
  findings,
  notes,
  facts,
  state,
  last,
  signature,
  cannotFollow,
}: Verified): string {
  const signed =
    signature === undefined
      ? []
      : [
          wrap(`Signed by ${signature.by} at ${signature.at}, with`, '  '),
          ...signature.signedBy.map((id) => `    ${id}`),
          ...(signature.isKnown ? ['  which is a key that counts.'] : []),
        ];
  return [
    wrap(`${job}: ${isSound ? 'nothing in it was changed' : 'NOT SOUND'}`),
    wrap(`${facts} ${facts === 1 ? 'fact' : 'facts'}${state === undefined ? '' : `, ${state}`}`, '  '),
    ...(last === undefined ? [] : [`  ends with ${last}`]),
    ...signed,
    ...findings.map(({ message, line }) =>
      wrap(line === undefined ? message : `${message} (line ${line})`, '  - ', '    '),
    ),
    ...(cannotFollow === undefined ? [] : [wrap(cannotFollow, '  - ', '    ')]),
    ...notes.map((one) => wrap(one, '  Note: ', '    ')),
  ].join('\n');
}
