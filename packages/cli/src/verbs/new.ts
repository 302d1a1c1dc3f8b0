import type { Format } from '../terminal/format-option.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const newVerb: Verb = {
  name: 'new',
  does: 'writes a small pack to start from, whose comments teach the format',
  examples: [['specs/my-first-pack/0.1.0']],
  more: 'The folder has to be new or empty: nothing is overwritten. The pack is called after it, or, where its name is a revision, after the folder around it.',
  define: (command) => {
    command
      .argument('<DIR>', 'folder to write the pack into')
      .addOption(formatOption())
      .action(async (folder: string, { format }: { readonly format: Format }) => {
        const { newPack } = await import('../pack/new-pack.ts');
        process.exitCode = newPack(folder, format);
      });
  },
};
