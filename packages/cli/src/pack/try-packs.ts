import { runTrials, type TrialResult } from '@ferrule/check';
import { bundleOf } from '@ferrule/source';
import { deferral, firstSentence } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { progress, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { callFault, notAmong, openPack } from './open-pack.ts';

/** Runs the trials of packs, or the one that is named, and prints how each came out. */
export async function tryPacks(
  folders: readonly string[],
  options: { readonly format: Format; readonly only?: string },
): Promise<ExitCode> {
  const results: { readonly folder: string; readonly trials: readonly TrialResult[] }[] = [];
  let exitCode: ExitCode = 0;
  for (const folder of folders) {
    const opened = await openPack(folder, options.format);
    if ('exitCode' in opened) {
      exitCode = opened.exitCode;
      continue;
    }
    const { pack, reading } = opened;
    const { only } = options;
    const wrong = only === undefined ? undefined : notAmong('trial', only, Object.keys(pack.trials ?? {}));
    if (wrong !== undefined) return callFault(wrong).exitCode;
    const trials = runTrials(pack, bundleOf(reading.document).digest, {
      ...(only === undefined ? {} : { only: (name) => name === only }),
      onResult: (result) => (options.format === 'text' ? say(writeTrial(result)) : progress(result.trial)),
    });
    results.push({ folder, trials });
    if (options.format === 'text' && pack.notice !== undefined)
      say(wrap(firstSentence(pack.notice), 'NOTICE  '));
    if (trials.some((one) => one.failures.length > 0) && exitCode === 0) exitCode = 1;
  }
  const all = results.flatMap((one) => one.trials);
  const failed = all.filter((one) => one.failures.length > 0).length;
  if (options.format === 'json') {
    const packs = results.map(({ folder, trials }) => ({
      folder,
      trials: trials.map(({ facts, ...trial }) => ({
        ...trial,
        passed: trial.failures.length === 0,
        facts: facts.length,
      })),
    }));
    sayJson({ packs, passed: all.length - failed, failed });
  } else if (results.length > 0) {
    say(`${all.length - failed} passed, ${failed} failed`);
    say(wrap(deferral));
  }
  return exitCode;
}

function writeTrial({ trial, variant, says, failures }: TrialResult): string {
  const name = `${trial} (${variant})`;
  if (failures.length === 0) return wrap(name, 'pass  ');
  return [
    wrap(name, 'FAIL  '),
    wrap(says, '      '),
    ...failures.map((one) => wrap(one, '      - ', '        ')),
  ].join('\n');
}
