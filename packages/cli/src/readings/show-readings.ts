import { type AskedReadings, readingsOfStore } from '@ferrule/compare/readings';
import { nearest } from '@ferrule/engine';
import { readingsCsv, readingsHtml } from '@ferrule/print/readings';
import type { UnknownValue } from '@ferrule/records';
import { openStore } from '../job/open-store.ts';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { progress, say, sayJson, sayRows } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';
import { writeReadings } from './write-readings.ts';

/** How `jobs spread` is called. */
export interface ReadingsCall extends Omit<AskedReadings, 'store' | 'of'> {
  readonly format: 'text' | 'json' | 'csv' | 'html';
  readonly out?: string;
}

/** Says how what was measured lies against its limits over the jobs of a store. */
export function showReadings(folder: string, of: string, { format, out, ...bounds }: ReadingsCall): ExitCode {
  const store = openStore(folder);
  if ('exitCode' in store) return store.exitCode;
  const answer = readingsOfStore({ store: folder, of, ...bounds }, ({ total, done }) =>
    progress(`jobs spread: ${done} of ${total} files`),
  );
  if ('nothing' in answer)
    return callFault(
      answer.nothing === 'no-job'
        ? noJob(folder, bounds.pack, answer.unknown)
        : noSuchName(of, bounds.pack, answer.names),
    ).exitCode;
  const { document } = answer;
  const text = {
    text: () => `${writeReadings(document)}\n`,
    json: () => `${JSON.stringify(document, null, 2)}\n`,
    csv: () => readingsCsv(document),
    html: () => readingsHtml(document),
  };
  if (out !== undefined) {
    const fault = writeResult(out, text[format]());
    if (fault !== undefined) return fault.exitCode;
    say(`${out} written. ${document.says[0] ?? ''}`);
  } else if (format === 'json') sayJson(document);
  else if (format === 'csv') sayRows(text.csv());
  else if (format === 'html') process.stdout.write(text.html());
  else say(writeReadings(document));
  return document.faultCount > 0 ? 1 : 0;
}

const noJob = (folder: string, pack: string, unknown: readonly UnknownValue[] = []): string =>
  unknown.length === 0
    ? `there is no such job of ${pack} in ${folder}.`
    : `there is no such job in ${folder}. ${unknown.map(({ says }) => says).join(' ')}`;

function noSuchName(of: string, pack: string, names: readonly string[]): string {
  const meant = nearest(of, names);
  return `no job of ${pack} measures or judges ${of}.${meant === undefined ? '' : ` Did you mean ${meant}?`} There are ${names.join(', ')}.`;
}
