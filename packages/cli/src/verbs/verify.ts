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
  does: 'says whether a released pack, or the record of a job, is as it was, and who signed it',
  examples: [
    ['specs/valve-clearance/1.0.0', '--policy', 'policy.yaml'],
    ['specs/valve-clearance/1.0.0', '--key', 'keys/lead.key.pub'],
    ['jobs/2026-03-02-set-clearances-4f21', '--key', 'keys/lead.key.pub'],
  ],
  more: 'Each file that was changed, added, renamed or taken away since is named. What is signed is held against the policy, or against the public keys that are named with --key. Exit code 0: it is as it was signed, by those who may. 1: it is not, or nobody has signed it. Of a record each fact that was changed, added, moved or taken away is named, and an end that was cut off where the record is signed, or its last digest is given with --expect. docs/releases.md and docs/records.md say what that shows and what it does not.',
  define: (command) => {
    command
      .argument(
        '<WHAT>',
        'a pack, a library or an overlay; a store, a job of it as STORE/JOB, or a job in one file',
      )
      .addOption(policyOption())
      .option(
        '--key <key>',
        'a public key that counts, as a file or an id; may be said several times',
        listed,
      )
      .option('--expect <digest>', 'the digest that it must have, such as stands on a sheet')
      .addOption(formatOption())
      .action(async (what: string, options: VerifyCall) => {
        const { verifyPath } = await import('../release/verify-path.ts');
        process.exitCode = await verifyPath(what, options);
      });
  },
};
