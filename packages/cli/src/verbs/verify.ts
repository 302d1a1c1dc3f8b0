import type { VerifyCall } from '../release/verify-folder.ts';
import { formatOption } from '../terminal/format-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

const listed = (one: string, before: readonly string[] | undefined): readonly string[] => [
  ...(before ?? []),
  one,
];

export const verify: Verb = {
  name: 'verify',
  does: 'says whether a released pack is as it was signed, and by whom',
  examples: [
    ['specs/valve-clearance/1.0.0', '--policy', 'policy.yaml'],
    ['specs/valve-clearance/1.0.0', '--key', 'keys/lead.key.pub'],
  ],
  more: 'Each file that was changed, added, renamed or taken away since is named. What is signed is held against the policy, or against the public keys that are named with --key. Exit code 0: it is as it was signed, by those who may. 1: it is not, or nobody has signed it. docs/releases.md says what that shows and what it does not.',
  define: (command) => {
    command
      .argument('<WHAT>', 'folder of a pack, a library or an overlay')
      .addOption(policyOption())
      .option(
        '--key <key>',
        'a public key that counts, as a file or an id; may be said several times',
        listed,
      )
      .option('--expect <digest>', 'the digest that it must have, such as stands on a sheet')
      .addOption(formatOption())
      .action(async (what: string, options: VerifyCall) => {
        const { verifyFolder } = await import('../release/verify-folder.ts');
        process.exitCode = await verifyFolder(what, options);
      });
  },
};
