import type { CheckFormat } from '../pack/check-packs.ts';
import { formatOption } from '../terminal/format-option.ts';
import { overlayOption } from '../terminal/overlay-option.ts';
import { policyOption } from '../terminal/policy-option.ts';
import type { Verb } from './verb.ts';

interface CheckCall {
  readonly format: CheckFormat;
  readonly trials?: true;
  readonly gauges?: true;
  readonly overlay?: string;
  readonly policy?: string;
  readonly graph?: string;
  readonly procedure?: string;
  readonly variant?: string;
  readonly watch?: true;
}

export const check: Verb = {
  name: 'check',
  does: 'says everything that is wrong with a pack, and proves its procedures',
  examples: [['specs/valve-clearance/1.0.0']],
  more: 'The format sarif is SARIF 2.1.0, which editors and code reviews read: each diagnostic with its place, and the shortest way to what the proof refutes. With --graph FILE.svg each procedure is drawn for each variant; where these are several, each has a file of its own, FILE-procedure-variant.svg. With --watch each check says what is new and what is gone since the one before; as JSON each is one line.',
  define: (command) => {
    command
      .argument('<PACK...>', 'folders of packs')
      .option('--trials', 'runs the trials too, when nothing else is wrong, and reports those that fail')
      .addOption(overlayOption())
      .addOption(policyOption())
      .option('--gauges', 'lists each tolerance with its instrument, and whether that can judge it')
      .option('--graph <file>', 'draws each procedure for each variant, with what the proof found')
      .option('--procedure <name>', 'draws this procedure alone')
      .option('--variant <name>', 'draws for this engine variant alone')
      .option('--watch', 'checks again whenever a file of the packs changes, until Ctrl-C')
      .addOption(formatOption('sarif'))
      .action(async (packs: readonly string[], options: CheckCall) => {
        if (options.graph === undefined && (options.procedure ?? options.variant) !== undefined) {
          const { callFault } = await import('../pack/open-pack.ts');
          const fault = callFault('--procedure and --variant say what --graph draws, and it is not there.');
          process.exitCode = fault.exitCode;
          return;
        }
        if (options.policy !== undefined && options.watch === true) {
          const { callFault } = await import('../pack/open-pack.ts');
          process.exitCode = callFault(
            '--watch takes the policy beside the packs, and no --policy.',
          ).exitCode;
          return;
        }
        if (options.overlay !== undefined && (options.watch === true || packs.length > 1)) {
          const { callFault } = await import('../pack/open-pack.ts');
          process.exitCode = callFault('--overlay is laid over one pack, and without --watch.').exitCode;
          return;
        }
        if (options.watch === true) {
          const { watchPacks } = await import('../pack/watch-packs.ts');
          process.exitCode = await watchPacks(packs, options);
          return;
        }
        const { checkPacks } = await import('../pack/check-packs.ts');
        const graph = options.graph === undefined ? undefined : { ...options, graph: options.graph };
        process.exitCode = await checkPacks(packs, options.format, graph, options);
      });
  },
};
