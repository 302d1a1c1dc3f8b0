import { jobsCsv } from '@ferrule/print';
import type { JobQuery, JobSummary } from '@ferrule/records';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say, sayJson, sayRows } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { withOverlay } from './heading.ts';
import { openStore } from './open-store.ts';

/** How `jobs list` is called. */
export interface ListOptions extends JobQuery {
  readonly format: 'text' | 'json' | 'csv';
}

/** Lists the jobs of a store that an own choice of options asks for. */
export function listJobsOf(folder: string, { format, ...query }: ListOptions): ExitCode {
  const store = openStore(folder);
  if ('exitCode' in store) return store.exitCode;
  const { jobs, faults, more, unknown = [] } = store.list(query);
  for (const { job, fault } of faults) complain(`ferrule: ${job}: ${fault.message}`);
  for (const { says } of unknown) complain(`ferrule: ${says}`);
  if (format === 'json')
    sayJson({
      store: folder,
      jobs,
      faults,
      ...(more === true ? { more } : {}),
      ...(unknown.length === 0 ? {} : { unknown }),
    });
  else if (format === 'csv') sayRows(jobsCsv(jobs));
  else {
    for (const one of jobs) say(writeSummary(one));
    const count = `${jobs.length} ${jobs.length === 1 ? 'job' : 'jobs'}`;
    const last = jobs.at(-1);
    say(
      more === true && last !== undefined
        ? `${jobs.length === 0 ? '' : '\n'}The first ${count}; --after ${last.job} shows those that follow.`
        : `${jobs.length === 0 ? '' : '\n'}${count}.`,
    );
  }
  return faults.length > 0 ? 1 : 0;
}

function writeSummary(one: JobSummary): string {
  const { pack, overlay, engine, concessions, granted, lots, nonconforming, signed } = one;
  const what = [
    `${one.procedure}, ${one.variant}, ${pack.id} ${pack.revision}${withOverlay(overlay)}`,
    ...(engine === undefined ? [] : [`engine ${engine}`]),
    `${minute(one.started)} to ${minute(one.last)}, ${one.facts} facts`,
    one.persons.join(', '),
    ...(nonconforming === 0 ? [] : [counted(nonconforming, 'nonconforming verdict')]),
    ...(one.holds.length === 0
      ? []
      : [`${one.holds.length === 1 ? 'hold' : 'holds'} ${one.holds.join(', ')}`]),
    ...(concessions === 0
      ? []
      : [
          `${counted(concessions, 'concession')} (${granted.map(({ of, by }) => `${of} by ${by}`).join(', ')})`,
        ]),
    ...(lots.length === 0 ? [] : [`${lots.length === 1 ? 'lot' : 'lots'} ${lots.join(', ')}`]),
  ].join('; ');
  return `${wrap(`${one.job}: ${one.state}${signed ? ', signed' : ''}`)}\n${wrap(what, '  ')}`;
}

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

const minute = (at: string): string => at.slice(0, 16).replace('T', ' ');
