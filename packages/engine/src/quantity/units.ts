import { type Kind, plainKinds, quotientOf } from './kind.ts';
import { Rational } from './rational.ts';

/** A unit of one kind. A value v in it is v × factor + offset in the base unit of the kind. */
export interface Unit {
  /** As Ferrule writes it. Empty for the plain number of a ratio or a count. */
  readonly symbol: string;
  /** Other spellings that are understood. */
  readonly also: readonly string[];
  /** The name in the style of NIST SP 811. */
  readonly name: string;
  readonly ucum: string;
  readonly kind: Kind;
  readonly factor: Rational;
  readonly offset?: Rational;
}

type Row = readonly [
  symbol: string,
  name: string,
  ucum: string,
  factor: string,
  also?: string,
  offset?: string,
];

/*
 * One table, the base unit of each kind first. Spellings are separated by `|`.
 * Exact definitions (NIST SP 811, Appendix B): 1 in = 25.4 mm; 1 lb = 0.45359237 kg; 1 kgf = 9.80665 N, so
 * 1 lbf = 4.4482216152605 N; 1 gal (US) = 231 in³. Columns of liquid are the conventional ones: water of
 * 1000 kg/m³ and mercury of 13 595.1 kg/m³ under 9.80665 m/s², so 1 inHg = 3386.388640341 Pa (SP 811: 3386.389),
 * not the 32 °F or 60 °F columns, which differ from it by up to 3e-3. The gallon, quart and fluid ounce are the US ones.
 * The radian is left out: in degrees it is irrational, and nothing here may be rounded.
 */
