import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { openPack, planOf, textOf } from './packs.ts';

const symptoms = openPack('marram-symptoms').then(({ pack, digest }) =>
  sheet(planOf(pack, 'find-the-cause', 'marram-four'), pack, { digest }),
);

describe('a question that the way through the work hangs on', () => {
  it('has a table of its tests before the first step: which are for which answer, in which order', async () => {
    const html = await symptoms;
    const [table = ''] = /<table class="list ways">[\s\S]*?<\/table>/.exec(html) ?? [];
    expect(html.indexOf(table)).toBeLessThan(html.indexOf('<table class="steps'));
    const rows = [...table.matchAll(/<tr>(.*?)<\/tr>/g)].map(([, row = '']) =>
      [...row.matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/g)].map(([, cell = '']) => textOf(cell).trim()),
    );
    expect(rows[0]?.slice(1)).toEqual([
      'The complaint is, above all …',
      ...['rough running', 'black smoke', 'blue smoke', 'white smoke', 'a hard start, or none', 'no power'],
    ]);
    const test = (words: string) => rows.find(([, says]) => says?.startsWith(words))?.slice(2);
    // The pack: dabbed for rough running alone; the throttle for no power, and the intake for that and for black smoke.
    expect(test('Dab every joint')).toEqual(['1', '', '', '', '', '']);
    expect(test('Have the second person push')).toEqual(['', '', '', '', '', '1']);
    expect(test('Look through the air intake')).toEqual(['', '1', '', '', '', '2']);
    for (let answer = 2; answer < 8; answer++) {
      const order = rows.slice(1).flatMap((row) => row[answer] || []);
      expect(order).toEqual(order.map((_, place) => `${place + 1}`));
    }
  });

  it('is named by its step in what hangs on it', async () => {
    const text = textOf(await symptoms);
    expect(text).toContain('Only if step 5 found “rough running”:');
    expect(text).not.toContain('is answered');
  });

  it('has no table where few steps hang on it', async () => {
    const { pack, digest } = await openPack('valve-clearance');
    expect(sheet(planOf(pack, 'set-clearances', 'marram-four'), pack, { digest })).not.toContain('list ways');
  });
});

describe('a formula over all bores', () => {
  it('says once what is the same for each of them, and calls what is judged by its name', async () => {
    const text = textOf(await symptoms);
    expect(text).toContain(
      'Work out: lowest share = the lowest of drop of every bore ÷ the mean of drop of every bore',
    );
    const { pack, digest } = await openPack('marram-cylinder-balance');
    const other = textOf(sheet(planOf(pack, 'cranking-compression', 'marram-six'), pack, { digest }));
    expect(other).toContain(
      'evenness = the lowest of corrected pressure of every bore ÷ the highest of corrected pressure of every bore',
    );
    expect(other).toContain(
      'corrected pressure of bore N ÷ the highest of corrected pressure of every bore < 85 %',
    );
    expect(other).toContain('corrected pressure = (peak pressure × (1013 hPa ÷ air pressure)) × the table');
  });
});
