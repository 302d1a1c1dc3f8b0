import {
  type Fact,
  type FactBody,
  failing,
  findEntry,
  type Job,
  type Referral,
  referrals,
} from '@ferrule/engine';
import { wrap } from '../terminal/wrap.ts';
import { parts, people, writeInstrument } from './describe-fact.ts';
import { noticeOf, overlayOf } from './heading.ts';
import { carriedText, indicationText } from './reading-text.ts';
import type { Runnable } from './runnable.ts';
import type { Telling } from './telling.ts';
import { answerText, entryTitle, nameOf, partOf, stepPlace, stepTitle } from './titles.ts';
import { verdictRows, writeVerdictTable } from './verdict-table.ts';

type Of<Kind extends FactBody['kind']> = Extract<FactBody, { kind: Kind }>;

/** What a closed job has come to, for the screen: who, what, with which parts and verdicts, and what was not as usual. */
export function writeClosing({ plan, opened, digest }: Runnable, job: Job): string {
  const { facts } = job;
  const telling: Telling = { plan, pack: opened.pack, facts };
  const closed = facts.findLast(({ fact }) => fact.kind === 'closed');
  const isUnfinished = job.control.closed === 'unfinished';
  const reason = closed?.fact.kind === 'closed' ? (closed.fact.reason ?? '') : '';
  const began = facts[0]?.at ?? '';
  return [
    wrap(isUnfinished ? `The job is closed, unfinished: ${reason}` : 'The job is closed.'),
    ...noticeOf(plan),
    '',
    wrap(`${plan.procedure.title}: ${plan.variant.title}`, 'Job      '),
    `         from ${minute(began)} to ${minute(closed?.at ?? began)}`,
    wrap(`${plan.pack.title}, ${plan.pack.id} ${plan.pack.revision}`, 'Pack     '),
    wrap(digest, '         '),
    ...overlayOf(plan),
    wrap(people(plan, job.persons), 'Persons  '),
    ...listed(
      'With',
      job.instruments.map((one) => writeInstrument(plan, one)),
    ),
    ...listed('Written down', fieldsOf(telling, job)),
    ...listed('Taken over', carriedIn(telling, job)),
    ...listed('Parts', partsOf(telling, job)),
    ...listed('Seen', seenIn(telling, job)),
    '',
    writeVerdictTable(plan, verdictRows(plan, facts, job)),
    ...listed('Holds', holdsOf(telling)),
    ...listed(
      'Left out as not applicable',
      of(facts, 'omitted', (fact, { by }) => `${stepTitle(plan, fact.step)}: ${fact.reason} (${by})`),
    ),
    ...listed('Struck', struckOf(telling)),
    ...listed(
      'Notes',
      of(facts, 'noted', (fact, { by }) => `${fact.text} (${by})`),
    ),
    ...(isUnfinished ? standing(telling, job) : []),
    ...listed('Falls due next', [
      ...referrals(plan, job).map(writeReferral),
      ...(isUnfinished ? [] : plan.dueNext),
    ]),
    '',
    wrap('A printed job card comes with a later revision.'),
  ].join('\n');
}

/** What a job has led to, in the words of the sheet. */
const writeReferral = ({ title, pack, procedure }: Referral): string =>
  `Next: ${title} (pack ${pack}, procedure ${procedure})`;

const minute = (at: string): string => at.slice(0, 16).replace('T', ' ');

const listed = (heading: string, items: readonly string[]): readonly string[] =>
  items.length === 0 ? [] : ['', heading, ...items.map((one) => wrap(one, '  - ', '    '))];

/** Facts of one kind in words. */
function of<Kind extends FactBody['kind']>(
  facts: readonly Fact[],
  kind: Kind,
  write: (fact: Of<Kind>, envelope: Fact) => string,
): readonly string[] {
  const isKind = (fact: FactBody): fact is Of<Kind> => fact.kind === kind;
  return facts.flatMap((one) => (isKind(one.fact) ? [write(one.fact, one)] : []));
}

/** Fields, and readings that no tolerance judges: such as the hours that the engine has run. */
function fieldsOf({ plan }: Telling, job: Job): readonly string[] {
  return plan.entries.flatMap((entry, index) => {
    const taken = job.taken[index];
    const isRead = entry.entry === 'reading' && entry.judgedBy.length === 0;
    if (taken === undefined || !(entry.entry === 'field' || isRead)) return [];
    const text =
      taken.entry === 'reading' && taken.beyond === undefined
        ? `${taken.isInexact === true ? '≈ ' : ''}${taken.quantity.digits} ${taken.quantity.unit.symbol}`.trim()
        : taken.text;
    return [`${entryTitle(plan, entry.name)}: ${text}`];
  });
}

