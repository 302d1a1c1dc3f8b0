import { readFileSync } from 'node:fs';
import { type CardDocument, cardColumns, cardCsv, cardFormat, cardHtml } from '@ferrule/print';
import Ajv from 'ajv/dist/2020.js';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { cardOf, type Played, play } from './card-jobs.ts';
import { textOf } from './packs.ts';

const schema: unknown = JSON.parse(
  readFileSync(new URL('../schema/card.schema.json', import.meta.url), 'utf8'),
);
const fits = new Ajv.default({ strict: true, strictRequired: false, allErrors: true }).compile(
  Object(schema),
);

/** A four-cylinder job with a struck reading, rework, a concession and a night on the shelf. */
const eventful = {
  procedure: 'install-and-synchronise',
  variant: 'marram-four',
  like: 'clean-four',
  answers: {
    readings: {
      'actuator.air-gap': ['0.95 mm', '0.70 mm'],
      'rack-shift@3': ['0.063 mm', '0.036 mm'],
      'first-start.idle-speed': '825 r/min',
    },
    releases: {
      'setting-struck': { by: 'rework' as const },
      'ask-the-lead': { by: 'concession' as const, reason: 'Seen, and the governor is set next week.' },
    },
  },
  events: [
    { at: 'bore=3/set-point', strike: 'rack-shift@4', because: 'The digits were turned round.' },
    { at: 'bore=1/set-point', note: 'The tray under the rail was dry.' },
  ],
};

let played: Played;
let card: CardDocument;
beforeAll(async () => {
  played = await play('marram-unit-pumps', eventful);
  card = cardOf(played, { job: 'job-1', last: 'sha256:ab' });
});

describe('the job card as a document', () => {
  it('has its format, and fits its own schema at every fact of the job', () => {
    expect(card.format).toBe(cardFormat);
    for (let count = 1; count < played.facts.length; count += 23) {
      const part = cardOf({ ...played, facts: played.facts.slice(0, count) });
      expect([count, fits(part), fits.errors ?? []]).toEqual([count, true, []]);
      expect(part.job.state).not.toBe('finished');
      expect(part.job.says).toMatch(/UNFINISHED/);
    }
    expect(fits(card), JSON.stringify(fits.errors)).toBe(true);
    expect(card.job).toMatchObject({ state: 'finished', id: 'job-1', lastDigest: 'sha256:ab' });
    // The schema is closed: it would notice a member that it does not describe.
    expect(fits({ ...card, more: 1 })).toBe(false);
  });

  it('takes the places on the card from what the pack marks', () => {
    expect(card.engine.serial?.text).toBe('ME-400217');
    expect(card.engine.hours?.text).toBe('3812 h');
    expect(card.engine.machine?.text).toMatch(/^Pilot boat 2/);
    expect(card.complaint.map(({ text }) => text)).toEqual([
      'Uneven at idle, grey smoke when she is put astern.',
    ]);
    expect(card.cause).toEqual([]);
    expect(card.written.map(({ title }) => title)).toEqual(['Number of the lead seal on the full-load stop']);
  });

  it('has every reading and verdict, and says which of them count', () => {
    const { facts } = played;
    const count = (kind: string): number => facts.filter(({ fact }) => fact.kind === kind).length;
    expect(card.readings).toHaveLength(count('reading'));
    expect(card.verdicts).toHaveLength(count('judged'));
    expect(card.seen).toHaveLength(count('observed'));
    const gap = card.verdicts.filter(({ name }) => name === 'actuator.air-gap-limits');
    expect(gap.map(({ value, verdict, state }) => [value, verdict, state])).toEqual([
      ['0.95 mm', 'nonconforming', 'superseded'],
      ['0.70 mm', 'conforming', 'counts'],
    ]);
    const struck = card.readings.filter(({ state }) => state === 'struck');
    expect(struck.map(({ name, struckBy }) => [name, struckBy])).toEqual([
      ['rack-shift@4', card.struck[0]?.seq],
    ]);
    expect(card.struck).toMatchObject([{ value: '0.036 mm', reason: 'The digits were turned round.' }]);
    // What relied on it is struck with it, and no longer counts.
    const relied = card.verdicts.filter((one) => one.struckBy === card.struck[0]?.seq);
    expect(relied.map(({ name }) => name)).toEqual(['shift-limits@4', 'drift-limits@4']);
    const dial = card.readings.find(({ name }) => name === 'rack-shift@2');
    expect(dial).toMatchObject({ instrument: 'DI-11', due: '2099-12-31', bore: 2, column: 'as-left' });
  });

  it('says rework, concessions, holds, witnesses and notes', () => {
    expect(card.rework.map(({ because }) => because.replace(/:.*/, ''))).toEqual(
      expect.arrayContaining(['actuator']),
    );
    expect(card.rework[0]?.steps[0]).toMatch(/shim/);
    expect(card.concessions).toMatchObject([
      { by: 'lead C', role: 'Service-engineering lead', reason: 'Seen, and the governor is set next week.' },
    ]);
    expect(card.concessions[0]?.of).toMatch(/825 r\/min, nonconforming, too high/);
    const conceded = card.verdicts.filter((one) => one.conceded === true);
    expect(conceded.map(({ value, state }) => [value, state])).toEqual([['825 r/min', 'counts']]);
    expect(card.holds.at(-1)).toMatchObject({ release: { how: 'concession', by: 'lead C' } });
    expect(card.witnesses.some(({ how }) => how === 'witness')).toBe(true);
    expect(card.notes.map(({ text }) => text)).toEqual(['The tray under the rail was dry.']);
    expect(card.next.at(-1)?.says).toMatch(/after ten hours/);
    expect(card.left).toEqual([]);
  });

  it('stands as received, baseline and as left side by side', () => {
    const travel = card.measured.find(({ title }) => title === 'Rack travel');
    expect(travel).toMatchObject({
      limits: '19.60 mm to 20.30 mm',
      baseline: { value: '20.05 mm', verdict: 'conforming' },
      asLeft: { value: '20.02 mm', verdict: 'conforming' },
    });
    expect(card.measured.filter(({ title }) => title === 'Rack travel')).toHaveLength(1);
    expect(card.bores).toEqual([1, 2, 3, 4]);
    expect(card.parts.find(({ part, bore }) => part === 'Unit injection pump' && bore === 3)).toEqual({
      part: 'Unit injection pump',
      bore: 3,
      found: 'MP-4103',
      fitted: 'MP-4103',
      stands: 'own',
    });
    expect(card.renewed.map(({ part }) => part)).toContain('Clamp screw of the pump');
  });

  it('counts each second of the job once', () => {
    const { active, waiting, held, parked } = card.time;
    const whole = (Date.parse(card.job.last) - Date.parse(card.job.began)) / 1000;
    expect(active + waiting + held + parked).toBe(whole);
    expect(waiting).toBeGreaterThan(600);
  });
});

