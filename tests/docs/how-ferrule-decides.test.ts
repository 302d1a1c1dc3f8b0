import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkPack, runTrials } from '@ferrule/check';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPackFromFiles } from '@ferrule/source';
import { describe, expect, it } from 'vitest';
import {
  combine,
  judge,
  rootOf,
  type UncertainReading,
  type Uncertainty,
  type Verdict,
  verdictTable,
} from '../../packages/engine/src/measure/index.ts';
import { coverageFactorOnGrid } from '../../packages/engine/src/measure/student.ts';
import { permissibleDeviation } from '../../packages/engine/src/measure/torque-class.ts';
import { Rational } from '../../packages/engine/src/quantity/index.ts';
import { filesOn } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/how-ferrule-decides.md', import.meta.url), 'utf8');

/** The cells of the row of a table of the page that begins so, without its first. */
function cellsOf(start: string): readonly string[] {
  const line = page.split('\n').find((one) => one.startsWith(`| ${start}`));
  if (line === undefined) throw new Error(`the page has no row "${start}"`);
  return line
    .split('|')
    .slice(2, -1)
    .map((cell) => cell.trim());
}

const number = (text: string | undefined): Rational => {
  const value = Rational.parse(/\d+(?:\.\d+)?/.exec(text ?? '')?.[0] ?? '');
  if (value === undefined) throw new Error(`no number in "${text}"`);
  return value;
};
const decimals = (text: string | undefined): number => /\.(\d+)/.exec(text ?? '')?.[1]?.length ?? 0;

const MM = Rational.of(1, 1000);
const length = (text: string | undefined) => ({ kind: 'length' as const, value: number(text).times(MM) });
const said = page.slice(page.indexOf('## In one example'));
const [, most] = /at most (\d+\.\d+) mm/.exec(said) ?? [];
const [, read] = /reads (\d+\.\d+) mm/.exec(said) ?? [];
const limits = { high: length(most) };
const capability = Rational.of(4);
const simple = { rule: 'simple' as const, warnAbove: Rational.of(1, 10) };
const guarded = { rule: 'guarded-acceptance' as const, guardBand: Rational.one };

function uncertaintyFor(column: number): Uncertainty {
  const [d, a] = (cellsOf('resolution *d*')[column] ?? '').split('±');
  const reading: UncertainReading = {
    coefficient: Rational.one,
    resolution: length(d).value,
    halfWidth: length(a).value,
    kind: 'caliper',
    identity: 'C-3',
  };
  return combine([reading]);
}

const judged = (rule: typeof simple | typeof guarded, uncertainty: Uncertainty): Verdict =>
  judge({ limits, rule, capability }, { amount: length(read), uncertainty });

const millionthsOf = (verdict: Verdict): number => {
  if (verdict.verdict === 'unmeasured' || verdict.assessment === undefined) throw new Error('not assessed');
  return verdict.assessment.millionths;
};

describe.each([
  ['caliper', 0],
  ['micrometer', 1],
])('the worked example with the %s', (_, column) => {
  const uncertainty = uncertaintyFor(column);

  it('has the standard and the expanded uncertainty that the page says, to its digits', () => {
    const square = uncertainty.variance.over(MM.times(MM));
    const k = uncertainty.coverageFactor;
    // Both are shown with two digits, rounded up (JCGM 100, 7.2.6).
    expect(rootOf(square, 2, 'up').toFraction()).toBe(
      number(cellsOf('standard uncertainty')[column]).toFraction(),
    );
    expect(rootOf(square.times(k).times(k), 2, 'up').toFraction()).toBe(
      number(cellsOf('expanded uncertainty')[column]).toFraction(),
    );
  });

  it('has the probability and the verdicts that the page says', () => {
    const verdict = judged(simple, uncertainty);
    const cell = cellsOf('probability that the travel')[column];
    expect((millionthsOf(verdict) / 10_000).toFixed(decimals(cell))).toBe(
      number(cell).toDecimal(decimals(cell), 'half-even'),
    );
    const bySimple = cellsOf('`rule: simple`')[column] ?? '';
    expect(bySimple.split(',')[0]).toBe(verdict.verdict);
    const isDoubtful = verdict.verdict !== 'unmeasured' && verdict.assessment?.isDoubtful === true;
    expect(bySimple.includes('warning')).toBe(isDoubtful);
    const byGuarded = cellsOf('`rule: guarded-acceptance`, ')[column] ?? '';
    expect(byGuarded.split(':')[0]).toBe(judged(guarded, uncertainty).verdict);
  });
});

