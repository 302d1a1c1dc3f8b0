import { dirname, resolve as resolvePath } from 'node:path';
import { jobsOf } from '@ferrule/check';
import { replay } from '@ferrule/engine/replay';
import {
  folderStore,
  isJobId,
  type JobHeader,
  jobPath,
  listJobs,
  readJob,
  storeFault,
} from '@ferrule/records';
import { bundleOf } from '@ferrule/source';
import { noJob } from '../pack/no-job.ts';
import { callFault, type Faulty, openPack, planOf } from '../pack/open-pack.ts';
import type { ExitCode, INTERRUPTED } from '../terminal/exit-code.ts';
import { complain } from '../terminal/output.ts';
import { readInstruments } from './instruments-file.ts';
import { keepIn } from './keep.ts';
import { keptRunnable, noKeptPack, sayOtherPack } from './kept-runnable.ts';
import { releaseRecordOf } from './release-of.ts';
import { runByHand } from './run-by-hand.ts';
import { runScripted } from './run-scripted.ts';
import type { NewRunnable, Runnable, RunOptions, TakenUp } from './runnable.ts';
import { unfinishedIn, writeUnfinished } from './unfinished.ts';

/** Works through a procedure: by hand or by a script, as a new job or one that was kept. */
export async function runJob(
  folder: string | undefined,
  options: RunOptions,
): Promise<ExitCode | typeof INTERRUPTED> {
  const wrong = wrongTogether(options);
  if (wrong !== undefined) return callFault(wrong).exitCode;
  const { jobs: store, job: id } = options;
  const noStore = store === undefined ? undefined : storeFault(store);
  if (noStore !== undefined) return callFault(noStore).exitCode;
  if (store !== undefined && id !== undefined) {
    const stored = storedJob(store, id, options);
    if ('exitCode' in stored) return stored.exitCode;
    const runnable = await runnableFor(stored, store, folder, options);
    if ('exitCode' in runnable) return runnable.exitCode;
    const taken = takeUp(runnable, store, id);
    return 'exitCode' in taken ? taken.exitCode : runByHand(runnable, options, taken);
  }
  const { procedure, variant, answers } = options;
  if (folder === undefined)
    return callFault(
      'a new job needs PACK, the folder of its pack; one that was kept needs --jobs and --job.',
    ).exitCode;
  if (procedure === undefined || variant === undefined) return notSaid(folder, options);
  const runnable = await makeRunnable(folder, { procedure, variant, isNew: true }, options);
  if ('exitCode' in runnable) return runnable.exitCode;
  return answers === undefined
    ? runByHand(runnable, options)
    : runScripted(runnable, { ...options, answers });
}

/** What a kept job runs on: what its store has kept, and for an old one what the folder holds that is named. */
async function runnableFor(
  header: JobHeader,
  store: string,
  folder: string | undefined,
  options: RunOptions,
): Promise<Runnable | Faulty> {
  const kept = keptRunnable(store, header);
  if (kept === undefined)
    return folder === undefined
      ? callFault(
          `${noKeptPack(folderStore(store), header)}. Name the folder of ${header.pack.id} ${header.pack.revision} before the options (it was ${header.pack.path} from the store).`,
        )
      : makeRunnable(folder, header, options);
  if (folder !== undefined) await sayOtherPack(kept, folder, options.overlay);
  const { instruments } = options;
  const list = instruments === undefined ? undefined : await readInstruments(instruments, kept.opened.pack);
  if (list !== undefined && 'exitCode' in list) return list;
  return { ...kept, ...(list === undefined ? {} : { list }) };
}

/** Neither a new job nor a kept one was named: says which there are. */
async function notSaid(folder: string, { jobs: store, format }: RunOptions): Promise<ExitCode> {
  const opened = await openPack(folder, format);
  if ('exitCode' in opened) return opened.exitCode;
  const { pack } = opened;
  const { exitCode } = callFault(
    `a new job needs --procedure and --variant. Procedures: ${jobsOf(pack).join(', ')}. Variants: ${Object.keys(pack.variants).join(', ')}.`,
  );
  if (store !== undefined) for (const line of writeUnfinished(store, unfinishedIn(store))) complain(line);
  return exitCode;
}

