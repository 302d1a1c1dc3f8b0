import { mkdtempSync, realpathSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { RejudgeBusy, rejudgeStore } from '@ferrule/compare/rejudge';
import { deferral } from '@ferrule/print';
import { reportOf } from '@ferrule/print/rejudged';
import { makeFolder } from '@ferrule/records';
import { fileTrouble, notMade, releaseWords } from '@ferrule/signing';
import { bundleOf } from '@ferrule/source';
import { openStore } from '../job/open-store.ts';
import { callFault, openPack } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { onInterrupt } from '../terminal/on-interrupt.ts';
import { complain, printable, progress } from '../terminal/output.ts';
import { RestOfTime } from './rest-of-time.ts';
import { piecesOf, type RejudgedForm, writeRejudged } from './write-rejudged.ts';

/** How `rejudge` is called. */
export interface RejudgeCall {
  readonly jobs: string;
  readonly procedure?: string;
  readonly all?: true;
  readonly overlay?: string;
  readonly policy?: string;
  readonly out?: string;
  readonly format: RejudgedForm;
}

/** Judges the jobs of a store by another revision of their pack. */
export async function rejudgeJobs(folder: string, call: RejudgeCall): Promise<ExitCode> {
  const store = openStore(call.jobs);
  if ('exitCode' in store) return store.exitCode;
  if (store.names().length === 0)
    return callFault(`there is no job in ${call.jobs}. Name the folder that run was given as --jobs.`)
      .exitCode;
  const faultsAs = call.format === 'json' ? 'json' : 'text';
  const opened = await openPack(folder, faultsAs, { policy: call.policy });
  if ('exitCode' in opened) return opened.exitCode;
  const laid =
    call.overlay === undefined
      ? undefined
      : await openPack(folder, faultsAs, { policy: call.policy, overlay: call.overlay });
  if (laid !== undefined && 'exitCode' in laid) return laid.exitCode;
  const { pack, reading } = opened;
  const { text, digest } = bundleOf(reading.document);
  const overlaid = laid?.pack.overlaid;
  const procedures = Object.keys(pack.procedures ?? {});
  if (call.procedure !== undefined && !procedures.includes(call.procedure))
    return callFault(`${pack.pack} has no procedure ${call.procedure}. There are: ${procedures.join(', ')}.`)
      .exitCode;
  if (call.out !== undefined && isSameFolder(call.out, call.jobs))
    return callFault('the store is not written into. Name another folder as --out.').exitCode;
  const room = makeRoom(call.out);
  if ('exitCode' in room) return room.exitCode;
  const time = new RestOfTime();
  const goOn = onInterrupt(() => {
    if (call.out === undefined) rmSync(room.folder, { recursive: true, force: true });
    complain(stopped(time.done, call.out));
  });
  try {
    const done = await rejudgeStore({
      store: call.jobs,
      revision: {
        bundle: text,
        laid:
          laid === undefined || overlaid === undefined
            ? []
            : [{ overlay: overlaid.overlay, bundle: bundleOf(laid.reading.document).text }],
      },
      all: call.all === true,
      ...(call.procedure === undefined ? {} : { procedure: call.procedure }),
      progressFile: room.progressFile,
      onProgress: (howFar) => time.show(howFar),
    });
    // From here on it computes without a pause, and would not hear an interrupt.
    goOn();
    if (call.out !== undefined) progress(`rejudge: writing the results into ${call.out}`);
    const tidy = (): void => {
      done.close();
      rmSync(room.progressFile, { force: true });
      if (call.out === undefined) rmSync(room.folder, { recursive: true, force: true });
    };
    // A reader that has seen enough closes the pipe, and the command ends there.
    process.once('exit', tidy);
    try {
      const report = reportOf(
        {
          pack: { id: pack.pack, title: pack.title },
          ...{ revision: pack.revision, digest, deferral, store: call.jobs },
          release: releaseWords(reading.release, undefined),
          ...(pack.notice === undefined ? {} : { notice: pack.notice }),
        },
        done,
      );
      const exitCode = done.jobs === 0 || report.rowCount > 0 || isAmiss(done.asideCounts) ? 1 : 0;
      process.exitCode = exitCode;
      if (call.out === undefined) {
        for (const piece of piecesOf(call.format, report, done))
          await toScreen(call.format === 'csv' ? piece.replaceAll('\r\n', '\n') : piece);
      } else {
        writeRejudged(call.out, report, done);
        for (const piece of piecesOf('text', report, done)) await toScreen(piece);
      }
      return exitCode;
    } finally {
      process.off('exit', tidy);
      tidy();
    }
  } catch (fault) {
    if (fault instanceof RejudgeBusy)
      return callFault(
        `another run is writing into ${room.folder}. Wait until it has ended, or name another folder as --out.`,
      ).exitCode;
    if (!(fault instanceof Error && 'code' in fault)) throw fault;
    return callFault(unwritten(fault, call.out)).exitCode;
  } finally {
    goOn();
    if (call.out === undefined) rmSync(room.folder, { recursive: true, force: true });
  }
}

/** What an interrupt has left, and how to go on. */
function stopped(done: number, out: string | undefined): string {
  const jobs = `${done} ${done === 1 ? 'job is' : 'jobs are'} done`;
  return out === undefined
    ? `ferrule: stopped. ${jobs}, and nothing was kept. With --out <folder> it is, and the same call goes on from there.`
    : `ferrule: stopped. ${jobs}, and kept in ${out}: the same call goes on from there.`;
}

/** Why the results are not there, what was kept, and what to do. */
function unwritten(fault: unknown, out: string | undefined): string {
  const { code, says, fix } = fileTrouble('write', fault);
  const where = out ?? tmpdir();
  const kept =
    out === undefined
      ? 'Nothing was kept: with --out it would have been.'
      : `What was done is kept in ${out}, and the same call goes on from there.`;
  return `the results cannot be written into ${where} (${code}). ${says} ${fix === undefined ? '' : `${fix}. `}${kept}`;
}

/** Whether two names are of one folder, which is there. */
function isSameFolder(one: string, other: string): boolean {
  try {
    return realpathSync(one) === realpathSync(other);
  } catch {
    return false;
  }
}

/** Jobs of other packs are in order where they are. */
const isAmiss = (counts: Readonly<Record<string, number>>): boolean =>
  Object.keys(counts).some((because) => because !== 'other-pack');

function makeRoom(
  out: string | undefined,
): { readonly folder: string; readonly progressFile: string } | { readonly exitCode: ExitCode } {
  try {
    const folder = out ?? mkdtempSync(join(tmpdir(), 'ferrule-rejudge-'));
    makeFolder(folder);
    if (!statSync(folder).isDirectory())
      return callFault(`${folder} is no folder. Name one as --out, which is made when it is not there.`);
    return { folder, progressFile: join(folder, 'rejudged.progress.jsonl') };
  } catch (fault) {
    return callFault(notMade(out ?? tmpdir(), fault));
  }
}

/** Waits while the reader is slower, so that nothing piles up. */
const toScreen = (text: string): Promise<void> =>
  new Promise((resolve) => {
    if (process.stdout.write(printable(text.replaceAll('\r', '')))) resolve();
    else process.stdout.once('drain', resolve);
  });
