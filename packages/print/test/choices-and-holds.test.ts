import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { openPack, planOf, textOf } from './packs.ts';

describe('a sheet with a choice from stock', () => {
  const html = openPack('marram-timing-shims').then(({ pack, digest }) =>
    sheet(planOf(pack, 'set-prestroke', 'marram-four'), pack, { digest }),
  );

  it('says how the value that the choice goes by is worked out', async () => {
    expect(textOf(await html)).toMatch(
      /Work out: prestroke found = \(depth to follower − closing length\) \+ shims found .*Fit from Shims under the flange/,
    );
  });

  it('keeps the number of a repeat, and its box on one line', async () => {
    const repeat =
      /<span class="entry"><span class="label">([123]|mean):<\/span> <span class="blank narrow"[^>]*><\/span>( <span class="unit">mm<\/span>)?<\/span>/g;
    const found = [...(await html).matchAll(repeat)].map(([, label]) => label);
    expect(found.slice(0, 4)).toEqual(['1', '2', '3', 'mean']);
    expect(found.length % 4).toBe(0);
  });

  it('says of a hold that several steps lead to, from where each of them goes on', async () => {
    const text = textOf(await html);
    const number = (words: string, nth = 0): string =>
      [...text.matchAll(new RegExp(`(\\d+) (?:(?:DANGER|WARNING|CAUTION|NOTICE) [^.]*\\. )*${words}`, 'g'))][
        nth
      ]?.[1] ?? '';
    const took = 'Take the follower from place N of the tray';
    const looked = 'Read the number on the skirt of the follower\\. Number';
    expect(text).toContain(
      `Then again from step ${number(took)} after step ${number(looked)}, from step ${number(took, 1)} after step ${number(looked, 1)}, ` +
        `from step ${number('Take the pump with its shims')} after step ${number('Read the number on the tab of the shim pack')} or ${number('Read the number on the flange of the pump')}.`,
    );
  });
});
