import { jobPath, listJobs, readJob } from '@ferrule/records';
import { wrap } from '../terminal/wrap.ts';
import { withOverlay } from './heading.ts';
import { takeUpAgain } from './keep.ts';

const MOST = 8;

/** A job of a store that was begun and is not closed. */
export interface Unfinished {
  readonly job: string;
  readonly says: string;
}

/** The jobs of a store that can be gone on with, the last begun first. Files that cannot be read are left aside. */
export function unfinishedIn(store: string): readonly Unfinished[] {
  return listJobs(store)
    .flatMap((job) => {
      const read = readJob(jobPath(store, job));
      // A copy under another name is not gone on with.
      if (
        read.fault !== undefined ||
        read.header.job !== job ||
        read.facts.some(({ fact }) => fact.kind === 'closed')
      )
        return [];
      const { header, facts } = read;
      const { overlay } = header;
      const last = facts.at(-1)?.at.slice(0, 16).replace('T', ' ') ?? 'never';
      return [
        {
          job,
          says: `${header.procedure}, ${header.variant}, ${header.pack.id} ${header.pack.revision}${withOverlay(overlay)}; last at ${last}`,
        },
      ];
    })
    .reverse();
}

/** The unfinished jobs as lines, with how one of them is taken up again; nothing when there is none. */
export function writeUnfinished(store: string, jobs: readonly Unfinished[]): readonly string[] {
  const [first] = jobs;
  if (first === undefined) return [];
  const more = jobs.length - MOST;
  return [
    `Unfinished jobs in ${store}:`,
    ...jobs.slice(0, MOST).map(({ job, says }) => wrap(`${job}: ${says}`, '  ', '      ')),
    ...(more > 0 ? [`  and ${more} more`] : []),
    `Go on with one: ${takeUpAgain({ job: first.job, store, path: '' })}`,
    '',
  ];
}
