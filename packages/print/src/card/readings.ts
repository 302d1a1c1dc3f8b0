import { type Entry, type Fact, findEntry, isLive, type Job, type Plan, writeAge } from '@ferrule/engine';
import { concessionsOf } from '../telling/concessions.ts';
import { carriedText, indicationText } from '../telling/reading-text.ts';
import { struckBy } from '../telling/struck-by.ts';
import { answerText, entryTitle } from '../telling/titles.ts';
import { each, madeBy, type Of } from './card-facts.ts';
import type { CardCarried, CardReading, CardSeen, CardState } from './generated/card-document.ts';

/** The title of an entry without its bore, which stands in a place of its own. */
export const titleOf = (plan: Plan, name: string): string =>
  entryTitle(plan, name, 200).replace(/^Bore \d+: /, '');

const entryOf = (plan: Plan, name: string): Entry | undefined => plan.entries[findEntry(plan, name) ?? -1];

export const boreIn = (bore: number | undefined): { readonly bore?: number } =>
  bore === undefined ? {} : { bore };

/** Whether what a fact entered counts at the end, or which fact struck it. */
function stateOf(
  plan: Plan,
  job: Job,
  fact: Fact,
  name: string,
): { readonly state: CardState; readonly struckBy?: number } {
  const by = struckBy(plan, job.facts, fact);
  if (by !== undefined) return { state: 'struck', struckBy: by };
  const index = findEntry(plan, name) ?? -1;
  const taken = job.taken[index];
  const facts = taken?.entry === 'reading' ? taken.facts : [taken?.seq];
  const counts =
    (facts.includes(fact.seq) && isLive(plan.entries[index], job.control.bytes)) ||
    job.underWay[index]?.some(({ seq }) => seq === fact.seq) === true;
  return { state: counts ? 'counts' : 'superseded' };
}

/** Every reading in the order of taking, with those that were taken over. */
export function readingsOf(plan: Plan, job: Job): readonly CardReading[] {
  return job.facts.flatMap((envelope): readonly CardReading[] => {
    const { fact, at } = envelope;
    if (fact.kind !== 'reading' && fact.kind !== 'carried') return [];
    const entry = entryOf(plan, fact.entry);
    const base = {
      ...madeBy(envelope),
      name: fact.entry,
      title: titleOf(plan, fact.entry),
      ...boreIn(entry?.bore),
      ...(entry?.column === undefined ? {} : { column: entry.column }),
    };
    const state = stateOf(plan, job, envelope, fact.entry);
    if (fact.kind === 'carried')
      return [
        { ...base, value: `${fact.digits} ${fact.unit}`.trim(), carried: carriedText(fact, at), ...state },
      ];
    const { instrument, repeat, value, spread, throughout } = fact;
    const allowed = concessionsOf(plan, job.facts, envelope);
    const understood = indicationText(fact);
    return [
      {
        ...base,
        value: understood,
        ...(fact.typed === understood ? {} : { typed: fact.typed }),
        ...(repeat === undefined ? {} : { repeat }),
        ...(value === undefined || repeat === undefined ? {} : { taken: value }),
        ...(spread === undefined ? {} : { spread }),
        ...(throughout === undefined ? {} : { throughout }),
        ...(instrument === undefined ? {} : { instrument: instrument.identity }),
        ...(instrument?.due === undefined ? {} : { due: instrument.due }),
        ...(allowed.length === 0 ? {} : { allowed }),
        ...state,
      },
    ];
  });
}

/** Every answer in the order of giving. */
export const seenOf = (plan: Plan, job: Job): readonly CardSeen[] =>
  each(job.facts, 'observed', (fact, envelope): CardSeen => {
    const entry = entryOf(plan, fact.entry);
    return {
      ...madeBy(envelope),
      name: fact.entry,
      title: titleOf(plan, fact.entry),
      ...boreIn(entry?.bore),
      ...(entry?.column === undefined ? {} : { column: entry.column }),
      answer: answerText(plan, fact.entry, fact.answer),
      ...stateOf(plan, job, envelope, fact.entry),
    };
  });

/** Values that were taken over from earlier jobs and count at the end. */
export const carriedOf = (plan: Plan, job: Job): readonly CardCarried[] =>
  each(job.facts, 'carried', (fact, envelope): CardCarried | undefined => {
    if (stateOf(plan, job, envelope, fact.entry).state !== 'counts') return undefined;
    const { from, uncertainty } = fact;
    return {
      title: titleOf(plan, fact.entry),
      ...boreIn(entryOf(plan, fact.entry)?.bore),
      value: `${fact.digits} ${fact.unit}`.trim(),
      age: writeAge(from.at, envelope.at),
      measured: from.at,
      job: from.job,
      ...(from.record === undefined ? {} : { record: from.record }),
      pack: from.pack,
      revision: from.revision,
      procedure: from.procedure,
      ...verdictIn(from),
      ...(uncertainty === undefined
        ? {}
        : { uncertainty: `${uncertainty.expandedUncertainty} (k = ${uncertainty.coverageFactor})` }),
      seq: envelope.seq,
    };
  });

function verdictIn({ verdict }: Of<'carried'>['from']): Pick<CardCarried, 'verdict'> {
  return verdict === undefined || verdict === 'unmeasured' ? {} : { verdict };
}
