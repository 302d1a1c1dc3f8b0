import type { JobState } from '@ferrule/records';
import { Option } from 'commander';
import { countTyped } from '../job/count-typed.ts';
import { dayTyped } from '../job/day-typed.ts';
import type { ListOptions } from '../job/list-jobs.ts';
import type { CardCall } from '../job/show-card.ts';
import type { JobsOptions } from '../job/show-jobs-using.ts';
import type { ReadingsCall } from '../readings/show-readings.ts';
import type { Format } from '../terminal/format-option.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

const states: readonly JobState[] = ['open', 'parked', 'held', 'closed', 'abandoned'];

interface FormatOnly {
  readonly format: Format;
}

export const jobs: Verb = {
  name: 'jobs',
  does: 'lists, shows and hands on the jobs of a store',
  examples: [
    ['list', 'jobs', '--state', 'held'],
    ['show', 'jobs', '2026-03-02-set-clearances-4f21'],
    ['card', 'jobs', '2026-03-02-set-clearances-4f21', '--out', 'card.html'],
    ['list', 'jobs', '--person', 'technician A', '--role', 'technician', '--from', '2026-03-01'],
    ['spread', 'jobs', 'drift-limits', '--pack', 'marram-unit-pumps'],
    ['used', 'jobs', 'TM-05', '--from', '2026-01-05', '--until', '2026-03-02'],
  ],
  more: 'When a calibration finds that a wrench or an indicator was off, jobs used says what it touched: each job, and in it each reading and each joint with the number of the fact, the step, the value, and the verdict that followed. The store is the folder that run was given as --jobs. docs/records.md says what stands in it.',
  define: (command) => {
    command
      .command('list')
      .description('lists the jobs of a store, in the order of their names')
      .argument('<STORE>', 'folder in which jobs are kept')
      .addOption(new Option('--state <state>', 'only jobs that stand so').choices(states))
      .option('--instrument <identity>', 'only jobs that this instrument took part in')
      .option('--part <number>', 'only jobs with a part of this serial number')
      .option('--lot <number>', 'only jobs with a part of this lot, where their pack asks for it')
      .option('--person <name>', 'only jobs that this person had a role in')
      .option('--role <role>', 'with --person, in this role alone')
      .option('--concession <name>', 'only jobs with a concession for this hold or instrument')
      .option('--granted-by <name>', 'only jobs with a concession that this person gave')
      .option('--hold <name>', 'only jobs that stood at this hold at any time')
      .option('--pack <name>', 'only jobs of this pack')
      .option('--revision <revision>', 'only jobs of this revision of their pack')
      .option('--digest <digest>', 'only jobs pinned to the pack of this digest')
      .option(
        '--from <day>',
        'only jobs that went on from this day on; of an instrument: that used it',
        dayTyped,
      )
      .option(
        '--until <day>',
        'only jobs that went on up to this day; of an instrument: that used it',
        dayTyped,
      )
      .option('--engine <number>', 'only jobs on the engine of this serial number')
      .option('--after <job>', 'only jobs behind this one')
      .option('--limit <count>', 'at most so many', countTyped)
      .addOption(formatOption('csv'))
      .action(async (store: string, options: ListOptions) => {
        const { listJobsOf } = await import('../job/list-jobs.ts');
        process.exitCode = listJobsOf(store, options);
      });
    command.hook('preAction', (_, called) => {
      const { from, until } = called.opts<{ readonly from?: string; readonly until?: string }>();
      if (from !== undefined && until !== undefined && until < from)
        called.error(`error: no day is from ${from} and until ${until}: the last one is before the first.`);
    });
    command
      .command('show')
      .description('shows a job with all its facts')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<JOB>', 'name of the job')
      .addOption(formatOption())
      .action(async (store: string, job: string, options: FormatOnly) => {
        const { showJob } = await import('../job/show-job.ts');
        process.exitCode = showJob(store, job, options);
      });
    command
      .command('card')
      .description('writes the card of a job: a page to print, rows, or the document itself')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<JOB>', 'name of the job')
      .addOption(
        new Option('--form <form>', 'html, csv or json').choices(['html', 'csv', 'json']).default('html'),
      )
      .option('--out <file>', 'the file that is written, instead of the screen')
      .action(async (store: string, job: string, options: CardCall) => {
        const { showCard } = await import('../job/show-card.ts');
        process.exitCode = showCard(store, job, options);
      });
    command
      .command('export')
      .description('writes a job with its pack, signature and photographs to one file')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<JOB>', 'name of the job')
      .requiredOption('--out <file>', 'the file that is written')
      .action(async (store: string, job: string, options: { readonly out: string }) => {
        const { exportJobTo } = await import('../job/hand-on.ts');
        process.exitCode = exportJobTo(store, job, options);
      });
    command
      .command('import')
      .description('takes a job from such a file; what does not verify is refused')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<FILE>', 'the file that jobs export wrote')
      .action(async (store: string, file: string) => {
        const { importJobFrom } = await import('../job/hand-on.ts');
        process.exitCode = importJobFrom(store, file);
      });
    command
      .command('spread')
      .description('says how what was measured lies against its limits, over all jobs of a pack')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<NAME>', 'a tolerance, or what is measured, without its place')
      .requiredOption('--pack <name>', 'jobs of this pack')
      .option('--revision <revision>', 'only jobs of this revision')
      .option('--procedure <name>', 'only jobs of this procedure')
      .option('--variant <name>', 'only jobs on this engine variant')
      .option('--from <day>', 'only what was measured from this day on', dayTyped)
      .option('--until <day>', 'only what was measured up to this day', dayTyped)
      .option('--out <file>', 'the file that is written, instead of the screen')
      .addOption(formatOption('csv', 'html'))
      .action(async (store: string, name: string, options: ReadingsCall) => {
        const { showReadings } = await import('../readings/show-readings.ts');
        process.exitCode = showReadings(store, name, options);
      });
    command
      .command('used')
      .description('says what an instrument was used for, when a calibration finds that it was off')
      .argument('<STORE>', 'folder in which jobs are kept')
      .argument('<IDENTITY>', 'the number of the instrument, as it was typed in the jobs')
      .option('--from <day>', 'only what was done from this day on', dayTyped)
      .option('--until <day>', 'only what was done up to this day', dayTyped)
      .addOption(formatOption('csv'))
      .action(async (store: string, used: string, options: Omit<JobsOptions, 'used'>) => {
        const { showJobsUsing } = await import('../job/show-jobs-using.ts');
        process.exitCode = showJobsUsing(store, { used, ...options });
      });
  },
};
