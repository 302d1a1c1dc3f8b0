import { writeQuantity } from '@ferrule/engine';
import { describe, expect, it } from 'vitest';
import { dualsIn, quantitiesIn } from '../src/text-quantities.ts';

const written = (text: string): readonly string[] =>
  quantitiesIn(text).map(
    ({ quantity, second }) =>
      writeQuantity(quantity) + (second === undefined ? '' : ` (${writeQuantity(second)})`),
  );

describe('quantities in prose', () => {
  it.each([
    ['Tighten to 41 N·m.', ['41 N·m']],
    ['Tighten to 41 Nm (30 lbf·ft), then by 90°.', ['41 N·m (30 lbf·ft)', '90°']],
    ['A feeler of 0.30 mm (.012 in) just drags.', ['0.30 mm (0.012 in)']],
    ['Warm it to 80 °C and wait 20 min.', ['80 °C', '20 min']],
    ['Leave 2 in the tray, and 3 at the bench.', []],
    ['See table 4-1, section 7.2, bolt M10x1.5.', []],
    ['Pump {bore} at {variant.gap-high} and cylinder 3.', []],
    ['Version 1.2.3 mm', []],
  ])('%s', (text, expected) => {
    expect(written(text)).toEqual(expected);
  });
  it.each([
    ['Tighten to 41 N·m (30 lbf·ft).', ['agrees']],
    ['Tighten to 41 N·m (33 lbf·ft).', ['off']],
    ['Tighten to 41 N·m (30 lbf·in).', ['wrong-unit']],
    ['2 to 4 mm (.08 to .16 in) is right.', ['agrees']],
    ['0.38 to 0.25 mm (.010 to .015 in)', ['reversed']],
    ['41 N·m (stage 2) and 3 N·m (see table 3)', []],
  ])('duals of %s', (text, expected) => {
    expect(
      dualsIn(text).map(({ agreement }) => ('reason' in agreement ? agreement.reason : 'agrees')),
    ).toEqual(expected);
  });
});
