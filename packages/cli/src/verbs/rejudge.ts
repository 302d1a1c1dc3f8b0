import { Option } from 'commander';
import type { RejudgeCall } from '../rejudge/rejudge-jobs.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const rejudge: Verb = {
  name: 'rejudge',
  does: 'judges the jobs of a store by another revision of their pack',
  examples: [
    ['specs/marram-unit-pumps/1.1.0', '--jobs', 'jobs'],
    ['specs/marram-unit-pumps/1.1.0', '--jobs', 'jobs', '--all', '--out', 'rejudged'],
  ],
  more: 'Each job is compared by the revision that its store has kept. Judged again is what the comparison of the two says has changed, with the readings of then and the instruments as they were then. Nothing in the store is written. With --out a run that was cut off goes on where it was. Exit code 1 when a verdict comes out otherwise, cannot be given again, or a file of the store is left aside for another reason than its pack. docs/rejudging.md says more.',
  define: (command) => {
    command
      .argument('<PACK>', 'folder of the pack, in the revision to judge by')
      .requiredOption('--jobs <store>', 'folder in which jobs are kept')
      .option('--procedure <name>', 'only jobs of this procedure, as they call it')
      .option('--all', 'judges again what has not changed, too: it has to come out as recorded')
      .addOption(overlayOption())
      .addOption(policyOption())
      .option('--out <folder>', 'writes every format into this folder, and keeps there how far it has come')
      .addOption(
        new Option('--format <format>', 'how results are written')
          .choices(['text', 'json', 'csv', 'html'])
          .default('text'),
      )
      .action(async (pack: string, options: RejudgeCall) => {
        const { rejudgeJobs } = await import('../rejudge/rejudge-jobs.ts');
        process.exitCode = await rejudgeJobs(pack, options);
      });
  },
};
