import type { Job } from '@ferrule/engine';
import {
  type CardConcession,
  type CardDocument,
  type CardHold,
  type CardPart,
  type CardStruck,
  jobCard,
  partWords,
  verdictRows,
} from '@ferrule/print';
import { wrap } from '../terminal/wrap.ts';
import { people, writeInstrument } from './describe-fact.ts';
import { noticeOf, overlayOf } from './heading.ts';
import type { Runnable } from './runnable.ts';
import { writeVerdictTable } from './verdict-table.ts';

/**
 * What a closed job has come to, for the screen: who, what, with which parts and verdicts, and what was not as usual. It says
 * what the job card says.
 */
export function writeClosing({ plan, opened, digest }: Runnable, job: Job): string {
  const card = jobCard(plan, job.facts, { pack: opened.pack });
  const isUnfinished = card.job.state !== 'finished';
  return [
    wrap(isUnfinished ? `The job is closed, unfinished: ${card.job.reason ?? ''}` : 'The job is closed.'),
    ...noticeOf(plan),
    '',
    wrap(`${plan.procedure.title}: ${plan.variant.title}`, 'Job      '),
    `         from ${minute(card.job.began)} to ${minute(card.job.last)}`,
    wrap(card.time.says, '         '),
    wrap(`${plan.pack.title}, ${plan.pack.id} ${plan.pack.revision}`, 'Pack     '),
    wrap(digest, '         '),
    ...overlayOf(plan),
    wrap(people(plan, job.persons), 'Persons  '),
    ...listed(
      'With',
      job.instruments.map((one) => writeInstrument(plan, one)),
    ),
    ...listed('Written down', writtenIn(card)),
    ...listed(
      'Taken over',
      card.carried.map(
        ({ title, bore, value, age, job: from }) =>
          `${place(bore)}${title}: ${value}, ${age} old, from the job ${from}`,
      ),
    ),
    ...listed('Parts', [...card.parts.map(partText), ...renewedIn(card)]),
    ...listed(
      'Seen',
      card.seen.flatMap(({ state, bore, title, answer }) =>
        state === 'counts' ? [`${place(bore)}${title} ${answer}`] : [],
      ),
    ),
    '',
    writeVerdictTable(plan, verdictRows(plan, job.facts, job)),
    ...listed(
      'Rework',
      card.rework.map(({ because, by }) => `${because} (${by})`),
    ),
    ...listed('Concessions', card.concessions.map(concessionText)),
    ...listed('Holds', card.holds.map(holdText)),
    ...listed(
      'Left out as not applicable',
      card.omitted.map(({ step, reason, by }) => `${step}: ${reason} (${by})`),
    ),
    ...listed('Struck', card.struck.map(struckText)),
    ...listed(
      'Notes',
      card.notes.map(({ text, by }) => `${text} (${by})`),
    ),
    ...(isUnfinished ? standing(card) : []),
    ...listed(
      'Falls due next',
      card.next.map(({ says }) => says),
    ),
  ].join('\n');
}

const minute = (at: string): string => at.slice(0, 16).replace('T', ' ');

const place = (bore: number | undefined): string => (bore === undefined ? '' : `Bore ${bore}: `);

const listed = (heading: string, items: readonly string[]): readonly string[] =>
  items.length === 0 ? [] : ['', heading, ...items.map((one) => wrap(one, '  - ', '    '))];

/** What was filled in, with its place on the card first. */
const writtenIn = ({ engine, complaint, cause, correction, written }: CardDocument): readonly string[] =>
  [engine.serial, engine.machine, engine.hours, complaint, cause, correction, written]
    .flat()
    .flatMap((one) => (one === undefined ? [] : [`${one.title}: ${one.text}`]));

/** The serial numbers at a place: what was found there, and what was fitted. */
function partText({ part, bore, found, fitted, stands }: CardPart): string {
  const how = stands === undefined ? '' : ` (${partWords[stands]})`;
  const numbers = [
    ...(found === undefined ? [] : [`found ${found}`]),
    ...(fitted === undefined ? [] : [`fitted ${fitted}${how}`]),
  ];
  return `${place(bore)}${part}: ${numbers.join(', ')}`;
}

/** Parts without a number that were renewed, each with its bores. */
function renewedIn({ renewed }: CardDocument): readonly string[] {
  const bores = new Map<string, number[]>();
  for (const { part, bore } of renewed)
    bores.set(part, [...(bores.get(part) ?? []), ...(bore === undefined ? [] : [bore])]);
  return [...bores].map(
    ([part, all]) => `${part}: renewed${all.length === 0 ? '' : `, bore ${all.join(', ')}`}`,
  );
}

const concessionText = ({ of, reason, by }: CardConcession): string => `${of}: ${reason} (${by})`;

function holdText({ text, step, release }: CardHold): string {
  const how = release === undefined ? 'not released' : `${release.how} by ${release.by}: ${release.reason}`;
  return `${text} At ${step}. ${how.charAt(0).toUpperCase()}${how.slice(1)}`;
}

function struckText({ target, also, says, value, reason, by }: CardStruck): string {
  const others = also === undefined ? '' : ` with ${also.join(', ')}`;
  return `Fact ${target}${others}, ${says}${value === undefined ? '' : ` ${value}`}: ${reason} (${by})`;
}

/** How an unfinished engine stands: what is not as the job would have left it. */
const standing = ({ left }: CardDocument): readonly string[] =>
  left.length === 0
    ? ['', wrap('Every tracked state is as it would be at the end of the job.')]
    : listed('The engine is left so', left);
