import { type CheckReport, checkPack, type SarifSubject, sarifOf } from '@ferrule/check';
import { releaseWords, unsigned } from '@ferrule/signing';
import { deferral, firstSentence } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { progress, say, sayJson } from '../terminal/output.ts';
import { version } from '../terminal/version.ts';
import { wrap } from '../terminal/wrap.ts';
import type { GraphCall } from './draw-graphs.ts';
import { folderUri } from './folder-uri.ts';
import { type Faulty, isNoPack, noPack } from './open-pack.ts';
import { policyFor } from './policy-for.ts';
import { writeDiagnostic } from './write-diagnostic.ts';
import { sumUpGauges, writeGauges } from './write-gauges.ts';
import { describeProofs, writeProofs } from './write-proof.ts';

export type CheckFormat = Format | 'sarif';

/** Checks packs one after the other, with their trials if asked for, and prints diagnostics and proofs. */
export async function checkPacks(
  folders: readonly string[],
  format: CheckFormat,
  graph?: GraphCall,
  {
    trials: withTrials = false,
    gauges: withGauges = false,
    overlay,
    policy: policyFile,
  }: {
    readonly trials?: boolean;
    readonly gauges?: boolean;
    readonly overlay?: string | undefined;
    readonly policy?: string | undefined;
  } = {},
): Promise<ExitCode> {
  const reports: CheckReport[] = [];
  const found: unknown[] = [];
  const subjects: SarifSubject[] = [];
  let exitCode: ExitCode = 0;
  let isSaid = false;
  for (const folder of folders) {
    progress(`reading ${folder}`);
    const policy = await policyFor(folder, policyFile, format === 'sarif' ? 'text' : format);
    if ('exitCode' in policy) return policy.exitCode;
    const report = await checkPack(folder, {
      ...(overlay === undefined ? {} : { overlay }),
      ...{ withTrials, policy: policy.policy },
      onProof: (procedure, variant) => progress(`proving ${procedure} for ${variant}`),
    });
    if (format === 'sarif') subjects.push({ base: folderUri(folder), report });
    if (isNoPack(report.diagnostics)) {
      exitCode = noPack(folder, report.diagnostics).exitCode;
      continue;
    }
    if (hasErrors(report) && exitCode === 0) exitCode = 1;
    if (graph !== undefined) reports.push(report);
    if (format === 'json') found.push(describeReport(folder, report));
    else if (format === 'text') {
      say(writeReport(folder, report, withGauges));
      isSaid = true;
    }
  }
  const drawn = graph === undefined || reports.length === 0 ? [] : await draw(reports, graph);
  if ('exitCode' in drawn) exitCode = drawn.exitCode > exitCode ? drawn.exitCode : exitCode;
  else if (format === 'text') for (const file of drawn) say(`${file} drawn.`);
  if (format === 'json')
    sayJson({ packs: found, ...('exitCode' in drawn || drawn.length === 0 ? {} : { graphs: drawn }) });
  else if (format === 'sarif') sayJson(sarifOf(subjects, version));
  else if (isSaid) say(wrap(deferral));
  return exitCode;
}

/** The pictures are loaded only where some are asked for. */
async function draw(reports: readonly CheckReport[], graph: GraphCall): Promise<readonly string[] | Faulty> {
  const { drawGraphs } = await import('./draw-graphs.ts');
  return drawGraphs(reports, graph);
}

const hasErrors = (report: CheckReport): boolean =>
  report.diagnostics.some((one) => one.severity === 'error');

/** A report as JSON. */
export const describeReport = (folder: string, report: CheckReport) => ({
  folder,
  ...(report.pack === undefined ? {} : { pack: report.pack.pack, revision: report.pack.revision }),
  ...(report.library === undefined ? {} : { library: report.library }),
  ...(report.pack?.overlaid === undefined ? {} : { overlaid: report.pack.overlaid }),
  ...(report.digest === undefined ? {} : { digest: report.digest }),
  release: releaseOf(report),
  diagnostics: report.diagnostics,
  gauges: report.gauges,
  proofs: describeProofs(report),
});

/** How what was checked is released, in words. */
const releaseOf = ({ release, overlayRelease, pack }: CheckReport): string =>
  releaseWords(release, pack?.overlaid === undefined ? undefined : (overlayRelease ?? unsigned));

/** A report as text; with the whole table of gauges, or in one line whether they suffice. */
export function writeReport(folder: string, report: CheckReport, withGauges = false): string {
  const { pack, library, diagnostics, proofs, gauges } = report;
  const variants = new Set(gauges.flatMap((one) => one.variants)).size;
  const count = (severity: string): number => diagnostics.filter((one) => one.severity === severity).length;
  const counted = (['error', 'warning', 'note'] as const)
    .map((severity) => ({ severity, number: count(severity) }))
    .filter(({ number, severity }) => number > 0 || severity === 'error')
    .map(({ severity, number }) => `${number} ${severity}${number === 1 ? '' : 's'}`);
  const name =
    pack !== undefined
      ? `${pack.title}, ${pack.pack} ${pack.revision}${pack.overlaid === undefined ? '' : ` with overlay ${pack.overlaid.overlay} ${pack.overlaid.revision}`}`
      : library !== undefined
        ? `${library.title}, library ${library.name} ${library.revision}`
        : folder;
  const unproved =
    proofs.length === 0 && library === undefined && count('error') > 0
      ? ' Nothing is proved before they are put right.'
      : '';
  return [
    ...diagnostics.map((one) => writeDiagnostic(folder, one)),
    ...(diagnostics.length > 0 ? [''] : []),
    ...(withGauges && pack !== undefined ? [...writeGauges(gauges, variants, count('error') > 0), ''] : []),
    ...writeProofs(report),
    ...(withGauges ? [] : sumUpGauges(gauges)),
    wrap(
      `${name}: ${counted.join(', ')} in ${report.files.length} file${report.files.length === 1 ? '' : 's'}.${unproved}`,
    ),
    ...(pack === undefined && library === undefined
      ? []
      : [wrap(`Release: ${releaseOf(report).replace(/\.$/, '')}.`)]),
    ...(library === undefined
      ? []
      : [wrap('Its digest, for packs that use it:'), library.digest, wrap('Check those packs too.')]),
    ...(pack?.notice === undefined ? [] : [wrap(firstSentence(pack.notice), 'NOTICE  ')]),
    ...(proofs.length > 0
      ? [
          wrap(
            'What is proved is what the pack models: its states, its laws and its steps. It is no proof of anything else.',
          ),
        ]
      : []),
  ].join('\n');
}