const rows: Readonly<Record<(typeof plainKinds)[number], readonly Row[]>> = {
  length: [
    ['mm', 'millimeter', 'mm', '1', 'millimeter|millimetre|millimeters|millimetres'],
    ['cm', 'centimeter', 'cm', '10', 'centimeter|centimetre'],
    ['m', 'meter', 'm', '1000', 'meter|metre|meters|metres'],
    ['µm', 'micrometer', 'um', '0.001', 'um|micron|microns|micrometer|micrometre'],
    ['in', 'inch', '[in_i]', '25.4', 'in.|inch|inches|"|″|”'],
    ['ft', 'foot', '[ft_i]', '304.8', 'foot|feet'],
    ['mil', 'mil (0.001 in)', '[mil_i]', '0.0254', 'mils|thou'],
  ],
  angle: [
    ['°', 'degree', 'deg', '1', 'deg|degree|degrees'],
    ['turn', 'revolution', 'circ', '360', 'turns|r|rev|revolution|revolutions'],
  ],
  torque: [
    ['N·m', 'newton meter', 'N.m', '1', 'Nm|N-m'],
    ['N·cm', 'newton centimeter', 'N.cm', '0.01', 'Ncm|N-cm'],
    [
      'lbf·ft',
      'pound-force foot',
      '[lbf_av].[ft_i]',
      '1.3558179483314004',
      'ft·lbf|lb·ft|ft·lb|lbf-ft|ft-lbf|lb-ft|ft-lb|ft·lbs|ft-lbs',
    ],
    [
      'lbf·in',
      'pound-force inch',
      '[lbf_av].[in_i]',
      '1.3558179483314004/12',
      'in·lbf|lb·in|in·lb|lbf-in|in-lbf|lb-in|in-lb|in·lbs|in-lbs',
    ],
    ['kgf·m', 'kilogram-force meter', 'kgf.m', '9.80665', 'kgfm|kgf-m|kg·m|kg-m'],
    ['kgf·cm', 'kilogram-force centimeter', 'kgf.cm', '0.0980665', 'kgfcm|kgf-cm|kg·cm|kg-cm'],
  ],
  pressure: [
    ['bar', 'bar', 'bar', '1', 'bars|Bar|BAR'],
    ['mbar', 'millibar', 'mbar', '0.001', 'mb'],
    ['Pa', 'pascal', 'Pa', '0.00001'],
    ['hPa', 'hectopascal', 'hPa', '0.001'],
    ['kPa', 'kilopascal', 'kPa', '0.01', 'KPa|kpa'],
    ['MPa', 'megapascal', 'MPa', '10'],
    ['psi', 'pound-force per square inch', '[psi]', '4.4482216152605/64.516', 'lbf/in²|lbf/sq·in|PSI|Psi'],
    ['kgf/cm²', 'kilogram-force per square centimeter', 'kgf/cm2', '0.980665', 'kg/cm²|at'],
    ['atm', 'standard atmosphere', 'atm', '1.01325'],
    ['inHg', 'inch of mercury, conventional', "[in_i'Hg]", '0.03386388640341', 'in·Hg|"Hg'],
    ['mmHg', 'millimeter of mercury, conventional', 'mm[Hg]', '0.00133322387415', 'mm·Hg'],
    ['inH₂O', 'inch of water, conventional', "[in_i'H2O]", '0.0024908891', 'in·H2O|"H2O'],
    ['mmH₂O', 'millimeter of water, conventional', 'mm[H2O]', '0.0000980665', 'mm·H2O'],
  ],
  temperature: [
    ['°C', 'degree Celsius', 'Cel', '1', 'degC|deg·C|C|celsius|Celsius'],
    ['°F', 'degree Fahrenheit', '[degF]', '5/9', 'degF|deg·F|F|fahrenheit|Fahrenheit', '-160/9'],
    ['K', 'kelvin', 'K', '1', 'kelvin', '-273.15'],
  ],
  'temperature-difference': [
    ['K', 'kelvin', 'K', '1', 'kelvin'],
    ['Δ°C', 'degree Celsius (difference)', 'K', '1', 'delta·degC|delta·°C'],
    ['Δ°F', 'degree Fahrenheit (difference)', '5.K/9', '5/9', 'delta·degF|delta·°F'],
  ],
  time: [
    ['s', 'second', 's', '1', 'sec|second|seconds'],
    ['ms', 'millisecond', 'ms', '0.001'],
    ['min', 'minute', 'min', '60', 'minute|minutes|mins'],
    ['h', 'hour', 'h', '3600', 'hr|hrs|hour|hours'],
    ['d', 'day', 'd', '86400', 'day|days'],
  ],
  volume: [
    ['mL', 'milliliter', 'mL', '1', 'ml'],
    ['cm³', 'cubic centimeter', 'cm3', '1', 'cc'],
    ['mm³', 'cubic millimeter', 'mm3', '0.001', 'µL|µl'],
    ['L', 'liter', 'L', '1000', 'l|ℓ|liter|litre|liters|litres'],
    ['gal', 'gallon (U.S.)', '[gal_us]', '3785.411784', 'US·gal'],
    ['qt', 'quart (U.S. liquid)', '[qt_us]', '946.352946', 'US·qt'],
    ['fl oz', 'fluid ounce (U.S.)', '[foz_us]', '29.5735295625', 'US·fl·oz|floz'],
  ],
  delivery: [
    ['mm³/st', 'cubic millimeter per stroke', 'mm3/{stroke}', '1', 'mm³/stroke|µL/st|µL/stroke'],
    [
      'cm³/1000 st',
      'cubic centimeter per 1000 strokes',
      '10*-3.cm3/{stroke}',
      '1',
      'cm³/1000·strokes|cc/1000·st|cc/1000·strokes|mL/1000·st|mL/1000·strokes',
    ],
  ],
  flow: [
    ['mL/min', 'milliliter per minute', 'mL/min', '1', 'ml/min|cm³/min|cc/min'],
    ['L/min', 'liter per minute', 'L/min', '1000', 'l/min|lpm|LPM'],
    ['L/h', 'liter per hour', 'L/h', '1000/60', 'l/h|L/hr|lph'],
    ['gal/h', 'gallon (U.S.) per hour', '[gal_us]/h', '3785.411784/60', 'gal/hr|gph'],
    ['gal/min', 'gallon (U.S.) per minute', '[gal_us]/min', '3785.411784', 'gpm'],
  ],
  'rotational-speed': [
    ['r/min', 'revolution per minute', 'circ/min', '1', 'rpm|RPM|rev/min|1/min|/min|min⁻¹|min-1'],
  ],
  force: [
    ['N', 'newton', 'N', '1', 'newton|newtons'],
    ['kN', 'kilonewton', 'kN', '1000'],
    ['lbf', 'pound-force', '[lbf_av]', '4.4482216152605'],
    ['kgf', 'kilogram-force', 'kgf', '9.80665', 'kp'],
  ],
  mass: [
    ['g', 'gram', 'g', '1', 'gram|grams'],
    ['mg', 'milligram', 'mg', '0.001'],
    ['kg', 'kilogram', 'kg', '1000', 'kilogram|kilograms'],
    ['lb', 'pound (avoirdupois)', '[lb_av]', '453.59237', 'lbs|lbm'],
    ['oz', 'ounce (avoirdupois)', '[oz_av]', '28.349523125'],
  ],
  voltage: [
    ['V', 'volt', 'V', '1', 'volt|volts|Vdc|V·DC'],
    ['mV', 'millivolt', 'mV', '0.001'],
  ],
  current: [
    ['A', 'ampere', 'A', '1', 'amp|amps|ampere|amperes'],
    ['mA', 'milliampere', 'mA', '0.001'],
  ],
  resistance: [
    ['Ω', 'ohm', 'Ohm', '1', 'ohm|ohms|Ohm|Ohms'],
    ['mΩ', 'milliohm', 'mOhm', '0.001', 'mohm|mOhm'],
    ['kΩ', 'kilohm', 'kOhm', '1000', 'kohm|kOhm'],
    ['MΩ', 'megohm', 'MOhm', '1000000', 'Mohm|MOhm'],
  ],
  ratio: [
    ['', 'one', '1', '1'],
    ['%', 'percent', '%', '0.01', 'percent|pct'],
    ['ppm', 'part per million', '[ppm]', '0.000001'],
  ],
  count: [['', 'one', '1', '1']],
  strokes: [['st', 'stroke', '{stroke}', '1', 'stroke|strokes']],
};

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(`not a number in the unit table: ${text}`);
  return value;
}

