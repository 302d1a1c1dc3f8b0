import type { RunOptions } from '../job/runnable.ts';
import { formatOption } from '../terminal/format-option.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const run: Verb = {
  name: 'run',
  does: 'works through a procedure in the terminal',
  examples: [
    [
      'specs/valve-clearance/1.0.0',
      '--procedure',
      'set-clearances',
      '--variant',
      'marram-four',
      '--jobs',
      'jobs',
    ],
    ['--jobs', 'jobs', '--job', '2026-03-02-set-clearances-4f21'],
  ],
  more: 'At every question a ? lists what can be typed. What was recorded is kept in the store at once, so a job can be left at any time and taken up again by its name. docs/terminal.md says more, also about files of answers.',
  define: (command) => {
    command
      .argument('[PACK]', 'folder of the pack; a job that was kept needs none')
      .option('--procedure <name>', 'the procedure')
      .option('--variant <name>', 'the engine variant')
      .option('--answers <file>', 'lets a scripted person answer from this file')
      .option('--jobs <store>', 'keeps the job in this folder')
      .option('--job <name>', 'goes on with this job of the store')
      .option('--key <file>', 'signs the job with this private key when it is closed')
      .addOption(overlayOption())
      .addOption(policyOption())
      .option('--instruments <file>', 'the list of instruments that the shop has')
      .addOption(formatOption())
      .action(async (pack: string | undefined, options: RunOptions) => {
        const { runJob } = await import('../job/run-job.ts');
        process.exitCode = await runJob(pack, options);
      });
  },
};
