import { replay } from '@ferrule/engine/replay';
import { cardCsv, cardHtml, jobCard } from '@ferrule/print';
import { saidOfPack, saidOfRecord } from '@ferrule/records';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';
import { keptRunnable, noKeptPack } from './kept-runnable.ts';
import { openKept } from './open-store.ts';

export type CardForm = 'html' | 'csv' | 'json';

/** How `jobs card` is called. */
export interface CardCall {
  readonly form: CardForm;
  readonly out?: string;
}

/** Writes the card of a kept job, to a file or to the screen. */
export function showCard(folder: string, job: string, { form, out }: CardCall): ExitCode {
  const kept = openKept(folder, job);
  if ('exitCode' in kept) return kept.exitCode;
  const { store, header, facts, last } = kept;
  const runnable = keptRunnable(folder, header);
  if (runnable === undefined)
    return callFault(`${noKeptPack(store, header)}, and without it nothing can be said in words.`).exitCode;
  const { plan, opened } = runnable;
  const replayed = replay(plan, facts);
  if (replayed.fault !== undefined) {
    complain(`ferrule: ${job}: fact ${replayed.fault.seq}: ${replayed.fault.message}`);
    return 1;
  }
  const card = jobCard(plan, facts, {
    pack: opened.pack,
    job,
    last,
    release: saidOfPack(header),
    signature: saidOfRecord(store.verify(job)),
  });
  const text =
    form === 'html' ? cardHtml(card) : form === 'csv' ? cardCsv(card) : `${JSON.stringify(card, null, 2)}\n`;
  if (out === undefined) {
    // Rows end as RFC 4180 wants it in a file; a screen has its own line ends.
    say(text.replaceAll('\r\n', '\n').trimEnd());
    return 0;
  }
  return writeResult(out, text)?.exitCode ?? 0;
}
