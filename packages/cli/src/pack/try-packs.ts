import { coverageOf, type Drafts, draftTrials, runTrials, type TrialResult } from '@ferrule/check';
import { bundleOf } from '@ferrule/source';
import { deferral, firstSentence } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { progress, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { callFault, notAmong, openPack } from './open-pack.ts';
import { describeCoverage, writeCoverage, writeOverlayCoverage } from './write-coverage.ts';
import { saysMissing, writeMissing } from './write-missing.ts';

export interface TryOptions {
  readonly format: Format;
  /** The one trial to run; what trials reach is not looked at then. */
  readonly only?: string;
  /** Lists everything that no trial reaches. */
  readonly unreached?: boolean;
  /** Drafts trials for it, into a new file of the pack. */
  readonly writeMissing?: boolean;
  readonly overlay?: string;
}

interface Tried {
  readonly folder: string;
  readonly trials: readonly TrialResult[];
  readonly coverage?: readonly unknown[];
  readonly drafts?: Drafts & { readonly file?: string };
}

/** Runs the trials of packs, or the one that is named, and prints how each came out and what they reach. */
export async function tryPacks(folders: readonly string[], options: TryOptions): Promise<ExitCode> {
  const results: Tried[] = [];
  if (options.only !== undefined && (options.unreached === true || options.writeMissing === true))
    return callFault('--unreached and --write-missing are about all trials: leave --only out.').exitCode;
  if (options.overlay !== undefined && (folders.length > 1 || options.writeMissing === true))
    return callFault('--overlay is laid over one pack, and --write-missing would write into that.').exitCode;
  let exitCode: ExitCode = 0;
  for (const folder of folders) {
    const opened = await openPack(folder, options.format, options);
    if ('exitCode' in opened) {
      exitCode = opened.exitCode;
      continue;
    }
    const { pack, reading } = opened;
    const { only } = options;
    const wrong =
      only === undefined
        ? undefined
        : notAmong(
            'trial',
            only,
            pack.overlaid === undefined ? Object.keys(pack.trials ?? {}) : (pack.overlaid.trials ?? []),
          );
    if (wrong !== undefined) return callFault(wrong).exitCode;
    const { digest } = bundleOf(reading.document);
    const trials = runTrials(pack, digest, {
      ...(only === undefined ? {} : { only: (name) => name === only }),
      onResult: (result) => (options.format === 'text' ? say(writeTrial(result)) : progress(result.trial)),
    });
    const coverage = only === undefined ? coverageOf(pack, trials, tellPlan) : [];
    const tried = {
      folder,
      trials,
      ...(only === undefined ? { coverage: describeCoverage(coverage, reading.positions) } : {}),
    };
    if (options.format === 'text' && only === undefined && trials.some((one) => one.failures.length > 0))
      say(wrap('What a failed trial went through is not counted as reached.'));
    if (options.format === 'text' && only === undefined)
      say(
        reading.overlay === undefined
          ? writeCoverage(folder, coverage, reading.positions, options.unreached === true)
          : writeOverlayCoverage(folder, coverage, reading.positions, reading.overlay),
      );
    if (options.writeMissing === true) {
      progress('drafting trials');
      const drafts = draftTrials(pack, digest, coverage, trials);
      const { file, wrong } = writeMissing(folder, drafts);
      if (wrong !== undefined) return callFault(wrong).exitCode;
      results.push({ ...tried, drafts: { ...drafts, ...(file === undefined ? {} : { file }) } });
      if (options.format === 'text') say(saysMissing(folder, drafts, file, reading.positions));
    } else results.push(tried);
    if (options.format === 'text' && pack.notice !== undefined)
      say(wrap(firstSentence(pack.notice), 'NOTICE  '));
    if (trials.some((one) => one.failures.length > 0) && exitCode === 0) exitCode = 1;
  }
  const all = results.flatMap((one) => one.trials);
  const failed = all.filter((one) => one.failures.length > 0).length;
  if (options.format === 'json') {
    const packs = results.map(({ folder, trials, coverage, drafts }) => ({
      folder,
      ...(coverage === undefined ? {} : { coverage }),
      ...(drafts === undefined
        ? {}
        : { drafts: { file: drafts.file, trials: Object.keys(drafts.trials), failed: drafts.failed } }),
      trials: trials.map(({ facts, refusedBy: _, ...trial }) => ({
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

const tellPlan = (procedure: string, variant: string, done: number, of: number): void =>
  progress(`looking what trials reach of ${procedure} for ${variant}, ${done + 1} of ${of}`);

function writeTrial({ trial, variant, says, failures }: TrialResult): string {
  const name = `${trial} (${variant})`;
  if (failures.length === 0) return wrap(name, 'pass  ');
  return [
    wrap(name, 'FAIL  '),
    wrap(says, '      '),
    ...failures.map((one) => wrap(one, '      - ', '        ')),
  ].join('\n');
}
