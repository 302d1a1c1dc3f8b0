import { readFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { answersOf } from '@ferrule/check';
import type { Answers, Diagnostic, Pack, Trial } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPackFromFiles } from '@ferrule/source';
import type { Faulty, OpenedPack } from '../pack/open-pack.ts';
import { callFault, placeOf } from '../pack/open-pack.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { say } from '../terminal/output.ts';

/** Trials of a job that answers can be taken over from. */
const trialsFor = (
  { trials = {} }: Pack,
  job: { readonly procedure: string; readonly variant: string },
): readonly string[] =>
  Object.entries(trials)
    .filter(([, trial]) => trial.procedure === job.procedure && trial.variant === job.variant)
    .map(([name]) => name);

/** The name under which a script is held against the format; no trial of a pack can have it. */
const SCRIPT = 'x-answers-file';

/**
 * Reads a file of answers: what stands under `answers` in a trial, and `like: TRIAL` to take over the answers of a
 * trial of the pack. It is held against the same format. What is wrong is printed, and the exit code comes back.
 */
export async function readAnswers(
  file: string,
  opened: OpenedPack,
  job: { readonly procedure: string; readonly variant: string },
): Promise<Answers | Faulty> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(file);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return callFault(`the answers ${file} cannot be read (${code}).`);
  }
  const name = file.replaceAll('\\', '/').split('/').at(-1) ?? file;
  const read = readPackFromFiles(new Map([['pack.yaml', bytes]]));
  const inFile = (one: Diagnostic): Diagnostic =>
    one.span === undefined ? one : { ...one, span: { ...one.span, file: name } };
  const faulty = (diagnostics: readonly Diagnostic[]): Faulty => {
    for (const one of diagnostics) say(writeDiagnostic(dirname(file), inFile(one)));
    return { exitCode: 1 };
  };
  if (read.diagnostics.length > 0) return faulty(read.diagnostics);
  const { like, ...answers } = read.document;
  if ('trials' in answers || 'trial' in answers || 'expect' in answers)
    return callFault(
      `${file} holds trials. --answers takes what stands under answers of one of them; to take over the answers of a trial of the pack, write the one line "like: NAME" into a file of its own. Trials for ${job.procedure}, ${job.variant}: ${trialsFor(opened.pack, job).join(', ') || 'none'}.`,
    );
  const script = {
    says: 'An answers file.',
    ...job,
    expect: { outcome: 'closed' },
    answers,
    ...(like === undefined ? {} : { like }),
  };
  const document = { ...opened.reading.document, trials: { ...opened.pack.trials, [SCRIPT]: script } };
  const validated = validate(document);
  if (validated.pack === undefined) {
    return faulty(
      validated.diagnostics.map((one) => {
        const pointer = one.pointer.replace(`/trials/${SCRIPT}/answers`, '').replace(`/trials/${SCRIPT}`, '');
        const span = placeOf({ ...one, pointer }, read.positions);
        return { ...one, pointer, ...(span === undefined ? {} : { span }) };
      }),
    );
  }
  const trial: Trial | undefined = validated.pack.trials?.[SCRIPT];
  const all = trial === undefined ? undefined : answersOf(validated.pack, trial);
  return all ?? callFault(`the answers ${file} are like ${String(like)}, and the pack has no such trial.`);
}
