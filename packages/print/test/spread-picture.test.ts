import { type SpreadDrawn, saysSpread, spreadPicture } from '@ferrule/print';
import { describe, expect, it } from 'vitest';

const mark = (hundredths: number) => ({ at: hundredths, text: `${(hundredths / 100).toFixed(2)} mm` });
const edges = Array.from({ length: 21 }, (_, place) => mark(1193 + place * 1.4));
const drawn: SpreadDrawn = {
  name: 'lift',
  title: 'Lift of the roller follower <all bores>',
  edges,
  bins: [2, 0, 0, 1, 4, 9, 22, 51, 80, 96, 71, 44, 30, 12, 9, 6, 3, 0, 0, 0, 0, 1],
  older: { named: '1.0.0', low: mark(1200), high: mark(1210), below: 7, inside: 365, above: 69 },
  newer: { named: '1.1.0', low: mark(1200), high: mark(1214), below: 7, inside: 415, above: 19 },
};

describe('the picture of a spread', () => {
  const svg = String(spreadPicture(drawn));

  it('has a bar with its number for each bin that is not empty, and none beside', () => {
    const filled = drawn.bins.filter((one) => one > 0);
    const numbers = [...svg.matchAll(/<text [^>]*paint-order="stroke"[^>]*>(\d+)</g)].map(([, one]) =>
      Number(one),
    );
    expect(numbers.toSorted((a, b) => a - b)).toEqual(filled.toSorted((a, b) => a - b));
    const bars = [...svg.matchAll(/<rect [^>]*height="([\d.]+)"[^>]*stroke="#000"/g)].map(([, one]) =>
      Number(one),
    );
    const most = Math.max(...bars);
    expect(
      bars
        .map((one) => one / most)
        .toSorted((a, b) => a - b)
        .slice(-3),
    ).toEqual([71, 80, 96].map((count) => expect.closeTo(count / 96, 2)));
    expect(bars).toHaveLength(filled.length);
  });

  it('draws no line over words', () => {
    expect(svg.lastIndexOf('stroke-dasharray')).toBeLessThan(svg.indexOf('paint-order'));
  });

  it('tells the older limits from the newer ones by words and stroke, not by colour', () => {
    for (const words of ['1.0.0: at least 12.00 mm', '1.0.0: at most 12.10 mm', '1.1.0: at most 12.14 mm'])
      expect(svg).toContain(`>${words}</text>`);
    expect(svg.match(/stroke-dasharray="5 3"/g)).toHaveLength(2);
    const colours = new Set([...svg.matchAll(/(?:fill|stroke)="(#[0-9a-f]+)"/g)].map(([, one]) => one));
    expect([...colours].sort()).toEqual(['#000', '#ddd', '#fff']);
  });

  it('says all of it in words, and escapes what it is given', () => {
    const said = saysSpread(drawn);
    expect(said).toContain('441 values.');
    expect(said).toContain('1.1.0, at least 12.00 mm and at most 12.14 mm: 7 below, 415 inside, 19 above.');
    expect(said).toContain('2 below 11.93 mm');
    expect(svg).toContain(`<desc id="lift-description">${said}</desc>`);
    expect(svg).toContain('&lt;all bores&gt;');
  });

  it('is none without bins', () => {
    expect(spreadPicture({ ...drawn, edges: [], bins: [] })).toBeUndefined();
  });
});