describe('the job card on paper', () => {
  it('says on its page what it is, and what it is not', () => {
    const text = textOf(cardHtml(card));
    expect(text).toContain('Ferrule never says that a job is safe.');
    expect(text).toContain(played.pack.notice);
    expect(text).toContain('marram-unit-pumps 1.0.0');
    expect(text).toContain(card.pack.digest);
    expect(text).toContain('sha256:ab');
    expect(text).toContain('The pack is unsigned. The record of this job is unsigned.');
    expect(text).toContain('CONCESSION');
    expect(text).not.toContain('UNFINISHED');
    const open = cardOf({ ...played, facts: played.facts.slice(0, 200) });
    expect(textOf(cardHtml(open))).toContain('UNFINISHED');
  });
});

describe('the job card as comma-separated values', () => {
  it('has a line for each reading, answer and verdict, and units in columns of their own', () => {
    const [head = [], ...rows] = readCsv(cardCsv(card));
    expect(head).toEqual([...cardColumns]);
    expect(rows).toHaveLength(card.readings.length + card.verdicts.length + card.seen.length);
    expect(rows.every((row) => row.length === head.length)).toBe(true);
    const of = (row: readonly string[], column: string): string => row[head.indexOf(column)] ?? '';
    const gap = rows.find((row) => of(row, 'name') === 'actuator.air-gap-limits');
    expect(
      ['value', 'value-unit', 'low', 'high', 'high-unit', 'verdict', 'margin', 'margin-unit', 'state'].map(
        (column) => of(gap ?? [], column),
      ),
    ).toEqual(['0.95', 'mm', '0.60', '0.90', 'mm', 'nonconforming', '-0.05', 'mm', 'superseded']);
    expect(rows.map((row) => Number(of(row, 'fact')))).toEqual(
      rows.map((row) => Number(of(row, 'fact'))).sort((a, b) => a - b),
    );
  });

  // The signs are those of OWASP, "CSV Injection" (memory).
  it.each(['=1+1', '+1', '-1+1', '@SUM(A1)', '\t=1', '\r=1', ' =1', '＝1', 'a"b', 'a;=1', 'a\r\nb'])(
    'keeps a spreadsheet from running %j',
    (text) => {
      const hostile = {
        ...card,
        engine: { serial: { ...card.struck[0], title: '', text, at: '', by: '', seq: 1 } },
      };
      const csv = cardCsv(hostile);
      const [head = [], first = []] = readCsv(csv);
      const cell = first[head.indexOf('engine')] ?? '';
      expect(cell.replace(/^'/, '')).toBe(text);
      expect(cell).not.toMatch(/^[\s]*[=+\-@＝]/);
      expect(csv.endsWith('\r\n')).toBe(true);
    },
  );

  it('leaves numbers below zero as they are', () => {
    const [head = [], ...rows] = readCsv(cardCsv(card));
    const change = rows.find((row) => row[head.indexOf('name')] === 'travel-change-limits');
    expect(change?.[head.indexOf('value')]).toBe('-0.03');
  });
});

/** What another reader of RFC 4180 makes of it; it throws at rows of unequal length and at stray quotes. */
const readCsv = (text: string): readonly (readonly string[])[] => parse(text, { record_delimiter: '\r\n' });
