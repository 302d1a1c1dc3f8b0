import { convert, type Quantity, valueIn } from './quantity.ts';
import { Rational } from './rational.ts';
import { findUnit, type Unit } from './units.ts';

/** The customary unit beside each SI one and the SI unit beside each customary one, for display only. */
const partners: Readonly<Record<string, string>> = {
  mm: 'in',
  cm: 'in',
  m: 'ft',
  µm: 'mil',
  in: 'mm',
  ft: 'm',
  mil: 'µm',
  N·m: 'lbf·ft',
  N·cm: 'lbf·in',
  lbf·ft: 'N·m',
  lbf·in: 'N·m',
  kgf·m: 'N·m',
  kgf·cm: 'N·m',
  bar: 'psi',
  mbar: 'inHg',
  kPa: 'psi',
  MPa: 'psi',
  psi: 'bar',
  'kgf/cm²': 'bar',
  atm: 'bar',
  inHg: 'kPa',
  mmHg: 'kPa',
  'inH₂O': 'kPa',
  'mmH₂O': 'kPa',
  '°C': '°F',
  '°F': '°C',
  K: 'Δ°F',
  'Δ°C': 'Δ°F',
  'Δ°F': 'Δ°C',
  mL: 'fl oz',
  'cm³': 'fl oz',
  L: 'gal',
  gal: 'L',
  qt: 'L',
  'fl oz': 'mL',
  'L/h': 'gal/h',
  'L/min': 'gal/min',
  'gal/h': 'L/h',
  'gal/min': 'L/min',
  N: 'lbf',
  lbf: 'N',
  kgf: 'N',
  g: 'oz',
  kg: 'lb',
  lb: 'kg',
  oz: 'g',
};

/** Torques below this are written in pound-force inches (common practice, no published source). */
const smallTorque = Rational.of(14);

/** Halfway between two decimal places on a logarithmic scale (√10), close enough to choose a number of places. */
const halfDecade = Rational.of(316, 100);

function partnerOf(quantity: Quantity): Unit | undefined {
  const symbol = partners[quantity.unit.symbol];
  if (symbol === undefined) return undefined;
  const small = symbol === 'lbf·ft' && quantity.value.abs().compare(smallTorque) < 0;
  const unit = findUnit(small ? 'lbf·in' : symbol, quantity.kind);
  return unit?.kind === quantity.kind ? unit : undefined;
}

/**
 * The quantity in the unit of the other system, for showing beside it, or undefined where there is none (a degree, a
 * second). Its last place is the decimal place nearest in size to the last place of the original (the intent of SP 811,
 * B.7), and finer where fewer than two significant digits would be left: 19.20 mm gives 0.756 in, 1 mm gives 0.039 in.
 */
export function inOtherSystem(quantity: Quantity): Quantity | undefined {
  const unit = partnerOf(quantity);
  if (unit === undefined) return undefined;
  const ten = Rational.of(10);
  let step = quantity.unit.factor.over(unit.factor);
  for (let i = 0; i < quantity.decimals; i++) step = step.over(ten);
  const size = valueIn(quantity, unit).abs();
  let decimals = 0;
  let place = Rational.one;
  const tooCoarse = () =>
    place.compare(step.times(halfDecade)) > 0 || (size.sign > 0 && size.compare(place.times(ten)) < 0);
  // A temperature has no small sizes to resolve: only its step counts.
  const isAffine = unit.offset !== undefined || quantity.unit.offset !== undefined;
  while (decimals < 9 && (isAffine ? place.compare(step.times(halfDecade)) > 0 : tooCoarse())) {
    decimals += 1;
    place = place.over(ten);
  }
  return convert(quantity, unit, decimals);
}
