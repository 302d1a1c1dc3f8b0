import {
  evaluateAmount,
  type Kind,
  parseQuantity,
  type Quantity,
  Rational,
  scopeOf,
  typeExpression,
} from '@ferrule/engine';
import { describe, expect, it, test } from 'vitest';

// T = K · D · F as an author of a pack would write it. An area is no kind of quantity here, so the clamp force, which is a
// stress times an area, is worked out beside it.
const scope = scopeOf([
  ['nut-factor', { type: 'amount', kind: 'ratio' }],
  ['diameter', { type: 'amount', kind: 'length' }],
  ['clamp-force', { type: 'amount', kind: 'force' }],
]);
const typed = typeExpression(
  { '*': [{ var: 'nut-factor' }, { var: 'diameter' }, { var: 'clamp-force' }] },
  scope,
  { type: 'amount', kind: 'torque' },
);

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}

function quantity(text: string, kind: Kind): Quantity {
  const read = parseQuantity(text, kind);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

/** The torque in this unit. */
function torque(nutFactor: string, diameter: string, clampForce: string, unit: string): number {
  if (!typed.ok) throw new Error(JSON.stringify(typed.faults));
  const values = new Map([
    ['nut-factor', quantity(nutFactor, 'ratio')],
    ['diameter', quantity(diameter, 'length')],
    ['clamp-force', quantity(clampForce, 'force')],
  ]);
  const answer = evaluateAmount(typed.expression, (name) => values.get(name));
  if (!('amount' in answer)) throw new Error('no torque');
  const { amount } = answer;
  expect(amount.kind).toBe('torque');
  return amount.value.over(quantity(`1 ${unit}`, 'torque').value).toNumber();
}

const decimals = (value: Rational): string => value.toDecimal(6);

describe('general bolt tightening torque (safety guide of a conveyor, p. 10; read)', () => {
  const stresses = { 'grade 2': '43000', 'grade 5': '69000', 'grade 8': '98000' };
  it.each([
    ['3/8-16', '0.375', '0.0775', 'grade 2', 21],
    ['3/8-16', '0.375', '0.0775', 'grade 5', 33],
    ['3/8-16', '0.375', '0.0775', 'grade 8', 47],
    ['1/2-13', '0.5', '0.1419', 'grade 2', 51],
    ['1/2-13', '0.5', '0.1419', 'grade 5', 82],
    ['1/2-13', '0.5', '0.1419', 'grade 8', 116],
    ['3/4-16', '0.75', '0.373', 'grade 2', 200],
    ['3/4-16', '0.75', '0.373', 'grade 5', 322],
    ['3/4-16', '0.75', '0.373', 'grade 8', 457],
  ] as const)('%s, %s in, %s in², %s: %i lbf·ft', (_, diameter, area, grade, expected) => {
    const force = decimals(exact(area).times(exact(stresses[grade])));
    expect(Math.abs(torque('0.2', `${diameter} in`, `${force} lbf`, 'lbf·ft') - expected)).toBeLessThan(0.51);
  });

  test('zinc-plated, K = 0.22, 1/2-13, grade 5: 90 lbf·ft', () => {
    const force = decimals(exact('0.1419').times(exact('69000')));
    expect(Math.abs(torque('0.22', '0.5 in', `${force} lbf`, 'lbf·ft') - 90)).toBeLessThan(0.5);
  });
});

describe('metric bolts 8.8, clamped to 75 % of their proof load (cncexpo.com/MetricBoltTorque.aspx; read)', () => {
  // 580 MPa of ISO 898-1 and the nut factors from memory.
  it.each([
    ['M10 dry', '10', '58.0', '0.2', 37],
    ['M10 lubricated', '10', '58.0', '0.15', 28],
    ['M12 dry', '12', '84.3', '0.2', 65],
    ['M12 lubricated', '12', '84.3', '0.15', 49],
  ])('%s: %s mm, %s mm², K = %s: %i lbf·ft', (_, diameter, area, nutFactor, expected) => {
    const force = decimals(exact(area).times(exact('580')).times(exact('0.75')));
    expect(Math.abs(torque(nutFactor, `${diameter} mm`, `${force} N`, 'lbf·ft') - expected)).toBeLessThan(
      0.5,
    );
  });
});

test('M12 8.8 at 70 % of its proof load: 34 kN and 82 N·m (worked example, aionlinecalculator.com; read)', () => {
  const force = exact('84.3').times(exact('580')).times(exact('0.7'));
  expect(Math.abs(force.toNumber() / 1000 - 34)).toBeLessThan(0.5);
  expect(Math.abs(torque('0.2', '12 mm', `${decimals(force)} N`, 'N·m') - 82)).toBeLessThan(0.5);
});
