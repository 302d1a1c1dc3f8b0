import {
  type Decided,
  type InstrumentUsed,
  type Plan,
  type PlanInstrument,
  type StartRequest,
  start,
} from '@ferrule/engine';
import type { Line, LineReader } from '../terminal/line-reader.ts';
import { printable } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { occasionOf } from './occasion.ts';

type Started = Extract<Decided, { job: object }>;
type End = Extract<Line, { end: string }> | { readonly end: 'quit' };

/** Asks who fills which role and which instruments are used, and starts the job; or how the asking ended. */
export async function setUp(
  plan: Plan,
  bundle: string,
  reader: LineReader,
  to: NodeJS.WriteStream,
): Promise<{ readonly started: Started; readonly acting: string } | End> {
  const asking = new Asking(plan, bundle, reader, to);
  const persons: { role: string; person: string }[] = [];
  for (const id of plan.persons) {
    const person = await asking.person(plan.roles.find((one) => one.id === id)?.title ?? id);
    if (typeof person !== 'string') return person;
    persons.push({ role: id, person });
  }
  const acting = persons[0]?.person ?? '';
  const instruments: InstrumentUsed[] = [];
  for (const needed of plan.instruments) {
    const used = await asking.instrument(needed, { persons, acting });
    if (used !== undefined && 'end' in used) return used;
    if (used !== undefined) instruments.push(used);
  }
  const decided = start(plan, { bundle, persons, instruments }, occasionOf(acting));
  if (decided.refusals === undefined) return { started: decided, acting };
  asking.refuse(decided.refusals);
  return { end: 'quit' };
}

class Asking {
  readonly #plan: Plan;
  readonly #bundle: string;
  readonly #reader: LineReader;
  readonly #to: NodeJS.WriteStream;

  constructor(plan: Plan, bundle: string, reader: LineReader, to: NodeJS.WriteStream) {
    this.#plan = plan;
    this.#bundle = bundle;
    this.#reader = reader;
    this.#to = to;
  }

  async person(title: string): Promise<string | End> {
    for (;;) {
      const line = await this.#ask(
        `${title}: who? > `,
        'Type the name of the person. Nothing is recorded before all questions are answered.',
      );
      if (typeof line !== 'string') return line;
      if (line === '') this.#say('  Nobody was named. Somebody has to fill this role.');
      else if ([...line].length > 100) this.#say('  That is too long for a name.');
      else return line;
    }
  }

  async instrument(
    needed: PlanInstrument,
    by: { readonly persons: StartRequest['persons']; readonly acting: string },
  ): Promise<InstrumentUsed | undefined | End> {
    const asked = needed.calibrated
      ? 'its number and the last day of its calibration'
      : 'its number, or none';
    const help = needed.calibrated
      ? 'Type both with a space between, such as A-12 2027-05-31.'
      : 'Type what stands on it, such as A-12, or the word none.';
    for (;;) {
      const line = await this.#ask(`${needed.title}: ${asked} > `, help);
      if (typeof line !== 'string') return line;
      if (!needed.calibrated && line === 'none') return undefined;
      const used = readInstrument(needed, line);
      if ('wrong' in used) {
        this.#say(wrap(`${used.wrong} ${help}`, '  '));
        continue;
      }
      // Whether it may be used today is for the engine to say; only what it says about this one counts yet.
      const tried = start(
        this.#plan,
        { bundle: this.#bundle, persons: by.persons, instruments: [used] },
        occasionOf(by.acting),
      );
      const about = (tried.refusals ?? []).filter((one) => one.about === used.identity);
      if (about.length === 0) return used;
      this.refuse(about);
    }
  }

  refuse(refusals: readonly { readonly message: string; readonly remedy: string }[]): void {
    for (const { message, remedy } of refusals) this.#say(wrap(`${message} ${remedy}`, '  '));
  }

  async #ask(prompt: string, help: string): Promise<string | End> {
    for (;;) {
      const line = await this.#reader.ask(prompt);
      if ('end' in line) return line;
      const text = line.text.trim();
      if (text === 'quit') return { end: 'quit' };
      if (text !== '?') return text;
      this.#say(wrap(`${help} quit leaves.`, '  '));
    }
  }

  #say(text: string): void {
    this.#to.write(`${printable(text)}\n`);
  }
}

/** An instrument as it is typed: `DG-07 2027-05-31`, or only its number where it needs no calibration. */
export function readInstrument(
  needed: Pick<PlanInstrument, 'id' | 'calibrated'>,
  typed: string,
): InstrumentUsed | { readonly wrong: string } {
  const [, identity = '', date] = /^(.*?)(?:\s+(\d{4}-\d{2}-\d{2}))?$/.exec(typed.trim()) ?? [];
  if (identity === '') return { wrong: 'No number was typed.' };
  if (/^\d{4}-\d{2}-\d{2}$/.test(identity))
    return { wrong: 'A date stands there without a number before it.' };
  if ([...identity].length > 64) return { wrong: 'That is too long for a number.' };
  if (date === undefined)
    return needed.calibrated
      ? { wrong: 'No last day of its calibration was typed, written as year-month-day.' }
      : { kind: needed.id, identity };
  if (!isDay(date)) return { wrong: `There is no day ${date}.` };
  return { kind: needed.id, identity, due: date };
}

function isDay(date: string): boolean {
  const time = new Date(`${date}T00:00:00Z`);
  return !Number.isNaN(time.getTime()) && time.toISOString().startsWith(date);
}
