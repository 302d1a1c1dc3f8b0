import { existsSync } from 'node:fs';
import { type InstrumentUsed, nearest } from '@ferrule/engine';
import { nameOf, usesCsvHead, usesCsvRow } from '@ferrule/print';
import {
  type Days,
  type InstrumentUse,
  instrumentsIn,
  type JobUsing,
  jobsUsing,
  storeFault,
} from '@ferrule/records';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say, sayJson, sayRows } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { withOverlay } from './heading.ts';

/** How `jobs` is called. */
export interface JobsOptions extends Days {
  readonly format: 'text' | 'json' | 'csv';
  readonly used: string;
}

/** Says in which jobs of a store an instrument was used, and for what. */
export function showJobsUsing(store: string, { used, format, ...days }: JobsOptions): ExitCode {
  const fault = storeFault(store);
  if (fault !== undefined) return callFault(fault).exitCode;
  if (!existsSync(store))
    return callFault(`there is no folder ${store}. Name one that jobs are kept in.`).exitCode;
  let count = 0;
  let isFaulty = false;
  const found: JobUsing[] = [];
  if (format === 'csv') sayRows(usesCsvHead);
  for (const one of jobsUsing(store, used, days)) {
    if (one.fault === undefined) count += 1;
    else isFaulty = true;
    // A person reads along; JSON is one value, and needs them all.
    if (format === 'json') found.push(one);
    else if (one.fault !== undefined) complain(`ferrule: ${one.job}: ${one.fault.message}`);
    else if (format === 'csv') for (const use of one.uses) sayRows(usesCsvRow({ job: one.job, ...use }));
    else say(`${count === 1 ? '' : '\n'}${writeJob(one)}`);
  }
  if (format === 'json') sayJson({ store, used, ...days, jobs: found });
  else if (format === 'text') say(writeCount(store, used, days, count));
  return isFaulty ? 1 : 0;
}

function writeCount(store: string, used: string, { from, until }: Days, count: number): string {
  const when = [
    ...(from === undefined ? [] : [` from ${from}`]),
    ...(until === undefined ? [] : [` until ${until}`]),
  ];
  if (count > 0)
    return `\n${used} was used in ${count} ${count === 1 ? 'job' : 'jobs'} of ${store}${when.join('')}.`;
  if (when.length > 0) return `${used} was used in no job of ${store}${when.join('')}.`;
  const known = [...instrumentsIn(store)];
  const meant = known.find((one) => one.toLowerCase() === used.toLowerCase()) ?? nearest(used, known);
  const hint = meant === undefined ? '' : ` Did you mean ${meant}?`;
  return `${used} was used in no job of ${store}.${hint}`;
}

function writeJob({ job, header, isClosed, uses }: Exclude<JobUsing, { fault: object }>): string {
  const { procedure, variant, pack, overlay } = header;
  return [
    wrap(
      `${job}: ${procedure}, ${variant}, ${pack.id} ${pack.revision}${withOverlay(overlay)}${isClosed ? '' : '; not closed'}`,
      '',
      '  ',
    ),
    ...uses.map((one) =>
      wrap(writeUse(one), `  [${one.seq}] ${one.at.slice(0, 16).replace('T', ' ')}  `, '        '),
    ),
  ].join('\n');
}

function writeUse({
  what,
  by,
  step,
  entry,
  value,
  verdicts = [],
  struckBy,
  instrument,
}: InstrumentUse): string {
  const bore = /@(\d+)$/.exec(entry ?? '')?.[1];
  const place = bore === undefined ? '' : ` of bore ${bore}`;
  const struck = struckBy === undefined ? '' : `; STRUCK by fact ${struckBy}`;
  switch (what) {
    case 'named':
      return `named${known(instrument)} (${by})`;
    case 'allowed':
      return `allowed by ${by}: ${value ?? ''}`;
    case 'reading': {
      const judged = verdicts
        .map(
          (one) =>
            `${verdictWord(one.verdict)} ${nameOf(one.of)}${one.struckBy === undefined ? '' : ', struck'}`,
        )
        .join(', ');
      return `read ${nameOf(entry ?? '')}${place}: ${value ?? ''}${judged === '' ? '' : `; ${judged}`}${struck} (${by})`;
    }
    case 'tightened':
      return `tightened at ${step ?? ''}${value === undefined ? '' : `, set to ${value}`}${struck} (${by})`;
  }
}

const verdictWord = (word: string): string => (word === 'conforming' ? word : word.toUpperCase());

/** What was known of it then, as the job was told. */
function known(instrument: InstrumentUsed | undefined): string {
  if (instrument === undefined) return '';
  const { kind, due, maximumPermissibleError: error, calibration } = instrument;
  return [
    ` as ${kind}`,
    ...(due === undefined ? [] : [`calibrated until ${due}`]),
    ...(error === undefined ? [] : [`may be off by ${error}`]),
    ...(calibration === undefined
      ? []
      : [`certificate ± ${calibration.expandedUncertainty} (k = ${calibration.coverageFactor})`]),
  ].join(', ');
}
