import { csvCell } from '../csv-cell.ts';
import type { CardDocument, CardReading, CardSeen, CardVerdict } from './generated/card-document.ts';

/** The columns, in order. A value, its unit and each limit stand in columns of their own. */
export const cardColumns = [
  ...(['row', 'fact', 'time', 'by', 'name', 'title', 'bore', 'when', 'repeat'] as const),
  ...(['value', 'value-unit', 'low', 'low-unit', 'high', 'high-unit'] as const),
  ...(['verdict', 'margin', 'margin-unit', 'uncertainty', 'uncertainty-unit', 'coverage-factor'] as const),
  ...(['inside-with', 'rule', 'instrument', 'due', 'conceded', 'state', 'struck-by', 'remark'] as const),
  ...(['job', 'job-state', 'engine', 'pack', 'revision', 'digest', 'variant', 'notice'] as const),
] as const;

type Row = Partial<Record<(typeof cardColumns)[number], string | number | undefined>>;

/**
 * Every reading, answer and verdict of a job card as comma-separated values (RFC 4180, lines ended by CR LF, UTF-8 without a
 * byte order mark), in the order of the facts, those that no longer count among them. A text that a spreadsheet would run as
 * a formula gets an apostrophe before it; a number never does.
 */
export function cardCsv(card: CardDocument): string {
  const { job, pack, engine, notice } = card;
  const same: Row = {
    job: job.id,
    'job-state': job.state,
    engine: engine.serial?.text,
    pack: pack.id,
    revision: pack.revision,
    digest: pack.digest,
    variant: pack.variant.id,
    notice,
  };
  const rows: readonly Row[] = [
    ...card.readings.map(readingRow),
    ...card.seen.map(seenRow),
    ...card.verdicts.map(verdictRow),
  ].sort((a, b) => Number(a.fact) - Number(b.fact));
  return [
    cardColumns.join(','),
    ...rows.map((row) => {
      const whole: Row = { ...row, ...same };
      return cardColumns.map((column) => csvCell(whole[column])).join(',');
    }),
  ]
    .map((line) => `${line}\r\n`)
    .join('');
}

function readingRow(one: CardReading): Row {
  const remarks = [
    ...(one.carried === undefined ? [] : [`taken over: ${one.carried}`]),
    ...(one.taken === undefined ? [] : [`taken of all repeats: ${one.taken}`]),
    ...(one.spread === undefined ? [] : [`spread ${one.spread}`]),
    ...(one.throughout === undefined ? [] : [`held throughout: ${one.throughout.join('; ')}`]),
    ...(one.allowed ?? []),
  ];
  return {
    ...base('reading', one),
    when: one.column,
    repeat: one.repeat,
    ...quantity('value', one.value),
    instrument: one.instrument,
    due: one.due,
    remark: remarks.join('; '),
  };
}

const seenRow = (one: CardSeen): Row => ({ ...base('answer', one), when: one.column, value: one.answer });

function verdictRow(one: CardVerdict): Row {
  const remarks = [
    one.derivation,
    one.because,
    one.standsOut,
    one.chosen,
    one.advice,
    ...(one.carried ?? []),
  ];
  // What is missed lies on the other side of the limit.
  const margin = one.margin ?? (one.excess === undefined ? undefined : `-${one.excess}`);
  return {
    ...base('verdict', one),
    ...quantity('value', one.value),
    ...quantity('low', one.low),
    ...quantity('high', one.high),
    verdict: one.verdict,
    ...quantity('margin', margin),
    ...quantity('uncertainty', one.uncertainty),
    'coverage-factor': one.coverageFactor,
    'inside-with': one.probability,
    rule: one.rule,
    instrument: one.instruments?.join('; '),
    conceded: one.conceded === true ? 'yes' : undefined,
    remark: remarks.filter((text) => text !== undefined).join('; '),
  };
}

const base = (row: 'reading' | 'answer' | 'verdict', one: CardReading | CardSeen | CardVerdict): Row => ({
  row,
  fact: one.seq,
  time: one.at,
  by: one.by,
  name: one.name,
  title: one.title,
  bore: one.bore,
  state: one.state,
  'struck-by': one.struckBy,
});

/** A number and its unit; what is not written as one number, such as a time in hours and minutes, stays whole. */
function quantity(
  column: 'value' | 'low' | 'high' | 'margin' | 'uncertainty',
  text: string | undefined,
): Row {
  const [, number, unit] = /^(-?\d+(?:\.\d+)?)(?: ?([^\d\s][^\s]*))?$/.exec(text ?? '') ?? [];
  if (number === undefined) return { [column]: text };
  return { [column]: number, [`${column}-unit`]: unit };
}
