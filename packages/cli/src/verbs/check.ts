import { type Format, formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const check: Verb = {
  name: 'check',
  does: 'says everything that is wrong with a pack, and proves its procedures',
  examples: [['specs/valve-clearance/1.0.0']],
  define: (command) => {
    command
      .argument('<PACK...>', 'folders of packs')
      .addOption(formatOption())
      .action(async (packs: readonly string[], options: { readonly format: Format }) => {
        const { checkPacks } = await import('../pack/check-packs.ts');
        process.exitCode = await checkPacks(packs, options.format);
      });
  },
};