it('says the share of wrong verdicts, and where the guard band of the caliper begins', () => {
  const uncertainty = uncertaintyFor(0);
  const [, wrong] = /wrong in (\d+\.\d) %/.exec(said) ?? [];
  expect(((1_000_000 - millionthsOf(judged(simple, uncertainty))) / 10_000).toFixed(1)).toBe(wrong);
  const [, begins] = /begins at (\d+\.\d+) mm/.exec(said) ?? [];
  // A guard band is shown with three digits, rounded up.
  const band = rootOf(uncertainty.variance.over(MM.times(MM)).times(Rational.of(4)), 3, 'up');
  expect(number(most).minus(band).toFraction()).toBe(number(begins).toFraction());
});

it('says the coverage factors of few repeats', () => {
  const [, three, five] = /(\d\.\d+) for three repeats alone, (\d\.\d+) for five/.exec(page) ?? [];
  expect(coverageFactorOnGrid(2).equals(number(three))).toBe(true);
  expect(coverageFactorOnGrid(4).equals(number(five))).toBe(true);
});

describe('the table of decision rules', () => {
  const decisions = page.slice(page.indexOf('## The decision rules'));
  const rows = [...decisions.matchAll(/^\| `([a-z-]+)`.*?\|(.*)\|$/gm)].map(([, name = '', cells = '']) => ({
    name,
    cells: cells.split('|').map((cell) => cell.trim()),
  }));
  it('is that of the engine, with a mark wherever a coarse instrument changes the verdict', () => {
    const engine = Object.entries(verdictTable).map(([name, { suffices, coarse }]) => ({
      name,
      cells: (['inside', 'inside-band', 'outside-band', 'outside'] as const).map(
        (zone) => `${suffices[zone]}${coarse[zone] === suffices[zone] ? '' : ' ¹'}`,
      ),
    }));
    expect(rows).toEqual(engine);
    for (const { suffices, coarse } of Object.values(verdictTable))
      for (const zone of ['inside', 'inside-band', 'outside-band', 'outside'] as const)
        if (coarse[zone] !== suffices[zone]) expect(coarse[zone]).toBe('inconclusive');
  });
});

it('shows a small pack without a fault, which measures better before anybody is asked', async () => {
  const text = filesOn(page).get('gap/pack.yaml') ?? '';
  const reading = readPackFromFiles(new Map([['pack.yaml', text]]));
  expect(reading.diagnostics).toEqual([]);
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
  try {
    writeFileSync(join(folder, 'pack.yaml'), text);
    const { diagnostics } = await checkPack(folder);
    expect(diagnostics.map(({ code, message }) => `${code}: ${message}`)).toEqual([]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  const { pack } = validate(reading.document);
  if (pack === undefined) throw new Error('the pack of the page does not fit the format');
  const trials = runTrials(pack, bundleOf(reading.document).digest);
  expect(trials.map(({ trial, failures }) => [trial, failures])).toEqual([
    ['clear', []],
    ['open-twice', []],
  ]);
});

it('says for every class of torque tool what the engine takes it to be off', () => {
  const rows = page.split('\n').filter((line) => /^\| I/.test(line));
  const found = rows.flatMap((row) => {
    const [, tools = '', small = '', large = ''] = row.split('|');
    return [...tools.matchAll(/\b(I|II) ([A-G])\b/g)].map(([, type, letter]) => ({
      type,
      letter,
      small,
      large,
    }));
  });
  expect(found.map(({ type, letter }) => `${type} ${letter}`).sort()).toEqual(
    ['A', 'B', 'C', 'D', 'E']
      .map((one) => `I ${one}`)
      .concat(['A', 'B', 'C', 'D', 'E', 'F', 'G'].map((one) => `II ${one}`)),
  );
  for (const { type, letter, small, large } of found) {
    const tool = { type: type === 'I' ? 'I' : 'II', class: letter ?? '' } as const;
    const share = (torque: number): string | undefined =>
      permissibleDeviation(tool, { kind: 'torque', value: Rational.of(torque) })
        ?.times(Rational.of(100))
        .toDecimal(0);
    expect([share(10), share(11)]).toEqual([number(small).toDecimal(0), number(large).toDecimal(0)]);
  }
});
