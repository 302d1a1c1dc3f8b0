import { type Fact, type FactBody, parseQuantity, Rational, storedQuantity } from '@ferrule/engine';
import type { Found } from './counted.ts';
import type { Sought } from './sought-in.ts';

/** What counts in a job of one thing that is sought. */
export interface FoundAt extends Found {
  readonly sought: Sought;
  readonly at: string;
  /** The numbers of the instruments that it was measured with, in order. */
  readonly instruments: readonly string[];
}

/** What was struck. */
export interface StruckAt {
  readonly seq: number;
  readonly of: string;
  readonly value?: string;
  readonly struckBy: number;
  readonly by: string;
  readonly reason: string;
  /** When it was measured. */
  readonly at: string;
}

export interface FoundInJob {
  readonly found: readonly FoundAt[];
  readonly struck: readonly StruckAt[];
  /** Verdicts that a later one has replaced, after rework. */
  readonly again: number;
}

interface Last {
  readonly seq: number;
  readonly text?: string;
  readonly found: FoundAt;
}

/**
 * What counts in a job of each thing that is sought: the last verdict on a tolerance, as the record has it, or the last reading
 * where there is none, unless it was struck. Days bound when it was given.
 */
export function foundInJob(
  facts: readonly Fact[],
  sought: readonly Sought[],
  isInTime: (at: string) => boolean,
): FoundInJob {
  const byName = new Map(sought.map((one) => [one.name, one]));
  const byEntry = new Map<string, Sought[]>();
  for (const one of sought)
    for (const entry of one.entries) byEntry.set(entry, [...(byEntry.get(entry) ?? []), one]);
  const instruments = new Map<string, readonly string[]>();
  const last = new Map<string, Last>();
  const struck: StruckAt[] = [];
  let again = 0;
  const keep = (one: Sought, { seq, at }: Fact, found: Found, text: string | undefined): void => {
    const was = last.get(one.name);
    if (was !== undefined && isInTime(was.found.at)) again += 1;
    const named = new Set(one.entries.flatMap((entry) => instruments.get(entry) ?? []));
    last.set(one.name, {
      seq,
      ...(text === undefined ? {} : { text }),
      found: { sought: one, at, instruments: [...named].sort(), ...found },
    });
  };
  for (const fact of facts) {
    const { fact: body } = fact;
    if (body.kind === 'reading' || body.kind === 'carried') {
      if (body.kind === 'reading' && body.instrument !== undefined)
        instruments.set(body.entry, [body.instrument.identity]);
      if (body.kind === 'carried') instruments.set(body.entry, body.from.instruments ?? []);
      const one = byName.get(body.entry);
      if (one === undefined || one.tolerance !== undefined || (body.kind === 'reading' && body.open === true))
        continue;
      const value = measuredBy(body, one);
      keep(one, fact, value === undefined ? {} : { value }, textOf(body));
    } else if (body.kind === 'judged') {
      const one = byName.get(body.of);
      if (one?.tolerance === undefined) continue;
      const { verdict, exact, beyond, value: text } = body.verdict;
      const value = exact === undefined || beyond !== undefined ? undefined : Rational.parse(exact);
      keep(one, fact, { verdict, ...(value === undefined ? {} : { value }) }, text);
    } else if (body.kind === 'struck' && body.entry !== undefined && body.open !== true) {
      for (const one of byEntry.get(body.entry) ?? []) {
        const was = last.get(one.name);
        if (was === undefined) continue;
        last.delete(one.name);
        const { seq, text, found } = was;
        struck.push({
          ...{ seq, of: one.name, struckBy: fact.seq, by: fact.by, reason: body.reason, at: found.at },
          ...(text === undefined ? {} : { value: text }),
        });
      }
    }
  }
  const found = [...last.values()].map((one) => one.found).filter(({ at }) => isInTime(at));
  return { found, struck: struck.filter(({ at }) => isInTime(at)), again };
}

type ReadingBody = Extract<FactBody, { kind: 'reading' | 'carried' }>;

const textOf = (body: ReadingBody): string =>
  body.kind === 'reading' && body.value !== undefined ? body.value : `${body.digits} ${body.unit}`.trim();

/** The value of a reading in the base unit; of several repeats what is taken of them. */
function measuredBy(body: ReadingBody, { unit }: Sought): Rational | undefined {
  if (body.kind === 'carried') return Rational.parse(body.exact);
  if (body.beyond !== undefined) return undefined;
  if (body.value === undefined) return storedQuantity(body.digits, body.unit, unit.kind)?.value;
  const read = parseQuantity(body.value.replace('≈', '').trim(), unit.kind);
  return 'quantity' in read ? read.quantity.value : undefined;
}
