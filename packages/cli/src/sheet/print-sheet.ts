import { sheet } from '@ferrule/print';
import { releaseWords, unsigned } from '@ferrule/signing';
import { bundleOf } from '@ferrule/source';
import { noJob } from '../pack/no-job.ts';
import { callFault, openPack, planOf } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { say, sayJson } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';

export interface SheetCall {
  readonly procedure: string;
  readonly variant: string;
  readonly overlay?: string;
  readonly policy?: string;
  readonly out?: string;
  readonly format: Format;
}

/** Writes the sheet of a procedure for one variant: to a file, or to stdout where none is named. */
export async function printSheet(folder: string, options: SheetCall): Promise<ExitCode> {
  const opened = await openPack(folder, options.format, options);
  if ('exitCode' in opened) return opened.exitCode;
  const wrong = noJob(opened.pack, options.procedure);
  if (wrong !== undefined) return callFault(wrong).exitCode;
  const plan = planOf(opened, options, options.format);
  if ('exitCode' in plan) return plan.exitCode;
  const { digest } = bundleOf(opened.reading.document);
  const { release, overlayRelease } = opened.reading;
  const words = releaseWords(
    release,
    options.overlay === undefined ? undefined : (overlayRelease ?? unsigned),
  );
  const html = sheet(plan, opened.pack, { digest, release: words });
  if (options.out !== undefined) {
    const failed = writeResult(options.out, html);
    if (failed !== undefined) return failed.exitCode;
  }
  if (options.format === 'json') {
    const { pack, revision, notice, overlaid } = opened.pack;
    sayJson({
      ...{ pack, revision, overlaid, notice, procedure: options.procedure, variant: options.variant, digest },
      release: words,
      ...(options.out === undefined ? { sheet: html } : { file: options.out }),
    });
  } else if (options.out === undefined) process.stdout.write(html);
  else say(`${options.out} written. Open it in a browser and print it.`);
  return 0;
}
