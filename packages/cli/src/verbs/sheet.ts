import type { SheetCall } from '../sheet/print-sheet.ts';
import { formatOption } from '../terminal/format-option.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const sheet: Verb = {
  name: 'sheet',
  does: 'writes a procedure as a sheet to be printed and filled in by hand',
  examples: [
    [
      'specs/valve-clearance/1.0.0',
      '--procedure',
      'set-clearances',
      '--variant',
      'marram-four',
      '--out',
      'sheet.html',
    ],
  ],
  more: 'The sheet is one page of HTML that loads nothing: open it in a browser and print it, on A4 or US letter. Without --out it goes to stdout. docs/sheet.md says what stands on it.',
  define: (command) => {
    command
      .argument('<PACK>', 'folder of the pack')
      .requiredOption('--procedure <name>', 'the procedure')
      .requiredOption('--variant <name>', 'the engine variant')
      .addOption(overlayOption())
      .addOption(policyOption())
      .option('--out <file>', 'writes the sheet into this file')
      .addOption(formatOption())
      .action(async (pack: string, options: SheetCall) => {
        const { printSheet } = await import('../sheet/print-sheet.ts');
        process.exitCode = await printSheet(pack, options);
      });
  },
};
