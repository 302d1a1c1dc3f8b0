import type { CrankCall } from '../crank/show-crank.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const crank: Verb = {
  name: 'crank',
  does: 'shows firing angles, where each follower stands, and how the crank is taken from stop to stop',
  examples: [['specs/marram-unit-pumps/1.0.0', '--variant', 'marram-five']],
  define: (command) => {
    command
      .argument('<PACK>', 'folder of the pack')
      .requiredOption('--variant <name>', 'the engine variant')
      .option('--svg [file]', 'draws it instead, into this file or to stdout')
      .addOption(formatOption())
      .action(async (pack: string, options: CrankCall) => {
        const { showCrank } = await import('../crank/show-crank.ts');
        process.exitCode = await showCrank(pack, options);
      });
  },
};
