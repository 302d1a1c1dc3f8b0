import { describe, expect, it } from 'vitest';
import { parseRangeStatement, parseStatement } from '../../packages/engine/src/quantity/index.ts';

describe('values printed side by side in the trade (common practice, no published source)', () => {
  it.each([
    ['21.00 mm (.827 in)'],
    ['21.75 mm (.856 in)'],
    ['0.203 mm (.008 in)'],
    ['3.4 N·m (30 lbf·in)'],
    ['50 N·m (37 lbf·ft)'],
    ['6.2 N·m (55 lbf·in)'],
    ['0.025 mm (.001 in)'],
    ['0.0127 mm (.0005 in)'],
    ['1 mm (.039 in)'],
  ])('%s agree', (text) => {
    expect(parseStatement(text)).toMatchObject({ agreement: { agreement: 'agrees' } });
  });

  it.each([['21.00 to 21.75 mm (.827 to .856 in)'], ['2 to 4 mm (.08 to .16 in)']])('%s agree', (text) => {
    expect(parseRangeStatement(text)).toMatchObject({ agreement: { agreement: 'agrees' } });
  });

  it('0.38 to 0.25 mm (.010 to .015 in) is reversed, as it was met in print', () => {
    expect(parseRangeStatement('0.38 to 0.25 mm (.010 to .015 in)')).toMatchObject({
      agreement: { agreement: 'disagrees', reason: 'reversed', descending: 'original' },
    });
  });

  it.each([
    ['21.00 mm (.828 in)', 'off'],
    ['21.75 mm (.0856 in)', 'misplaced-decimal'],
    ['50 N·m (37 lbf·in)', 'wrong-unit'],
    ['6.2 N·m (54 lbf·in)', 'off'],
    ['0.0127 mm (.0006 in)', 'off'],
  ])('the same facts spoilt, %s, are %s', (text, reason) => {
    expect(parseStatement(text)).toMatchObject({ agreement: { agreement: 'disagrees', reason } });
  });
});