/** Every unit, by kind, base unit first within each. */
export const units: readonly Unit[] = plainKinds.flatMap((kind) =>
  rows[kind].map(([symbol, name, ucum, factor, also, offset]) => ({
    symbol,
    also: also?.split('|') ?? [],
    name,
    ucum,
    kind,
    factor: exact(factor),
    ...(offset === undefined ? {} : { offset: exact(offset) }),
  })),
);

/**
 * One spelling for all the ways in which a unit is pasted: degree, micro, ohm, prime and superscript look-alikes,
 * the several product dots (a space between two symbols is a product as well), dashes, full-width signs.
 */
function foldUnit(text: string): string {
  return text
    .trim()
    .replace(/[º˚]/g, '°')
    .replace(/\u2103/g, '°C')
    .replace(/\u2109/g, '°F')
    .replace(/\u03BC/g, 'µ')
    .replace(/\u2126/g, 'Ω')
    .replace(/\u2206/g, 'Δ')
    .replace(/\u212A/g, 'K')
    .replace(/\^?[23²³]/g, (mark) => (/[2²]/.test(mark) ? '2' : '3'))
    .replace(/₂/g, '2')
    .replace(/⁻[1¹]/g, '-1')
    .replace(/％/g, '%')
    .replace(/[∕⁄]/g, '/')
    .replace(/[‐‑‒–−]/g, '-')
    .replace(/\.+(?=-|$)/g, '')
    .replace(/\s*[·⋅•∙‧・*×.]\s*/g, '·')
    .replace(/\s*\/\s*/g, '/')
    .replace(/(°|Δ)\s+/g, '$1')
    .replace(/\s+/g, '·');
}

