import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';
import { expect, test } from 'vitest';
import { runTrials } from '../src/index.ts';
import { folderOf, smallPack } from './folder.ts';

async function failures(
  changes: Parameters<typeof smallPack>[0] = [],
): Promise<Record<string, readonly string[]>> {
  const { document } = await readPack(folderOf(smallPack(changes)));
  const { pack } = validate(document);
  if (pack === undefined) throw new Error('the pack is not valid');
  const results = runTrials(pack, bundleOf(document).digest);
  return Object.fromEntries(results.map((one) => [one.trial, one.failures]));
}

test('a trial that comes out as it says has no failures', async () => {
  expect(await failures()).toEqual({ good: [], 'never-right': [], 'under-the-cover': [] });
});

/** Each change makes one trial come out otherwise than it says, and this is what is said of it. */
const table: readonly (readonly [
  changes: Parameters<typeof smallPack>[0],
  trial: string,
  expected: string,
])[] = [
  [
    [['gap: 0.70 mm', 'gap: 1.20 mm']],
    'good',
    'outcome: expected closed, found held at the hold ask-the-lead, probe-gap.',
  ],
  [[['gap: 0.70 mm', 'gap: 7 mm']], 'good', 'cannot be right here'],
  [
    [['gap: 0.70 mm', 'gpa: 0.70 mm']],
    'good',
    'Nothing asks for the answer gpa under readings. Did you mean gap?',
  ],
  [[["reworks: '1'", "reworks: '2'"]], 'never-right', 'reworks: expected 2, found 1.'],
  [[['holds: []', 'holds: [ask-the-lead]']], 'good', 'holds: expected ask-the-lead, found none.'],
  [
    [['{ gap-limits: conforming }', '{ gap-limits: nonconforming }']],
    'good',
    'verdicts of gap-limits: expected nonconforming, found conforming.',
  ],
  [
    [['hold: ask-the-lead, reworks', 'hold: cover-on, reworks']],
    'never-right',
    'hold: expected cover-on, found ask-the-lead.',
  ],
  [
    [["only-while: { cover: 'off' }", "only-while: { cover: ['on', 'off'] }"]],
    'under-the-cover',
    'outcome: expected refused, and it was done.',
  ],
  [
    [['law: cover-off-to-read }', 'law: cover-off-to-reed }']],
    'under-the-cover',
    'law: expected cover-off-to-reed, found cover-off-to-read.',
  ],
  [
    [['at: probe-gap, states', 'at: prob-gap, states']],
    'under-the-cover',
    'There is no step prob-gap. Did you mean probe-gap?',
  ],
];
test.each(table)('%j', async (changes, trial, expected) => {
  const found = await failures(changes);
  expect((found[trial] ?? []).join('\n')).toContain(expected);
});

const events: readonly (readonly [event: string, expected: string | undefined])[] = [
  ['{ at: probe-gap, answer: wide, refused: not-a-number }', undefined],
  [
    '{ at: probe-gap, answer: wide, refused: implausible }',
    'was to be refused as implausible; it was refused as not-a-number',
  ],
  ['{ at: probe-gap, answer: 0.80 mm }', 'the answer was to be refused, and it was taken'],
  ['{ at: cover-on, strike: gap, because: a slip }', undefined],
  ['{ at: cover-off, strike: gap, because: a slip }', 'there was nothing for the event to act on'],
  ['{ at: cover-on, visit: 3, note: again }', 'The event at cover-on never came about.'],
  ['{ at: cover-on, park: lunch, refused: states-for-parking }', undefined],
  ['{ at: cover-on, park: lunch }', 'the event was refused'],
];
test.each(events)('event %s', async (event, expected) => {
  const found = await failures([
    [
      'variant: small\n    answers: { readings: { gap: 0.70',
      `variant: small\n    events: [${event}]\n    answers: { readings: { gap: 0.70`,
    ],
  ]);
  const text = (found['good'] ?? []).join('\n');
  if (expected === undefined) expect(text.replace(/verdicts.*/, '')).toBe('');
  else expect(text).toContain(expected);
});
