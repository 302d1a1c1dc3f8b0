import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CardDocument, cardColumns, cardCsv, cardHtml } from '@ferrule/print';
import { beforeAll, expect, test } from 'vitest';
import { cardOf, type Played, play } from '../../packages/print/test/card-jobs.ts';
import { root } from '../server/served.ts';

const page = readFileSync(join(root, 'docs/job-card.md'), 'utf8');

/** The rows of the table under a heading. */
const rowsUnder = (heading: string): readonly string[] =>
  (page.split(`## ${heading}\n`)[1] ?? '')
    .split(/\n## /)[0]
    ?.split('\n')
    .filter((line) => line.startsWith('| '))
    .slice(1) ?? [];

let played: Played;
let card: CardDocument;
let html: string;
beforeAll(async () => {
  // A job in which nearly everything happens that a card can say. Demonstration data.
  played = await play('marram-unit-pumps', {
    procedure: 'install-and-synchronise',
    variant: 'marram-four',
    like: 'clean-four',
    answers: {
      readings: { 'rack-shift@3': ['0.063 mm', '0.036 mm'], 'first-start.idle-speed': '825 r/min' },
      releases: {
        'setting-struck': { by: 'rework' },
        'ask-the-lead': { by: 'concession', reason: 'Seen, and the governor is set next week.' },
      },
    },
    events: [
      { at: 'bore=3/set-point', strike: 'rack-shift@4', because: 'The digits were turned round.' },
      { at: 'bore=1/set-point', note: 'The tray under the rail was dry.' },
    ],
  });
  card = cardOf(played, {
    job: '2026-03-02-install-and-synchronise-4f21',
    last: `sha256:${'5c'.repeat(32)}`,
  });
  html = cardHtml(card);
});

/** As it is printed on a page where nothing is finished. */
const unfinished = (): string => cardHtml(cardOf({ ...played, facts: played.facts.slice(0, 300) }));

test('every part that the page names stands on a card, in this order', () => {
  const parts = rowsUnder('What stands where').map((row) => /^\| \*\*(.+?)\*\* \|/.exec(row)?.[1] ?? row);
  expect(parts.length).toBeGreaterThan(10);
  const places = parts.map((part) => [part, html.indexOf(`>${part}<`)] as const);
  for (const [part, place] of places) expect(place, part).toBeGreaterThan(-1);
  expect(places).toEqual([...places].sort(([, a], [, b]) => a - b));
  // And no heading of the card is left out.
  const headings = [...html.matchAll(/<h2[^>]*>(.+?)<\/h2>/g)].map(([, heading]) => heading);
  for (const heading of headings) expect(parts).toContain(heading);
  const within = [...html.matchAll(/<h3[^>]*>(.+?)<\/h3>/g)].map(([, heading = '']) => heading);
  for (const heading of [...within, 'The engine stands so'])
    expect(rowsUnder('What stands where').join('\n')).toContain(heading);
  expect(unfinished()).toContain('>The engine stands so<');
});

test('every mark that the page explains is one of a card, and none is left out', () => {
  const explained = rowsUnder('Marks').flatMap((row) => /^\| ([A-Z][A-Z ]+[A-Z])\b/.exec(row)?.[1] ?? []);
  const marks = [html, unfinished()].flatMap((text) =>
    [...text.matchAll(/class="(?:open|bad)">([A-Z ]+[A-Z])/g)].map(([, mark = '']) =>
      mark.replace(/ by$/, ''),
    ),
  );
  expect(new Set(marks).size).toBeGreaterThan(4);
  for (const mark of marks) expect(explained).toContain(mark);
  // Those that this job has no occasion for are in the code that prints them.
  const sources = ['card-measured', 'card-unusual', 'card-record', 'strip-mark'].map((name) =>
    readFileSync(join(root, `packages/print/src/card/${name}.ts`), 'utf8'),
  );
  const printed = sources.join('\n');
  for (const mark of explained)
    expect(
      [...marks, printed.toUpperCase(), unfinished()].some((text) => text.includes(mark)),
      mark,
    ).toBe(true);
  expect(unfinished()).toContain('UNFINISHED');
});

test('the columns of the rows are those of the page', () => {
  const named = [...(page.split('The columns are ')[1]?.split('.')[0] ?? '').matchAll(/`([a-z-]+)`/g)];
  expect(named.map(([, column]) => column)).toEqual(cardColumns);
  expect(cardCsv(card).split('\r\n')[0]).toBe(cardColumns.join(','));
});

test('every member that the page names is one of the schema', () => {
  const schema = JSON.parse(readFileSync(join(root, 'packages/print/schema/card.schema.json'), 'utf8'));
  const members = rowsUnder('As data').flatMap((row) =>
    [...(row.split('|')[1] ?? '').matchAll(/`([a-zA-Z]+)`/g)].map(([, member]) => member),
  );
  expect(new Set(members)).toEqual(new Set(Object.keys(schema.properties)));
});

test('the picture of the marks is that of the card: npx vitest run tests/docs/job-card.test.ts -u makes it again', async () => {
  await expect(marksPicture(html)).toMatchFileSnapshot(join(root, 'docs/pictures/card-marks.svg'));
});

/** What is drawn beside a value, out of the card itself, with words beside it. */
function marksPicture(text: string): string {
  const shown = [
    ['value 0.036 mm', '0.036 mm, limits 0.031 mm and 0.041 mm: conforming.'],
    ['value 0.005 mm', '0.005 mm, limits −0.016 mm and 0.016 mm: the rule accepts the darker field.'],
    ['limit 2420 r/min, value 2390 r/min', '2390 r/min, at most 2420 r/min: only one limit.'],
    ['value 825 r/min', '825 r/min, limits 760 r/min and 820 r/min: too high.'],
  ] as const;
  const rows = shown.map(([words, says], row) => {
    const strip = text
      .split('<svg class="strip"')
      .find((one) => /aria-label="([^"]*)"/.exec(one)?.[1]?.endsWith(words));
    const [drawn = ''] = strip === undefined ? [] : strip.split('</svg>');
    expect(drawn, words).not.toBe('');
    const y = 26 + 30 * row;
    return `<svg x="10" y="${y}" width="200" height="22"${drawn.replace(' role="img"', '')}</svg>
<text x="222" y="${y + 16}">${says}</text>`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 740 150" width="740" height="150" role="img" aria-label="Values beside their limits, as on a job card" font-family="sans-serif" font-size="13">
<rect width="740" height="150" fill="#fff"/>
<text x="10" y="17" font-size="12">Demonstration data</text>
${rows.join('\n')}
</svg>
`;
}
