import type { CheckFormat } from '../pack/check-packs.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const check: Verb = {
  name: 'check',
  does: 'says everything that is wrong with a pack, and proves its procedures',
  examples: [['specs/valve-clearance/1.0.0']],
  more: 'The format sarif is SARIF 2.1.0, which editors and code reviews read: each diagnostic with its place, and the shortest way to what the proof refutes.',
  define: (command) => {
    command
      .argument('<PACK...>', 'folders of packs')
      .addOption(formatOption('sarif'))
      .action(async (packs: readonly string[], options: { readonly format: CheckFormat }) => {
        const { checkPacks } = await import('../pack/check-packs.ts');
        process.exitCode = await checkPacks(packs, options.format);
      });
  },
};
