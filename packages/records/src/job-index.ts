import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { writeDraft } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import { type Known, readIndex, writeIndex } from './index-file.ts';
import { asksFor, type JobListing, type JobQuery, type JobSummary, summaryOf } from './job-summary.ts';
import { makeOne } from './make-folder.ts';
import { type JobFault, type JobReading, noFact } from './read-job.ts';
import { ENDING, isJobId, SIGNATURE_ENDING } from './store-folder.ts';
import { unknownInQuery } from './unknown-in-query.ts';

/** How long an index that others may use as well is left behind, where jobs go on all the time. */
const WRITE_AGAIN_MS = 5000;

/**
 * The index of a store: what a list says of each job, so that files that have not changed since are not read again. It is
 * kept in `index/jobs.json`, and can be thrown away at any time. What is broken, or was made for another store, is made anew
 * in silence; where it cannot be written a list takes longer, and that is all.
 */
export class JobIndex {
  readonly #folder: string;
  readonly #read: (job: string) => JobReading;
  #known: Map<string, Known> | undefined;
  #written = Number.NEGATIVE_INFINITY;

  constructor(folder: string, read: (job: string) => JobReading) {
    this.#folder = folder;
    this.#read = read;
  }

  /** The jobs that a query asks for, as their files stand now. */
  list(query: JobQuery): JobListing {
    const { limit = Number.POSITIVE_INFINITY } = query;
    const jobs: JobSummary[] = [];
    const faults: { readonly job: string; readonly fault: JobFault }[] = [];
    let isMore = false;
    const all = this.#bringUpToDate();
    for (const [job, { summary, fault }] of all) {
      if (fault !== undefined) faults.push({ job, fault });
      if (summary === undefined || !asksFor(query, summary)) continue;
      if (jobs.length < limit) jobs.push(summary);
      else isMore = true;
    }
    const unknown =
      jobs.length > 0 || isMore
        ? []
        : unknownInQuery(
            query,
            [...all.values()].flatMap(({ summary }) => summary ?? []),
          );
    return {
      ...{ jobs, faults },
      ...(isMore ? { more: true } : {}),
      ...(unknown.length === 0 ? {} : { unknown }),
    };
  }

  #bringUpToDate(): ReadonlyMap<string, Known> {
    const names = namesIn(this.#folder);
    const signatures = new Set(names.filter((name) => name.endsWith(SIGNATURE_ENDING)));
    const before = this.#known ?? readIndex(this.#path);
    const now = new Map<string, Known>();
    let isChanged = false;
    for (const name of names) {
      if (!name.endsWith(ENDING)) continue;
      const job = name.slice(0, -ENDING.length);
      const known = before.get(job);
      if (known === undefined && !isJobId(job)) continue;
      const found = statSync(`${this.#folder}/${name}`, { throwIfNoEntry: false });
      if (found === undefined) continue;
      const { size, mtimeMs: changed } = found;
      const signed = signatures.has(job + SIGNATURE_ENDING);
      const isSame =
        known?.size === size && known.changed === changed && (known.summary?.signed ?? signed) === signed;
      if (!isSame) isChanged = true;
      now.set(job, isSame ? known : { size, changed, ...this.#look(job, signed) });
    }
    this.#known = now;
    if (isChanged || now.size !== before.size) this.#keep(now);
    return now;
  }

  #look(job: string, signed: boolean): Pick<Known, 'summary' | 'fault'> {
    const read = this.#read(job);
    if (read.fault !== undefined) return { fault: read.fault };
    const summary = summaryOf(read, signed);
    return summary === undefined ? { fault: noFact } : { summary };
  }

  get #path(): string {
    return join(this.#folder, 'index', 'jobs.json');
  }

  #keep(now: ReadonlyMap<string, Known>): void {
    if (performance.now() - this.#written < WRITE_AGAIN_MS) return;
    this.#written = performance.now();
    try {
      makeOne(join(this.#folder, 'index'));
      whileLocked(this.#path, () => {
        writeDraft(this.#path, writeIndex(now));
        return true;
      });
    } catch {
      // A store that can only be read is listed without one.
    }
  }
}

/** Names in a folder, in order; none when it cannot be read. */
function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder).sort();
  } catch {
    return [];
  }
}
