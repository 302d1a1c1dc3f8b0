import { describe, expect, test } from 'vitest';
import { holds } from '../../src/index.ts';
import { packOf, planOf, type Written } from '../small-pack.ts';

const states = {
  pin: { is: ['in', 'out'], starts: 'out', ends: 'out' },
  pump: { per: 'bore', is: ['absent', 'seated', 'clamped'], starts: 'absent', ends: 'absent' },
};

/** Whether a map of states holds with pumps 1 to 3 in these states and the crank at this place of the plan. */
function holdsWith(requires: Written, pumps: readonly string[], crank = 'unknown', bore?: string): boolean {
  const it = { step: 'it', do: 'x', requires };
  const steps = bore === undefined ? [it] : [{ each: 'bore', of: [bore], steps: [it] }];
  const plan = planOf(packOf({ steps }, { states }));
  const bytes = Uint8Array.from(plan.starts);
  plan.cells.forEach((cell, index) => {
    if (cell.cell === 'crank') bytes[index] = cell.values.indexOf(crank);
    if (cell.cell !== 'state' || cell.state !== 'pump') return;
    bytes[index] = cell.values.indexOf(pumps[Number(cell.name.split('@')[1]) - 1] ?? '');
  });
  const step = plan.nodes.find((node) => node.id === 'it');
  if (step?.node !== 'step') throw new Error('no step');
  return step.guards.every((guard) => holds(guard.test, bytes));
}

describe('a map of states', () => {
  test.each<readonly [Written, readonly string[], boolean]>([
    [{ 'every-bore': { pump: 'clamped' } }, ['clamped', 'clamped', 'clamped'], true],
    [{ 'every-bore': { pump: 'clamped' } }, ['clamped', 'seated', 'clamped'], false],
    [{ 'every-bore': { pump: ['clamped', 'seated'] } }, ['clamped', 'seated', 'clamped'], true],
    [{ 'any-bore': { pump: 'clamped' } }, ['absent', 'absent', 'clamped'], true],
    [{ 'any-bore': { pump: 'clamped' } }, ['absent', 'absent', 'seated'], false],
    [{ 'no-bore': { pump: 'clamped' } }, ['absent', 'absent', 'seated'], true],
    [{ 'no-bore': { pump: 'clamped' } }, ['absent', 'absent', 'clamped'], false],
    [{ pin: 'out', 'no-bore': { pump: 'clamped' } }, ['absent', 'absent', 'absent'], true],
    [{ pin: 'in', 'no-bore': { pump: 'clamped' } }, ['absent', 'absent', 'absent'], false],
    [
      { 'every-bore': { pump: 'absent' }, 'any-bore': { pump: 'absent' } },
      ['absent', 'absent', 'absent'],
      true,
    ],
  ])('%j with %j: %s', (requires, pumps, expected) => {
    expect(holdsWith(requires, pumps)).toBe(expected);
  });

  test("inside a bore a state is that bore's", () => {
    expect(holdsWith({ pump: 'seated' }, ['absent', 'seated', 'absent'], 'unknown', '2')).toBe(true);
    expect(holdsWith({ pump: 'seated' }, ['seated', 'absent', 'seated'], 'unknown', '2')).toBe(false);
  });

  // Bores fire at 0°, 480° and 240°; off base from 70° before to 250° after, so at 360° bores 1 and 2 rest, 3 is lifted.
  test.each<readonly [string, string, string, boolean]>([
    ['1', 'TDC of cylinder 1, exhaust', 'on-base-circle', true],
    ['2', 'TDC of cylinder 1, exhaust', 'on-base-circle', true],
    ['3', 'TDC of cylinder 1, exhaust', 'on-base-circle', false],
    ['3', 'TDC of cylinder 1, exhaust', 'on-lobe', true],
    ['1', 'unknown', 'on-base-circle', false],
    ['1', 'unknown', 'on-lobe', false],
    ['1', 'unknown', 'unknown', true],
    ['1', 'TDC of cylinder 1, exhaust', 'unknown', false],
  ])('the follower of bore %s at %s is %s: %s', (bore, crank, value, expected) => {
    expect(holdsWith({ follower: value }, [], crank, bore)).toBe(expected);
  });

  test('the crank is known, unknown or at a mark', () => {
    const at = 'TDC of cylinder 1, exhaust';
    expect([holdsWith({ crank: 'known' }, [], at), holdsWith({ crank: 'known' }, [])]).toEqual([true, false]);
    expect([holdsWith({ crank: 'unknown' }, [], at), holdsWith({ crank: 'unknown' }, [])]).toEqual([
      false,
      true,
    ]);
    expect([holdsWith({ crank: 'tdc-exhaust' }, [], at), holdsWith({ crank: 'tdc-firing' }, [], at)]).toEqual(
      [true, false],
    );
  });
});
