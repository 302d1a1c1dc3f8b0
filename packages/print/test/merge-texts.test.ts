import fc from 'fast-check';
import { expect, it } from 'vitest';
import { mergeTexts } from '../src/merge-texts.ts';

/** The texts that a merged one stands for. */
const unmerged = (texts: readonly string[]): readonly string[] => {
  const { pieces, gaps } = mergeTexts(texts);
  return texts.map((_, place) =>
    pieces.map((piece) => (typeof piece === 'string' ? piece : (gaps[piece]?.[place] ?? '?'))).join(''),
  );
};

it('leaves a gap where the bores differ', () => {
  expect(mergeTexts(['Seat pump 1, then pump 1.', 'Seat pump 4, then pump 4.'])).toEqual({
    pieces: ['Seat pump ', 0, ', then pump ', 0, '.'],
    gaps: [['1', '4']],
  });
  expect(mergeTexts(['Hold it by the pin.', 'Hold it by the turning tool.']).gaps).toEqual([
    ['pin', 'turning tool'],
  ]);
});

it('says of every place what was said there', () => {
  const words = fc.array(fc.constantFrom('pump', ' ', '1', '2', ',', 'the', '.', 'pin'), { maxLength: 9 });
  const texts = fc.array(
    words.map((all) => all.join('')),
    { minLength: 1, maxLength: 5 },
  );
  fc.assert(
    fc.property(texts, (all) => {
      expect(unmerged(all)).toEqual(all);
    }),
  );
});
