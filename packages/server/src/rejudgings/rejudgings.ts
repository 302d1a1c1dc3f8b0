import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { Pace, type Rate } from '@ferrule/compare/rejudge';
import { deferral } from '@ferrule/print';
import { askedDigest, type JobStore } from '@ferrule/records';
import { releaseWords } from '@ferrule/signing';
import { idUsed, notWritten } from '../jobs/desk.ts';
import { localTime } from '../local-time.ts';
import type { UnderWay } from '../long-work/lane.ts';
import { progressFileIn, type RejudgedAnswer, type RejudgeWork } from '../long-work/rejudge-into.ts';
import type { WorkQueue } from '../long-work/work-queue.ts';
import type { OpenedPack, Shelf } from '../packs/shelf.ts';
import { isProblem, type Problem, problem } from '../problem.ts';
import type { AskedRejudging } from './asked-rejudging.ts';
import {
  folderOf,
  type KeptRejudging,
  keptFormat,
  readAllKept,
  removeKept,
  writeKept,
} from './kept-rejudging.ts';

/** A rejudging as it is now: what is kept of it and, while it is under way, how fast it goes. */
export interface RejudgingNow extends KeptRejudging {
  readonly rate?: Rate;
}

/** What rejudgings work with. */
export interface RejudgingsOptions {
  readonly store: JobStore;
  /** The folder of the store; without it nothing is judged again. */
  readonly storeFolder: string | undefined;
  readonly shelf: Shelf;
  readonly queue: WorkQueue;
  readonly now: () => Date;
  /** How many are kept; the oldest go when another begins. */
  readonly most: number;
  readonly onDefect: (error: unknown) => void;
  readonly onNote: (line: string) => void;
}

interface Current {
  readonly kept: KeptRejudging;
  readonly work: UnderWay<RejudgedAnswer>;
  readonly pace: Pace;
  rate: Rate | undefined;
}

/** As it is kept, with how far it has come. */
function soFar({ kept, work }: Current): KeptRejudging {
  const { done, of: total } = work.working();
  return { ...kept, jobs: { total, done } };
}

/**
 * Jobs of the store judged again, one call at a time, on threads of their own. What came of it is kept in the folder
 * `rejudgings` of the store; no record is written.
 */
export class Rejudgings {
  readonly #options: RejudgingsOptions;
  #current: Current | undefined;

  constructor(options: RejudgingsOptions) {
    this.#options = options;
  }

  /** Begins one, or finds the one that this id has begun; one that was cut off goes on. */
  async begin(id: string, asked: AskedRejudging): Promise<RejudgingNow | Problem> {
    const { storeFolder, shelf, store } = this.#options;
    if (storeFolder === undefined) return noFolder();
    const before = this.#again(id, asked);
    if (before !== undefined) return before;
    const named = await shelf.open(asked.pack, asked.revision);
    if ('code' in named) return named;
    const laid = asked.overlay && (await shelf.open(asked.pack, asked.revision, asked.overlay));
    if (laid !== undefined && 'code' in laid) return laid;
    const jobs = store.list({ pack: asked.pack }).jobs;
    const { procedure } = asked;
    if (!jobs.some((one) => procedure === undefined || one.procedure === procedure))
      return problem(
        'no-such-job',
        `The store has no job of ${asked.pack}${procedure === undefined ? '' : ` with the procedure ${procedure}`} to be judged again.`,
        { operands: { pack: asked.pack, ...(procedure === undefined ? {} : { procedure }) } },
      );
    // The shelf was waited for: another request may have come first.
    return this.#again(id, asked) ?? this.#start(storeFolder, id, asked, named, laid);
  }