const bySpelling = new Map<string, Unit[]>();
for (const unit of units) {
  for (const spelling of new Set([unit.symbol, ...unit.also].map(foldUnit))) {
    if (spelling === '') continue;
    const same = bySpelling.get(spelling);
    if (same === undefined) bySpelling.set(spelling, [unit]);
    else same.push(unit);
  }
}

/** The base unit of a kind: the unit in which the value of an Amount is held. */
export function baseUnit(kind: Kind): Unit {
  const unit = units.find((one) => one.kind === kind);
  if (unit !== undefined) return unit;
  const [above, below] = kind.split(' per ');
  const quotient = divideUnits(
    units.find((one) => one.kind === above),
    units.find((one) => one.kind === below),
  );
  if (quotient === undefined) throw new Error(`no units of ${kind}`);
  return quotient;
}

/** Every unit of a plain kind, base unit first; for a compound kind its base unit only. */
export function unitsOf(kind: Kind): readonly Unit[] {
  const all = units.filter((one) => one.kind === kind);
  return all.length > 0 ? all : [baseUnit(kind)];
}

function divideUnits(above: Unit | undefined, below: Unit | undefined): Unit | undefined {
  // Per a plain number (`mm/%`) would silently be the number itself.
  if (above === undefined || below === undefined || below.kind === 'ratio' || below.kind === 'count')
    return undefined;
  const quotient = quotientOf(above.kind, below.kind);
  if (quotient === undefined) return undefined;
  return {
    symbol: `${above.symbol || '1'}/${below.symbol}`,
    also: [],
    name: `${above.name} per ${below.name}`,
    ucum: `${above.ucum}/${/[./]/.test(below.ucum) ? `(${below.ucum})` : below.ucum}`,
    kind: quotient.kind,
    factor: above.factor.over(below.factor).times(quotient.scale),
  };
}

/**
 * The unit that a text spells, or undefined. `K` is a temperature only where a temperature is expected, otherwise a
 * difference. A quotient of two units that is not in the table (`bar/mm`) is made up on the spot.
 */
export function findUnit(text: string, expected?: Kind): Unit | undefined {
  // Most texts are spelt as in the table, and folding what is folded changes nothing.
  const spelling = bySpelling.has(text) ? text : foldUnit(text);
  const listed = bySpelling.get(spelling);
  if (listed !== undefined) return listed.find((one) => one.kind === expected) ?? listed.at(-1);
  const slash = spelling.lastIndexOf('/');
  if (slash <= 0) return undefined;
  const part = (side: string) => bySpelling.get(side)?.at(-1);
  return divideUnits(part(spelling.slice(0, slash)), part(spelling.slice(slash + 1)));
}

function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const swap = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(swap, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[b.length] ?? a.length;
}

/** How far a spelling is off: in its case only, in the order of its letters, or by how many letters. */
function apartness(known: string, written: string): number {
  if (known === written) return 0.5;
  const sorted = (text: string) => [...text].sort().join('');
  return sorted(known) === sorted(written) ? 1 : distance(known, written);
}

/** At most three symbols that a mistyped unit may have meant, nearest first; those of the expected kind before others. */
export function nearUnits(text: string, expected?: Kind): readonly string[] {
  const spelling = foldUnit(text).slice(0, 24);
  const scores = new Map<string, number>();
  for (const [known, [unit]] of bySpelling) {
    if (unit === undefined) continue;
    const apart = apartness(known.toLowerCase(), spelling.toLowerCase());
    // A one-letter unit is one letter away from every other: only longer ones may be a letter off.
    if (apart > Math.min(2, Math.floor(Math.min(known.length, spelling.length) / 2))) continue;
    const score = apart + (expected !== undefined && unit.kind !== expected ? 2 : 0);
    scores.set(unit.symbol, Math.min(score, scores.get(unit.symbol) ?? score));
  }
  const best = Math.min(...scores.values());
  return [...scores]
    .filter(([, score]) => score <= best + 0.4)
    .sort(([a, x], [b, y]) => x - y || (a < b ? -1 : 1))
    .slice(0, 3)
    .map(([symbol]) => symbol);
}
