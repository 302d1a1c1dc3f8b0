import type { InstrumentList, InstrumentOffer } from '@ferrule/check';
import {
  type Decided,
  type InstrumentUsed,
  type Plan,
  type PlanInstrument,
  parseQuantity,
  type Refusal,
  type StartRequest,
  start,
} from '@ferrule/engine';
import { inTitles, roleTitle } from '@ferrule/print';
import type { Line, LineReader } from '../terminal/line-reader.ts';
import { printable } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { askYesNo } from '../terminal/yes-or-no.ts';
import { occasionOf } from './occasion.ts';
import { offeredOf, writeOffered } from './write-offered.ts';

type Started = Extract<Decided, { job: object }>;
type End = Extract<Line, { end: string }> | { readonly end: 'quit' };
/** Back to the question before. */
type Back = 'back';

/**
 * Asks who fills which role and which instruments are used, and starts the job; or how the asking ended. What the shop's
 * list has of a kind is offered by number. `remarks` are to be written into the job.
 */
export async function setUp(
  plan: Plan,
  bundle: string,
  reader: LineReader,
  to: NodeJS.WriteStream,
  list?: InstrumentList,
): Promise<
  { readonly started: Started; readonly acting: string; readonly remarks: readonly string[] } | End
> {
  const asking = new Asking(plan, bundle, reader, to, list);
  const asked = plan.persons.length + plan.instruments.length;
  for (let question = 0; ; ) {
    if (question >= asked) {
      const decided = asking.start();
      if (decided.refusals === undefined)
        return { started: decided, acting: asking.acting, remarks: asking.remarks };
      asking.refuse(decided.refusals);
      return { end: 'quit' };
    }
    const answer = await asking.ask(question);
    if (answer === 'back') {
      if (question === 0) asking.say('  This is the first question.');
      else question -= 1;
    } else if (answer !== undefined) return answer;
    else if (question === plan.persons.length - 1 && asking.isAlone()) question = 0;
    else question += 1;
  }
}

class Asking {
  readonly #plan: Plan;
  readonly #bundle: string;
  readonly #reader: LineReader;
  readonly #to: NodeJS.WriteStream;
  readonly #list: InstrumentList | undefined;
  /** By the place of the instrument: what is to be noted of it. */
  readonly #remarks: (string | undefined)[] = [];
  /** By the place of the role. */
  readonly #persons: string[] = [];
  /** By the place of the instrument; undefined where none is used. */
  readonly #instruments: (InstrumentUsed | undefined)[] = [];

  constructor(
    plan: Plan,
    bundle: string,
    reader: LineReader,
    to: NodeJS.WriteStream,
    list: InstrumentList | undefined,
  ) {
    this.#plan = plan;
    this.#bundle = bundle;
    this.#reader = reader;
    this.#to = to;
    this.#list = list;
  }

  get acting(): string {
    return this.#persons[0] ?? '';
  }

  get remarks(): readonly string[] {
    return this.#remarks.flatMap((one) => one ?? []);
  }

