import { readFile, stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { answersOf, idleAnswers } from '@ferrule/check';
import { type Answers, type Diagnostic, type Pack, type Plan, pointerTo, type Trial } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { type Positions, readPackFromFiles } from '@ferrule/source';
import type { Faulty, OpenedPack } from '../pack/open-pack.ts';
import { callFault, placeOf } from '../pack/open-pack.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { say } from '../terminal/output.ts';
import { roleTitle } from './titles.ts';

/** Trials of a job that answers can be taken over from. */
const trialsFor = (
  { trials = {} }: Pack,
  job: { readonly procedure: string; readonly variant: string },
): readonly string[] =>
  Object.entries(trials)
    .filter(([, trial]) => trial.procedure === job.procedure && trial.variant === job.variant)
    .map(([name]) => name);

function placed(one: Diagnostic, positions: Positions): Diagnostic {
  const span =
    (one.code === 'unknown-name' ? positions.key(one.pointer) : undefined) ?? placeOf(one, positions);
  return span === undefined ? one : { ...one, span };
}

/** The name under which a script is held against the format; no trial of a pack can have it. */
const SCRIPT = 'x-answers-file';

const MOST_MEGABYTES = 4;

/**
 * Reads a file of answers: what stands under `answers` in a trial, and `like: TRIAL` to take over the answers of a
 * trial of the pack. It is held against the same format; names that nothing in the plan asks for are faults, and so are
 * roles that nobody is named for. What is wrong is printed, and the exit code comes back.
 */
export async function readAnswers(file: string, opened: OpenedPack, plan: Plan): Promise<Answers | Faulty> {
  const job = { procedure: plan.procedure.id, variant: plan.variant.id };
  let bytes: Uint8Array;
  try {
    const about = await stat(file);
    // A device or a pipe may have no end.
    if (!about.isFile()) return callFault(`the answers ${file} are no file.`);
    if (about.size > MOST_MEGABYTES * 1_000_000)
      return callFault(`the answers ${file} have more than ${MOST_MEGABYTES} MB.`);
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
        return placed({ ...one, pointer }, read.positions);
      }),
    );
  }
  const trial: Trial | undefined = validated.pack.trials?.[SCRIPT];
  const all = trial === undefined ? undefined : answersOf(validated.pack, trial);
  if (all === undefined)
    return callFault(`the answers ${file} are like ${String(like)}, and the pack has no such trial.`);
  const wrong = [...notAsked(plan, trial?.answers ?? {}), ...notNamed(plan, all)];
  return wrong.length === 0 ? all : faulty(wrong.map((one) => placed(one, read.positions)));
}

/** Answers of the file itself that nothing asks for; what is taken over from a trial may be for more than this job. */
function notAsked(plan: Plan, answers: Answers): readonly Diagnostic[] {
  return idleAnswers(plan, answers).map(({ section, name, meant }) => ({
    code: 'unknown-name',
    severity: 'error',
    pointer: pointerTo('', section, name),
    message: `Nothing asks for the answer ${name} under ${section}.`,
    remedy:
      meant === undefined
        ? 'Take it out, or put it under the section that it belongs to.'
        : `Did you mean ${meant}?`,
  }));
}

/** Roles that have to be filled: nobody is invented for a job. */
function notNamed(plan: Plan, answers: Answers): readonly Diagnostic[] {
  return plan.persons
    .filter((role) => (answers.persons?.[role] ?? '').trim() === '')
    .map((role) => ({
      code: 'missing-key',
      severity: 'error',
      pointer: '/persons',
      message: `Nobody is named for ${role} (${roleTitle(plan, role)}).`,
      remedy: `Add ${role} under persons.`,
    }));
}