function wrongTogether({ job, jobs, answers, key }: RunOptions): string | undefined {
  if (key !== undefined && jobs === undefined)
    return '--key needs --jobs: only a job that is kept is signed.';
  if (job !== undefined && jobs === undefined) return '--job needs --jobs, the store that the job is in.';
  if (job !== undefined && answers !== undefined)
    return '--answers begins a new job; go on with a kept one by hand.';
  return undefined;
}

async function makeRunnable(
  folder: string,
  request: { readonly procedure: string; readonly variant: string; readonly isNew?: true },
  { format, instruments, overlay, policy }: RunOptions,
): Promise<NewRunnable | Faulty> {
  const opened = await openPack(folder, format, { overlay, policy });
  if ('exitCode' in opened) return opened;
  const wrong = request.isNew === true ? noJob(opened.pack, request.procedure) : undefined;
  if (wrong !== undefined) return callFault(wrong);
  const plan = planOf(opened, request, format);
  if ('exitCode' in plan) return plan;
  const list = instruments === undefined ? undefined : await readInstruments(instruments, opened.pack);
  if (list !== undefined && 'exitCode' in list) return list;
  const { digest, text: bundle } = bundleOf(opened.reading.document);
  const release = releaseRecordOf(opened);
  return {
    ...{ folder, opened, plan, digest, bundle },
    ...(overlay === undefined ? {} : { overlay }),
    ...(release === undefined ? {} : { release }),
    ...(list === undefined ? {} : { list }),
  };
}

/** What a kept job runs; a procedure or variant that is named besides has to be the same. */
function storedJob(store: string, id: string, options: RunOptions): JobHeader | Faulty {
  const known = listJobs(store);
  if (!isJobId(id) || !known.includes(id))
    return callFault(`there is no job ${id} in ${store}. There is ${known.join(', ') || 'none'}.`);
  const read = readJob(jobPath(store, id));
  if (read.fault !== undefined) {
    complain(`ferrule: ${jobPath(store, id)}: ${read.fault.message}`);
    return { exitCode: 1 };
  }
  const { procedure, variant } = read.header;
  if ((options.procedure ?? procedure) !== procedure || (options.variant ?? variant) !== variant)
    return callFault(`the job ${id} is ${procedure} for ${variant}.`);
  return read.header;
}

/** That a job was started with another pack or overlay, and which. */
function startedWithOther(
  { folder, overlay, digest }: Runnable,
  { job, pack, overlay: laid }: JobHeader,
  store: string,
): string {
  const isThere = (path: string, named: string): boolean => resolvePath(store, path) === resolvePath(named);
  const wanted =
    laid === undefined
      ? overlay === undefined
        ? undefined
        : 'Leave --overlay out: it was started without one.'
      : overlay === undefined || !isThere(laid.path, overlay)
        ? `It had the overlay ${laid.id} ${laid.revision}: name that with --overlay (${laid.path} from the store).`
        : undefined;
  const otherwise = `Name the folder that it was started with${isThere(pack.path, folder) ? ', as it was then' : ` (${pack.path} from the store)`}.`;
  return `${job} was started with ${pack.id} ${pack.revision} (${pack.digest.slice(0, 19)}…), and ${folder} holds something else (${digest.slice(0, 19)}…). A job is not carried on under other data. ${wanted ?? otherwise}`;
}

/** Opens a kept job to go on with it: under the revision that it was started with, and no other. */
function takeUp(runnable: Runnable, store: string, id: string): TakenUp | Faulty {
  const path = jobPath(store, id);
  const kept = folderStore(store);
  const read = kept.read(id);
  if (read.fault !== undefined) {
    complain(`ferrule: ${path}: ${read.fault.message}`);
    return { exitCode: 1 };
  }
  if (read.torn !== undefined)
    complain(`ferrule: ${path}: ${read.torn.message} It is set aside as soon as the job goes on.`);
  const { header, facts } = read;
  if (header.pack.digest !== runnable.digest) {
    complain(`ferrule: ${startedWithOther(runnable, header, dirname(path))}`);
    return { exitCode: 1 };
  }
  const replayed = replay(runnable.plan, facts);
  if (replayed.job === undefined) {
    complain(`ferrule: ${path}: fact ${replayed.fault.seq}: ${replayed.fault.message}`);
    return { exitCode: 1 };
  }
  return { job: replayed.job, keep: keepIn(store, kept, id), store };
}
