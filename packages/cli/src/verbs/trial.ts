import type { TryOptions } from '../pack/try-packs.ts';
import { formatOption } from '../terminal/format-option.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import type { Verb } from './verb.ts';

export const trial: Verb = {
  name: 'trial',
  does: 'runs the trials of a pack, and says what they reach',
  examples: [
    ['specs/marram-unit-pumps/1.0.0'],
    ['specs/marram-unit-pumps/1.0.0', '--only', 'overshoot'],
    ['specs/valve-clearance/1.0.0', '--unreached'],
  ],
  more: [
    'Reached are steps, branches (each case, each only-if true and false), outcomes (each side of a tolerance, each answer, whose part), reworks and their last attempts, holds with each way out, what happens aside (left out, struck, parked), and laws that refused. A trial that fails reaches nothing. What the proof never comes to is not counted.',
    '--write-missing drafts a trial for each place that none reaches, with readings at a limit and one last digit beyond it, into a new file trials/drafts.yaml. A draft says what the plan does; whether that is right, a person has to say.',
    'The exit code speaks of failed trials only.',
  ].join('\n'),
  define: (command) => {
    command
      .argument('<PACK...>', 'folders of packs')
      .addOption(overlayOption())
      .option('--only <name>', 'the one trial of this name')
      .option('--unreached', 'lists everything that no trial reaches')
      .option('--write-missing', 'drafts trials for what none reaches, into a new file of the pack')
      .addOption(formatOption())
      .action(async (packs: readonly string[], options: TryOptions) => {
        const { tryPacks } = await import('../pack/try-packs.ts');
        process.exitCode = await tryPacks(packs, options);
      });
  },
};
