import { type Format, formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const trial: Verb = {
  name: 'trial',
  does: 'runs the trials of a pack',
  examples: [['specs/marram-unit-pumps/1.0.0'], ['specs/marram-unit-pumps/1.0.0', '--only', 'overshoot']],
  more: 'What a trial expected and did not find is no diagnostic, so there is no format sarif here; check has it.',
  define: (command) => {
    command
      .argument('<PACK...>', 'folders of packs')
      .option('--only <name>', 'the one trial of this name')
      .addOption(formatOption())
      .action(
        async (packs: readonly string[], options: { readonly format: Format; readonly only?: string }) => {
          const { tryPacks } = await import('../pack/try-packs.ts');
          process.exitCode = await tryPacks(packs, options);
        },
      );
  },
};
