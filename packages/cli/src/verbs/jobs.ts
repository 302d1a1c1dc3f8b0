import type { JobsOptions } from '../job/show-jobs-using.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const jobs: Verb = {
  name: 'jobs',
  does: 'says which jobs of a store an instrument was used in',
  examples: [
    ['jobs', '--used', 'TM-05'],
    ['jobs', '--used', 'TM-05', '--format', 'json'],
  ],
  more: [
    'When a calibration finds that a wrench or an indicator was off, this says what it touched: each job, and in it each reading and each joint with the number of the fact, the step, the value, and the verdict that followed. Due date and permissible error are those that were recorded then.',
    'The store is the folder that run was given as --jobs. Every file in it is read and its digests are checked; one that cannot be relied on is named, and the exit code is 1 then.',
  ].join('\n'),
  define: (command) => {
    command
      .argument('<STORE>', 'folder in which jobs are kept')
      .requiredOption('--used <identity>', 'the number of the instrument, as it was typed in the jobs')
      .addOption(formatOption())
      .action(async (store: string, options: JobsOptions) => {
        const { showJobsUsing } = await import('../job/show-jobs-using.ts');
        process.exitCode = showJobsUsing(store, options);
      });
  },
};
