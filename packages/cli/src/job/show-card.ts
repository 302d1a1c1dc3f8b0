import { replay } from '@ferrule/engine/replay';
import { type CardSigned, cardCsv, cardHtml, jobCard } from '@ferrule/print';
import type { JobVerification } from '@ferrule/records';
import { shortKeyId } from '@ferrule/signing';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';
import { keptRunnable } from './kept-runnable.ts';
import { noSuchJob, openStore } from './open-store.ts';

export type CardForm = 'html' | 'csv' | 'json';

/** How `jobs card` is called. */
export interface CardCall {
  readonly form: CardForm;
  readonly out?: string;
}

/** Writes the card of a kept job, to a file or to the screen. */
export function showCard(folder: string, job: string, { form, out }: CardCall): ExitCode {
  const store = openStore(folder);
  if ('exitCode' in store) return store.exitCode;
  const none = noSuchJob(folder, store, job);
  if (none !== undefined) return none.exitCode;
  const read = store.read(job);
  if (read.fault !== undefined) {
    complain(`ferrule: ${job}: ${read.fault.message}`);
    return 1;
  }
  const { header, facts, last } = read;
  const runnable = keptRunnable(folder, header);
  if (runnable === undefined)
    return callFault(`the store has kept no pack of ${job}, and without it nothing can be said in words.`)
      .exitCode;
  const { plan, opened } = runnable;
  const replayed = replay(plan, facts);
  if (replayed.fault !== undefined) {
    complain(`ferrule: ${job}: fact ${replayed.fault.seq}: ${replayed.fault.message}`);
    return 1;
  }
  const signature = signatureOf(store.verify(job));
  const card = jobCard(plan, facts, {
    pack: opened.pack,
    job,
    last,
    ...(signature === undefined ? {} : { signature }),
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

/** What is known of the signature; undefined where there is none. Whose key it is, only a policy or a person can say. */
function signatureOf({ signature, isSound, findings }: JobVerification): CardSigned | undefined {
  if (!isSound && (signature !== undefined || findings.some(({ code }) => code === 'signature-broken')))
    return { state: 'broken', says: 'NOT AS SIGNED: the verb verify names what was changed' };
  if (signature === undefined) return undefined;
  const keys = signature.signedBy.map((id) => `key ${shortKeyId(id)}`).join(', ');
  return {
    state: 'signed',
    says: `signed by ${signature.by} at ${signature.at.slice(0, 16).replace('T', ' ')}, ${keys}`,
  };
}
