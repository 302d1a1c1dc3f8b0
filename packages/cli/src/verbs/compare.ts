import { Option } from 'commander';
import type { CompareCall } from '../compare/compare-two.ts';
import { formatOption } from '../terminal/format-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const compare: Verb = {
  name: 'compare',
  does: 'says what one revision of a pack has otherwise than another, by what it means',
  examples: [
    ['specs/marram-unit-pumps/1.0.0', 'specs/marram-unit-pumps/1.1.0'],
    ...[
      [
        ...['specs/marram-unit-pumps/1.0.0', 'specs/marram-unit-pumps/1.1.0'],
        ...['--format', 'html', '--out', 'comparison.html'],
      ],
    ],
  ],
  more: 'Name the older revision first. Each is the folder of a pack, or the file of a bundle as the store of a job keeps it. The order of keys, the files that they stand in and how a number is written make no difference; a new name counts once, and not at every place that uses it. What protects less stands on top. At the end stands what the newer revision does otherwise, for which its procedures are explored: which trials of the older one come out otherwise, the shortest way to what jobs may come to now, and how the crankshaft is turned. That takes some seconds, and is given up after half a minute. docs/auditors-guide.md reads a comparison aloud, and has the table of what asks for a patch, a minor or a major revision.\n\nExit code: 0 when the revision and its changelog own up to every change, 1 when they do not or a pack has faults, 2 when the call was wrong.',
  define: (command) => {
    command
      .argument('<OLD>', 'the older revision: the folder of a pack, or a bundle')
      .argument('<NEW>', 'the newer revision')
      .option('--overlay-before <folder>', 'lays this overlay over the older revision')
      .option('--overlay-after <folder>', 'lays this overlay over the newer revision')
      .option('--without-behaviour', 'only compares what is written: runs no trial and looks for no way')
      .addOption(policyOption())
      .addOption(new Option('--out <file>', 'the file that is written, instead of the screen'))
      .addOption(formatOption('sarif', 'markdown', 'html'))
      .action(async (before: string, after: string, options: CompareCall) => {
        const { compareTwo } = await import('../compare/compare-two.ts');
        process.exitCode = await compareTwo(before, after, options);
      });
  },
};
