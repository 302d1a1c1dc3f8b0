import { dirname } from 'node:path';
import { answersOf, type InstrumentList, idleAnswers, inNamedFile } from '@ferrule/check';
import {
  type Answers,
  type Diagnostic,
  nearest,
  type Pack,
  type Plan,
  pointerTo,
  type Trial,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { roleTitle } from '@ferrule/print';
import { type Positions, readPackFromFiles, type SourceValue } from '@ferrule/source';
import type { Faulty, OpenedPack } from '../pack/open-pack.ts';
import { callFault, placeOf } from '../pack/open-pack.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { say } from '../terminal/output.ts';
import { nameOfFile, readDataFile } from './read-data-file.ts';

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

/**
 * Reads a file of answers: what stands under `answers` in a trial, and `like: TRIAL` to take over the answers of a
 * trial of the pack. It is held against the same format; names that nothing in the plan asks for are faults, and so are
 * roles that nobody is named for. An instrument of the shop's list may be named by its identity alone. What is wrong is
 * printed, and the exit code comes back.
 */
export async function readAnswers(
  file: string,
  opened: OpenedPack,
  plan: Plan,
  list?: InstrumentList,
): Promise<Answers | Faulty> {
  const job = { procedure: plan.procedure.id, variant: plan.variant.id };
  const bytes = await readDataFile('answers', file);
  if ('exitCode' in bytes) return bytes;
  const read = readPackFromFiles(new Map([['pack.yaml', bytes]]));
  const name = nameOfFile(file);
  const faulty = (diagnostics: readonly Diagnostic[]): Faulty => {
    for (const one of diagnostics) say(writeDiagnostic(dirname(file), inNamedFile(one, name)));
    return { exitCode: 1 };
  };
  if (read.diagnostics.length > 0) return faulty(read.diagnostics);
  const { like, ...given } = read.document;
  if ('trials' in given || 'trial' in given || 'expect' in given)
    return callFault(
      `${file} holds trials. --answers takes what stands under answers of one of them; to take over the answers of a trial of the pack, write the one line "like: NAME" into a file of its own. Trials for ${job.procedure}, ${job.variant}: ${trialsFor(opened.pack, job).join(', ') || 'none'}.`,
    );
  const { answers, unknown } = withListed(given, list);
  if (unknown.length > 0) return faulty(unknown.map((one) => placed(one, read.positions)));
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

type Written = Readonly<Record<string, SourceValue>>;

const isMap = (value: SourceValue | undefined): value is Written =>
  typeof value === 'object' && !Array.isArray(value);

/** Answers in which what the shop's list says stands for the identity of an instrument. What the file says goes before it. */
function withListed(
  answers: Written,
  list: InstrumentList | undefined,
): { readonly answers: Readonly<Record<string, unknown>>; readonly unknown: readonly Diagnostic[] } {
  const { instruments } = answers;
  if (!isMap(instruments)) return { answers, unknown: [] };
  const unknown: Diagnostic[] = [];
  const filled = Object.entries(instruments).map(([kind, written]) => {
    const identity = typeof written === 'string' ? written : isMap(written) ? written['identity'] : undefined;
    const listed = list?.instruments.find((one) => one.identity === identity);
    if (typeof written === 'string' && listed?.kind !== kind)
      unknown.push({
        code: 'wrong-value',
        severity: 'error',
        pointer: pointerTo('', 'instruments', kind),
        ...notListed(written, listed?.kind, kind, list),
      });
    if (listed === undefined || listed.kind !== kind) return [kind, written] as const;
    return [kind, { ...listed.written, ...(isMap(written) ? written : {}) }] as const;
  });
  return { answers: { ...answers, instruments: Object.fromEntries(filled) }, unknown };
}

/** Why an identity alone does not say which instrument it is. */
function notListed(
  identity: string,
  listedAs: string | undefined,
  kind: string,
  list: InstrumentList | undefined,
): { readonly message: string; readonly remedy: string } {
  const object = `{ identity: ${identity}, due: 2027-01-31 }`;
  if (list === undefined)
    return {
      message: `Nothing says what ${identity} is.`,
      remedy: `Write ${object}, or name the list of instruments: --instruments FILE.`,
    };
  if (listedAs !== undefined)
    return {
      message: `${identity} is a ${listedAs} in the list of instruments, and a ${kind} is asked for here.`,
      remedy: `Name one of that kind: ${ofKind(list, kind).join(', ') || 'the list has none'}.`,
    };
  const meant = nearest(identity, ofKind(list, kind));
  return {
    message: `${identity} is not in the list of instruments.`,
    remedy: meant === undefined ? `Add it to the list, or write ${object}.` : `Did you mean ${meant}?`,
  };
}

const ofKind = ({ instruments }: InstrumentList, kind: string): readonly string[] =>
  instruments.filter((one) => one.kind === kind).map((one) => one.identity);

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