  /** The rejudgings that are kept, the newest first. */
  list(): readonly RejudgingNow[] {
    const { storeFolder } = this.#options;
    return storeFolder === undefined ? [] : readAllKept(rootOf(storeFolder)).map((one) => this.#asItIs(one));
  }

  find(id: string): RejudgingNow | Problem {
    return (
      this.list().find((one) => one.id === id) ??
      problem('no-such-rejudging', `There is no rejudging ${id} here.`, { operands: { rejudging: id } })
    );
  }

  /** The folder of the reports of one that is done. */
  reportsOf(id: string): { readonly folder: string } | Problem {
    const found = this.find(id);
    if ('code' in found) return found;
    if (found.state === 'done') return { folder: this.#folderOf(id) };
    return problem('not-done', `The rejudging ${id} is ${found.state}, so it has no report.`, {
      operands: { state: found.state },
    });
  }

  /** Stops one that is under way; of one that is over it says how it stands. */
  async stop(id: string): Promise<RejudgingNow | Problem> {
    const current = this.#current;
    if (current?.kept.id === id) {
      this.#over(current, { state: 'stopped' });
      await current.work.stop();
      rmSync(progressFileIn(this.#folderOf(id)), { force: true });
    }
    return this.find(id);
  }

  /** What is under way is cut off before its thread is ended, and goes on when it is asked for again. */
  cutOff(): void {
    if (this.#current !== undefined) this.#over(this.#current, { state: 'cut-off' });
  }

  #again(id: string, asked: AskedRejudging): RejudgingNow | Problem | undefined {
    const known = this.list().find((one) => one.id === id);
    if (known !== undefined && digestOf(known.asked) !== digestOf(asked)) return idUsed(id);
    if (known !== undefined && known.state !== 'cut-off') return known;
    if (this.#current === undefined) return undefined;
    return problem('rejudging-under-way', `The rejudging ${this.#current.kept.id} is under way.`, {
      operands: { rejudging: this.#current.kept.id },
    });
  }

  #start(
    store: string,
    id: string,
    asked: AskedRejudging,
    { pack, bundle, release }: OpenedPack,
    laid: OpenedPack | undefined,
  ): RejudgingNow | Problem {
    const { queue } = this.#options;
    const root = rootOf(store);
    const head = {
      release: releaseWords(release, laid?.overlayRelease),
      ...(pack.notice === undefined ? {} : { notice: pack.notice }),
    };
    const kept: KeptRejudging = {
      ...{ format: keptFormat, id, asked, digest: bundle.digest, title: pack.title, ...head },
      ...{ begun: localTime(this.#options.now()), state: 'under-way', jobs: { total: 0, done: 0 } },
    };
    try {
      const older = this.list().filter((one) => one.id !== id);
      for (const one of older.slice(this.#options.most - 1)) removeKept(root, one.id);
      writeKept(root, kept);
    } catch (error) {
      this.#note(error);
      return notWritten();
    }
    const asking = workOf(store, kept, bundle.text, laid?.bundle.text);
    const work = queue.ask('rejudge', id, asking);
    if (isProblem(work)) return work;
    const current: Current = { kept, work, pace: new Pace(), rate: undefined };
    this.#current = current;
    work.answer.then(
      ({ says, rowCount }) => this.#over(current, { state: 'done', says, rowCount }),
      (error: unknown) => this.#failed(current, error),
    );
    return kept;
  }

  /** It is over; one that was over already stays as it is. */
  #over(current: Current, end: Partial<KeptRejudging>): void {
    if (this.#current !== current) return;
    this.#current = undefined;
    const { storeFolder = '' } = this.#options;
    try {
      writeKept(rootOf(storeFolder), { ...soFar(current), ...end, ended: localTime(this.#options.now()) });
    } catch (error) {
      // What cannot be written down is found as cut off.
      this.#note(error);
    }
  }

  #failed(current: Current, error: unknown): void {
    if (this.#current !== current) return;
    const isOfFiles = error instanceof Error && 'code' in error && /^E[A-Z]+$/.test(String(error.code));
    if (isOfFiles) this.#note(error);
    else this.#options.onDefect(error);
    const failure = isOfFiles
      ? 'The results could not be written.'
      : 'It failed by a defect of Ferrule itself.';
    this.#over(current, { state: 'failed', failure });
  }

  #folderOf(id: string): string {
    return folderOf(rootOf(this.#options.storeFolder ?? ''), id);
  }

  #note(error: unknown): void {
    this.#options.onNote(
      `A rejudging could not be written (${error instanceof Error ? error.message : error}).`,
    );
  }

  /** What is kept as under way, and is not so here, was cut off. */
  #asItIs(kept: KeptRejudging): RejudgingNow {
    const current = this.#current;
    if (current?.kept.id === kept.id) {
      const now = soFar(current);
      if (now.jobs.total > 0) current.rate = current.pace.at(performance.now(), now.jobs) ?? current.rate;
      return { ...now, ...(current.rate === undefined ? {} : { rate: current.rate }) };
    }
    return kept.state === 'under-way' ? { ...kept, state: 'cut-off' } : kept;
  }
}

const rootOf = (store: string): string => join(store, 'rejudgings');

const digestOf = (asked: AskedRejudging) => askedDigest({ by: '', command: { ...asked } });

const noFolder = (): Problem =>
  problem('no-store-folder', 'This server was not told where the folder of its store is.');

/** What a thread is given for it. */
function workOf(store: string, kept: KeptRejudging, bundle: string, laid: string | undefined): RejudgeWork {
  const { id, asked, title, digest, release, notice } = kept;
  return {
    ...{ store, folder: folderOf(rootOf(store), id), bundle, all: asked.all === true },
    laid:
      laid === undefined || asked.overlay === undefined
        ? []
        : [{ overlay: asked.overlay.overlay, bundle: laid }],
    ...(asked.procedure === undefined ? {} : { procedure: asked.procedure }),
    head: {
      pack: { id: asked.pack, title },
      ...{ revision: asked.revision, digest, release, deferral, store: 'this server' },
      ...(notice === undefined ? {} : { notice }),
    },
  };
}
