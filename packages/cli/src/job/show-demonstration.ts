import { existsSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { checkPacks } from '../pack/check-packs.ts';
import { callFault } from '../pack/open-pack.ts';
import { callOf } from '../terminal/call.ts';
import type { ExitCode, INTERRUPTED } from '../terminal/exit-code.ts';
import { say } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { runJob } from './run-job.ts';

/** The bundle lies in packages/cli/dist of the checkout. */
const root = fileURLToPath(new URL('../../..', import.meta.url));
const pack = 'specs/marram-unit-pumps/1.0.0';
const answers = 'docs/examples/marram-four.answers.yaml';

/** What `npm start` shows: the demonstration pack checked, and one whole job on the four-cylinder engine. */
export async function showDemonstration(): Promise<ExitCode | typeof INTERRUPTED> {
  if (!existsSync(join(root, pack)))
    return callFault('the demonstration needs a checkout with its specs folder.').exitCode;
  const here = (path: string): string => relative(process.cwd(), join(root, path)) || '.';
  say('1. The demonstration pack is checked, and its procedure proved for each variant.\n');
  const checked = await checkPacks([here(pack)], 'text');
  if (checked !== 0) return checked;
  say(
    '\n2. One whole job: a scripted technician answers from a file, on a clock of its own. Shown is what is judged, held and released.\n',
  );
  const ran = await runJob(here(pack), {
    format: 'text',
    procedure: 'install-and-synchronise',
    variant: 'marram-four',
    answers: here(answers),
    jobs: here('jobs'),
    isBrief: true,
  });
  if (ran !== 0) return ran;
  const clearance = here('specs/valve-clearance/1.0.0');
  const next: readonly (readonly [call: string, does: string])[] = [
    [
      callOf(
        'run',
        clearance,
        '--procedure',
        'set-clearances',
        '--variant',
        'marram-four',
        '--jobs',
        here('jobs'),
      ),
      'a small job by hand; a ? lists what can be typed',
    ],
    [
      callOf('trial', here(pack)),
      'the trials of the pack: drift, overshoot, mixed-up parts, a struck reading, refusals',
    ],
    [
      callOf('crank', here(pack), '--variant', 'marram-five'),
      'firing angles, followers and the rotation plan',
    ],
    [callOf('--help'), 'every verb'],
  ];
  say('\nTry next, from this folder:');
  for (const [call, does] of next) say(`  ${call}\n${wrap(does, '      ')}`);
  return 0;
}
