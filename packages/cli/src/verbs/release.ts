import type { ReleaseCall } from '../release/release-folder.ts';
import { formatOption } from '../terminal/format-option.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

export const release: Verb = {
  name: 'release',
  does: 'freezes a revision of a pack, and signs it',
  examples: [
    ['specs/valve-clearance/1.0.0', '--key', 'keys/lead.key'],
    ['specs/valve-clearance/1.0.0', '--approve', '--key', 'keys/foreman.key'],
  ],
  more: 'A pack is checked first, with its trials, and one with errors is not released. What is written, release.json, stands in the folder of the pack: the digest of every file in it and of what they come to, signed. From then on check and every other verb say which file was changed. With --approve somebody else signs the same. docs/releases.md walks through it.',
  define: (command) => {
    command
      .argument('<PACK>', 'folder of the pack, or of a library')
      .requiredOption('--key <file>', 'private key of whoever releases or approves')
      .option('--approve', 'adds the signature of whoever approves what the author has released')
      .addOption(policyOption())
      .addOption(overlayOption())
      .option('--at <time>', 'when, in UTC, such as 2026-03-02T09:00:00Z; else now')
      .addOption(formatOption())
      .action(async (folder: string, options: ReleaseCall) => {
        const { releaseFolder } = await import('../release/release-folder.ts');
        process.exitCode = await releaseFolder(folder, options);
      });
  },
};