/** Values that were taken over from earlier jobs and count at the end, with the age that they had then. */
function carriedIn({ plan, facts }: Telling, job: Job): readonly string[] {
  return of(facts, 'carried', (fact, { at, seq }) => {
    const taken = job.taken[findEntry(plan, fact.entry) ?? -1];
    return taken?.seq === seq ? `${entryTitle(plan, fact.entry)}: ${carriedText(fact, at)}` : '';
  }).filter((one) => one !== '');
}

/** The serial numbers by bore: what was found there, and what was fitted. */
function partsOf({ plan, facts }: Telling, job: Job): readonly string[] {
  const lines = new Map<string, string[]>();
  plan.entries.forEach((entry, index) => {
    const taken = job.taken[index];
    if (entry.entry !== 'identity' || taken === undefined) return;
    const { part, bore } = partOf(entry);
    const place = bore === undefined ? part : `Bore ${bore}: ${part}`;
    const fact = facts.find(({ seq }) => seq === taken.seq)?.fact;
    const how = fact?.kind === 'identified' && fact.part !== 'found' ? ` (${parts[fact.part]})` : '';
    lines.set(place, [...(lines.get(place) ?? []), `${entry.as} ${taken.text}${how}`]);
  });
  return [...lines]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([place, found]) => `${place}: ${found.join(', ')}`);
}

function seenIn({ plan }: Telling, job: Job): readonly string[] {
  return plan.entries.flatMap((entry, index) => {
    const taken = job.taken[index];
    if (entry.entry !== 'observation' || taken === undefined) return [];
    return [`${entryTitle(plan, entry.name, 200)} ${answerText(plan, entry.name, taken.text)}`];
  });
}

/** Each hold with the way in which it was released. */
function holdsOf({ plan, facts }: Telling): readonly string[] {
  return of(facts, 'held', (fact, { seq }) => {
    const after = facts.slice(seq);
    const next = after.findIndex(({ fact: one }) => one.kind === 'held');
    const until = next < 0 ? after : after.slice(0, next);
    const released = until.find(({ fact: one }) => one.kind === 'released');
    const how =
      released?.fact.kind === 'released'
        ? `${released.fact.by} by ${released.by}: ${released.fact.reason}`
        : 'not released';
    return `${fact.text} At ${stepPlace(plan, fact.step)}. ${how.charAt(0).toUpperCase()}${how.slice(1)}`;
  });
}

function struckOf({ plan, facts }: Telling): readonly string[] {
  return of(facts, 'struck', (fact, { by }) => {
    const what = fact.entry === undefined ? stepTitle(plan, fact.step) : entryTitle(plan, fact.entry);
    const was = facts.find(({ seq }) => seq === fact.target)?.fact;
    const value =
      was?.kind === 'reading'
        ? ` ${indicationText(was)}`
        : was?.kind === 'carried'
          ? ` ${was.digits} ${was.unit}, taken over from the job ${was.from.job}`
          : '';
    const also = fact.also === undefined ? '' : ` with ${fact.also.join(', ')}`;
    return `Fact ${fact.target}${also}, ${what}${value}: ${fact.reason} (${by})`;
  });
}

/** How an unfinished engine stands: what is not as the job would have left it. */
function standing({ plan }: Telling, job: Job): readonly string[] {
  const open = failing(plan.ends, job.control.bytes).map(({ test, because }) => {
    const cell = 'cell' in test ? plan.cells[test.cell] : undefined;
    if (!('cell' in test) || cell?.cell !== 'state') return because.says;
    const wanted = test.among.map((value) => cell.values[value] ?? '?').join(' or ');
    const [, name = cell.name, bore] = /^(.*)@(\d+)$/.exec(cell.name) ?? [];
    const place = `${nameOf(name)}${bore === undefined ? '' : ` of bore ${bore}`}`;
    return `${place}: ${cell.values[job.control.bytes[test.cell] ?? 0] ?? '?'}, and at the end it would be ${wanted}`;
  });
  return open.length === 0
    ? ['', wrap('Every tracked state is as it would be at the end of the job.')]
    : listed('The engine is left so', open);
}
