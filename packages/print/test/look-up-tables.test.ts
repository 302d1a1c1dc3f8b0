import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { openPack, planOf, textOf } from './packs.ts';

describe('a table by which values are worked out', () => {
  const opened = openPack('marram-inline-timing');
  const html = async () => {
    const { pack, digest } = await opened;
    return sheet(planOf(pack, 'time-by-shims', 'marram-four'), pack, { digest });
  };

  it('is named where it is used, and stands once, with its points and its source', async () => {
    const text = textOf(await html());
    expect(text).toContain(
      'lead by drop = the table Crank angle from TDC by the drop of the piston at drop at closing',
    );
    expect(text.match(/3\.085 mm/g)).toHaveLength(1);
    expect(text).toMatch(/Tables Between two points .*source: /);
  });

  it('gives each point above what it gives there', async () => {
    const [, table = ''] = /<table class="list points">([\s\S]*?)<\/table>/.exec(await html()) ?? [];
    const rows = [...table.matchAll(/<tr>(.*?)<\/tr>/g)].map(([, row = '']) =>
      [...row.matchAll(/<td>(.*?)<\/td>/g)].map(([, cell]) => cell),
    );
    const pairs = rows.flatMap((row, line) =>
      line % 2 === 0 ? row.map((at, place) => [at, rows[line + 1]?.[place]]) : [],
    );
    expect(pairs).toEqual((await opened).pack.tables?.['crank-by-drop']?.points);
  });
});

it('has no heading where nothing is looked up', async () => {
  const { pack, digest } = await openPack('valve-clearance');
  const html = sheet(planOf(pack, 'set-clearances', 'marram-four'), pack, { digest });
  expect(html).not.toContain('<h2>Tables</h2>');
});