  start(instruments = this.#instruments.filter((one) => one !== undefined)): Decided {
    const persons: StartRequest['persons'] = this.#plan.persons.flatMap((role, place) => {
      const person = this.#persons[place];
      return person === undefined ? [] : [{ role, person }];
    });
    return start(this.#plan, { bundle: this.#bundle, persons, instruments }, occasionOf(this.acting));
  }

  /** Asks one question: first the roles, then the instruments. Undefined when it is answered. */
  async ask(question: number): Promise<End | Back | undefined> {
    const role = this.#plan.persons[question];
    if (role !== undefined) return this.#person(roleTitle(this.#plan, role), question);
    const place = question - this.#plan.persons.length;
    const needed = this.#plan.instruments[place];
    return needed === undefined ? undefined : this.#instrument(needed, place);
  }

  /** Whether one person fills every role though the work needs another one; it is said then. */
  isAlone(): boolean {
    const alone = (this.start([]).refusals ?? []).filter((one) => one.code === 'same-person');
    this.refuse(alone);
    return alone.length > 0;
  }

  async #person(title: string, place: number): Promise<End | Back | undefined> {
    for (;;) {
      const line = await this.#line(
        `${title}: who? > `,
        'Type the name of the person. Nothing is recorded before all questions are answered.',
      );
      if (typeof line !== 'string') return line;
      if (line === 'back') return line;
      if (line === '') this.say('  Nobody was named. Somebody has to fill this role.');
      else if ([...line].length > 100) this.say('  That is too long for a name.');
      else {
        this.#persons[place] = line;
        return undefined;
      }
    }
  }

  async #instrument(needed: PlanInstrument, place: number): Promise<End | Back | undefined> {
    const isLong = isLengthNeeded(this.#plan, needed);
    const offered = offeredOf(this.#plan, this.#list, needed.id);
    offered.forEach((one, index) => {
      const place = isNumbered(offered) ? String(index + 1) : '';
      this.say(wrap(writeOffered(needed, one), `  ${place.padStart(3)}  `));
    });
    const places = isNumbered(offered) ? offered.length : 0;
    const numbers = ['', '1, or '][places] ?? `1 to ${places}, or `;
    const isSpared = !needed.calibrated || needed.onlyIfMeasured === true;
    const until = needed.calibrated ? ', calibrated until' : '';
    const asked = `${numbers}its number${until}${isSpared ? ', or none' : ''}${isLong ? ', its length' : ''}`;
    const form = needed.calibrated
      ? `Type its number and the last day of its calibration with a space between, such as A-12 2027-05-31${isSpared ? '; or the word none, where every value is taken over from an earlier job' : ''}.`
      : 'Type what stands on it, such as A-12, or the word none.';
    const help = isLong
      ? `${form} An adapter is used on it, so type its length from the drive to the middle of the grip behind that, such as 300 mm; it can be said later, too.`
      : form;
    const listed =
      offered.length === 0
        ? ''
        : ` Of those in the list, ${places === 0 ? 'their own number' : 'the number before them or their own'} is enough.`;
    for (;;) {
      const line = await this.#line(`${needed.title}: ${asked} > `, `${help}${listed}`);
      if (typeof line !== 'string') return line;
      if (line === 'back') return line;
      if (isSpared && line.toLowerCase() === 'none') {
        this.#instruments[place] = undefined;
        this.#remarks[place] = undefined;
        return undefined;
      }
      const used = fromList(line, offered) ?? withListed(readInstrument(needed, line), offered);
      if ('wrong' in used) {
        this.say(wrap(`${used.wrong} ${help}${listed}`, '  '));
        continue;
      }
      // Whether it may be used today is for the engine to say; only what it says about this one counts yet.
      const before = this.#instruments.slice(0, place).filter((one) => one !== undefined);
      const about = (this.start([...before, used]).refusals ?? []).filter(
        (one) => one.about === used.identity,
      );
      this.refuse(about);
      if (about.length > 0) continue;
      const isRight = await this.#isRight(needed, used, place);
      if (typeof isRight !== 'boolean') return isRight;
      if (!isRight) continue;
      const remark = otherThanListed(used, offered);
      if (remark !== undefined) this.say(wrap(remark, '  Note: ', '  '));
      this.#remarks[place] = remark;
      this.#instruments[place] = used;
      return undefined;
    }
  }

  /** One number for two kinds of instrument may be a slip. */
  async #isRight(needed: PlanInstrument, used: InstrumentUsed, place: number): Promise<boolean | End> {
    const same = this.#instruments.slice(0, place).find((one) => one?.identity === used.identity);
    if (same === undefined) return true;
    const title = this.#plan.instruments.find((one) => one.id === same.kind)?.title ?? same.kind;
    this.say(
      wrap(`${used.identity} was named for "${title}" already. Is it "${needed.title}" as well?`, '  '),
    );
    const answer = await askYesNo(this.#reader, '  yes or no? > ', (text) => this.say(text));
    return answer ?? { end: 'end-of-input' };
  }

  refuse(refusals: readonly Refusal[]): void {
    for (const { message, remedy, about } of refusals)
      this.say(wrap(inTitles(this.#plan, `${message} ${remedy}`, about), '  '));
  }

  async #line(prompt: string, help: string): Promise<string | End> {
    for (;;) {
      const line = await this.#reader.ask(prompt);
      if ('end' in line) return line;
      const text = line.text.trim();
      if (text === 'quit') return { end: 'quit' };
      if (text !== '?') return text;
      this.say(wrap(`${help} back goes to the question before, quit leaves.`, '  '));
    }
  }

  say(text: string): void {
    this.#to.write(`${printable(text)}\n`);
  }
}

const isPlace = (text: string): boolean => /^[1-9]\d?$/.test(text);

/** Whether the places of a list can be typed: not where one of them is the identity of an instrument, which would hide it. */
const isNumbered = (offered: readonly InstrumentOffer[]): boolean =>
  !offered.some(({ used }) => isPlace(used.identity));

/** An instrument of the list, by its identity or by its place there. */
export function fromList(typed: string, offered: readonly InstrumentOffer[]): InstrumentUsed | undefined {
  const said = typed.trim();
  const numbered = isNumbered(offered) && isPlace(said) ? offered[Number(said) - 1] : undefined;
  const named =
    offered.find(({ used }) => used.identity === said) ??
    offered.find(({ used }) => used.identity.toLowerCase() === said.toLowerCase());
  return (named ?? numbered)?.used;
}

/**
 * What to note where the label that was typed says another last day of calibration than the shop's list does: one of the two
 * is wrong, and whoever reads the record has to see it.
 */
export function otherThanListed(
  { identity, due }: InstrumentUsed,
  offered: readonly InstrumentOffer[],
): string | undefined {
  const listed = offered.find(({ used }) => used.identity === identity)?.used.due;
  return due === undefined || listed === undefined || listed === due
    ? undefined
    : `${identity}: the shop's list says that its calibration holds until ${listed}; ${due} was typed.`;
}

/** An instrument of which more was typed than its number: its label goes before what the list says. */
export function withListed<Read extends InstrumentUsed | { readonly wrong: string }>(
  read: Read,
  offered: readonly InstrumentOffer[],
): Read {
  const same = 'wrong' in read ? undefined : offered.find(({ used }) => used.identity === read.identity);
  return same === undefined ? read : { ...same.used, ...read };
}

/** Whether a step puts an adapter on a kind of wrench whose length the pack does not say. */
const isLengthNeeded = ({ nodes }: Plan, { id, length }: PlanInstrument): boolean =>
  length === undefined &&
  nodes.some(
    (node) =>
      node.node === 'step' &&
      node.act?.act === 'tighten' &&
      node.act.wrench === id &&
      node.act.adapter !== undefined,
  );

/**
 * An instrument as it is typed: `DG-07 2027-05-31`, or only its number where it needs no calibration. The length of a torque
 * wrench may stand behind that: `TW-3 2027-05-31 300 mm`.
 */
export function readInstrument(
  needed: Pick<PlanInstrument, 'id' | 'title' | 'calibrated' | 'quantity'>,
  said: string,
): InstrumentUsed | { readonly wrong: string } {
  const [all, , length] =
    (needed.quantity === 'torque' && /^(.*\S)\s+(\d\S*\s?[a-z]+)$/i.exec(said.trim())) || [];
  const isLength = length !== undefined && 'quantity' in parseQuantity(length, 'length');
  if (all === undefined || !isLength) return readLabel(needed, said);
  const used = readLabel(needed, said.trim().slice(0, -length.length));
  return 'wrong' in used ? used : { ...used, length };
}

function readLabel(
  needed: Pick<PlanInstrument, 'id' | 'title' | 'calibrated'>,
  typed: string,
): InstrumentUsed | { readonly wrong: string } {
  const [, identity = '', date] = /^(.*?)(?:\s+(\d{4}-\d{2}-\d{2}))?$/.exec(typed.trim()) ?? [];
  if (identity === '') return { wrong: 'No number was typed.' };
  if (/^\d{4}-\d{2}-\d{2}$/.test(identity))
    return { wrong: 'A date stands there without a number before it.' };
  if ([...identity].length > 64) return { wrong: 'That is too long for a number.' };
  if (needed.calibrated && identity.toLowerCase() === 'none')
    return { wrong: `None is no number: this is not done without ${withArticle(needed.title)}.` };
  if (notNumbers.has(identity.toLowerCase()))
    return { wrong: `${identity} is a word that is typed here, and no number of an instrument.` };
  if (date === undefined)
    return needed.calibrated
      ? { wrong: 'No last day of its calibration was typed, written as year-month-day.' }
      : { kind: needed.id, identity };
  if (!isDay(date)) return { wrong: `There is no day ${date}.` };
  return { kind: needed.id, identity, due: date };
}

/** Words that lead on in a job; as the number of an instrument each is a slip. */
const notNumbers: ReadonlySet<string> = new Set(['none', 'done', 'back', 'quit', 'yes', 'no', 'help', '?']);

const withArticle = (title: string): string =>
  `${/^[aeiou]/i.test(title) ? 'an' : 'a'} ${title.toLowerCase()}`;

function isDay(date: string): boolean {
  const time = new Date(`${date}T00:00:00Z`);
  return !Number.isNaN(time.getTime()) && time.toISOString().startsWith(date);
}
