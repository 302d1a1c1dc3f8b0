import type { CatalogueCall } from '../catalogue/show-catalogue.ts';
import { formatOption } from '../terminal/format-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const catalogue: Verb = {
  name: 'catalogue',
  does: 'lists the packs of a folder: their jobs, for which engines, with what, and what is due next',
  examples: [['specs'], ['specs', '--out', 'catalogue.md']],
  more: 'The page is Markdown. Packs are looked for four folders deep; libraries and overlays that stand beside them are listed too. Nothing is proved: that is what check is for.',
  define: (command) => {
    command
      .argument('<FOLDER...>', 'folders that hold packs')
      .option('--out <file>', 'writes the page into this file')
      .addOption(policyOption())
      .addOption(formatOption())
      .action(async (folders: readonly string[], options: CatalogueCall) => {
        const { showCatalogue } = await import('../catalogue/show-catalogue.ts');
        process.exitCode = await showCatalogue(folders, options);
      });
  },
};
