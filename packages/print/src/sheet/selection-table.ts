import {
  type Amount,
  chooseFromStock,
  inWords,
  type Limits,
  type Plan,
  type PlanSelection,
  type PlanTolerance,
  parseQuantity,
  Rational,
  rootOf,
  type Stack,
  spanKind,
  stacksOf,
  suitability,
  valueIn,
  writeAmount,
  writeFormula,
  writeQuantity,
} from '@ferrule/engine';
import { type Markup, markup } from '../markup.ts';

/** More rows than this are no help on paper. */
const MOST_ROWS = 60;
const HALF = Rational.of(1, 2);
const TWO = Rational.of(2);

/** One line of a table: for readings from … to …, what to fit. */
export interface SelectionRow {
  readonly from: Amount;
  readonly to: Amount;
  readonly fit: string;
}

/**
 * For which readings what is to be fitted, where there are two limits: the pieces themselves where the fitted size is
 * stated, and by how much more or less otherwise, where single sizes stand in equal steps. The ends lie on the values that
 * can be read, inside of where the choice changes, and at each of them the choice is the one that a job makes. Undefined
 * where no such table can be made.
 */
export function selectionRows(plan: Plan, selection: PlanSelection): readonly SelectionRow[] | undefined {
  const { stock, fitted, sensitivity, tolerance } = selection;
  const aimed = plan.tolerances[tolerance];
  if (aimed === undefined || aimed.limitsFrom !== undefined) return undefined;
  const { limits } = aimed;
  const { low, high, nominal } = limits;
  if (low === undefined || high === undefined) return undefined;
  const aim = nominal?.value ?? low.value.plus(high.value).times(HALF);
  const moves =
    fitted.node === 'literal' ? movesFrom(selection, fitted.amount) : stepsOf(selection, fitted.node);
  if (moves === undefined || moves.length === 0 || moves.length > MOST_ROWS) return undefined;
  const grid = gridOf(plan, aimed);
  const bounds = boundsOf(plan, aimed);
  const slope = sensitivity.value;
  const valueAt = (size: Rational): Rational => aim.minus(slope.times(size));
  const question = {
    fitted: { kind: stock.kind, value: Rational.zero },
    sensitivity,
    limits,
    stacks: moves.flatMap(({ move, sizes }) => (move.sign === 0 ? [] : [{ total: move, sizes }])),
    mayStay: moves.some(({ move }) => move.sign === 0),
  };
  const isChosen = (value: Rational, move: Rational): boolean => {
    const { choice, ...found } = chooseFromStock({ ...question, value: { kind: low.kind, value } });
    return choice === 'chosen' && 'best' in found && found.best.total.equals(move);
  };
  const rows = moves.flatMap(({ move, fit }, place): readonly SelectionRow[] => {
    // Nearest to nominal up to half way to the neighbours, and inside the limits.
    const ends = [moves[place - 1], moves[place + 1]].flatMap((one) =>
      one === undefined ? [] : [valueAt(one.move.plus(move).times(HALF))],
    );
    const centre = valueAt(move);
    let from = highest([
      ...bounds.slice(0, 1),
      low.value.minus(slope.times(move)),
      ...ends.filter((end) => end.compare(centre) < 0),
    ]);
    let to = lowest([
      ...bounds.slice(1),
      high.value.minus(slope.times(move)),
      ...ends.filter((end) => end.compare(centre) > 0),
    ]);
    from = from.plus(from.negated().mod(grid));
    to = to.minus(to.mod(grid));
    // Half way between two sizes one of them is taken, and the other row begins a step further on.
    while (from.compare(to) <= 0 && !isChosen(from, move)) from = from.plus(grid);
    while (from.compare(to) <= 0 && !isChosen(to, move)) to = to.minus(grid);
    const amount = (value: Rational): Amount => ({ kind: low.kind, value });
    return from.compare(to) > 0 ? [] : [{ from: amount(from), to: amount(to), fit }];
  });
  return [...rows].sort((a, b) => a.from.value.compare(b.from.value));
}

/** The step in which the value can be read; of a value that is worked out, one digit finer than its limits. */
function gridOf(plan: Plan, aimed: PlanTolerance): Rational {
  const resolution = resolutionOf(plan, aimed);
  return resolution?.value ?? aimed.unit.factor.over(Rational.of(10 ** (aimed.decimals + 1)));
}

/** Of what is read directly by an instrument that shows it in the unit of its limits. */
function resolutionOf(plan: Plan, aimed: PlanTolerance): PlanTolerance['limits']['low'] {
  const reading = readingOf(plan, aimed);
  const shown = plan.instruments.find((one) => one.id === reading?.instrument)?.resolution;
  return shown?.unit.symbol === aimed.unit.symbol && shown.value.sign > 0 ? shown : undefined;
}

function readingOf(plan: Plan, { value, entries }: PlanTolerance) {
  const reading = value.node === 'name' ? plan.entries[entries[0] ?? -1] : undefined;
  return reading?.entry === 'reading' ? reading : undefined;
}

/** What a reading can be at all; nothing is known of a value that is worked out. */
function boundsOf(plan: Plan, aimed: PlanTolerance): readonly Rational[] {
  const reading = readingOf(plan, aimed);
  return reading === undefined || reading.circle !== undefined
    ? []
    : reading.plausible.map((one) => one.value);
}

const highest = (all: readonly Rational[]): Rational => all.reduce((a, b) => (a.compare(b) >= 0 ? a : b));
const lowest = (all: readonly Rational[]): Rational => all.reduce((a, b) => (a.compare(b) <= 0 ? a : b));

interface Move {
  readonly move: Rational;
  readonly sizes: readonly Rational[];
  readonly fit: string;
}

const stacksIn = ({ sizes, most, least, greatest }: PlanSelection['stock']): readonly Stack[] | undefined =>
  stacksOf(
    sizes.map((one) => one.value),
    most,
    {
      ...(least && { least: least.value }),
      ...(greatest && { greatest: greatest.value }),
    },
  );

const inSizes = ({ stock }: PlanSelection, sizes: readonly Rational[]): string =>
  sizes.map((value) => writeSize(stock, value)).join(' + ');

function writeSize(stock: PlanSelection['stock'], value: Rational): string {
  const listed = stock.sizes.find((one) => one.value.equals(value));
  return listed === undefined
    ? writeAmount({ kind: stock.kind, value }, stock.unit, stock.decimals)
    : writeQuantity(listed);
}

/** Each total, with the size that is fitted among them, as long as it may stay. */
function movesFrom(selection: PlanSelection, fitted: Amount): readonly Move[] | undefined {
  const { least, greatest } = selection.stock;
  const all = stacksIn(selection.stock)?.map(({ total, sizes }) => {
    const move = total.minus(fitted.value);
    return { move, sizes, fit: move.sign === 0 ? 'leave it' : inSizes(selection, sizes) };
  });
  const mayStay =
    (least === undefined || fitted.value.compare(least.value) >= 0) &&
    (greatest === undefined || fitted.value.compare(greatest.value) <= 0);
  return all === undefined || !mayStay || all.some((one) => one.move.sign === 0)
    ? all
    : [...all, { move: Rational.zero, sizes: [], fit: 'leave it' }].sort((a, b) => a.move.compare(b.move));
}

/** How much more or less, in the steps in which the sizes stand; undefined where they stand in no equal steps. */
function stepsOf({ stock }: PlanSelection, fitted: string): readonly Move[] | undefined {
  const step = stepIn(stock);
  if (fitted !== 'name' || step === undefined || stock.most > 1) return undefined;
  const count = stock.sizes.length - 1;
  return Array.from({ length: 2 * count + 1 }, (_, place) => {
    const move = step.times(Rational.of(place - count));
    const size = writeAmount({ kind: stock.kind, value: move.abs() }, stock.unit, stock.decimals);
    const fit = move.sign === 0 ? 'leave it' : `${size} ${move.sign > 0 ? 'more' : 'less'}`;
    return { move, sizes: [move], fit };
  });
}

/** The step in which the sizes of a stock stand, where it is one and the same. */
function stepIn({ sizes }: PlanSelection['stock']): Rational | undefined {
  const [first, second] = sizes;
  if (first === undefined || second === undefined) return undefined;
  const step = second.value.minus(first.value);
  return sizes.every((one, place) => one.value.equals(first.value.plus(step.times(Rational.of(place)))))
    ? step
    : undefined;
}

/**
 * How the choice is made on paper: what is wanted and what it gives, what there is in stock, and tables where there can be
 * some. `isShort` leaves out the table by readings, as in a list of rework.
 */
export function selectionLines(plan: Plan, selection: PlanSelection): readonly Markup[] {
  const { stock, fitted, sensitivity } = selection;
  const aimed = plan.tolerances[selection.tolerance];
  if (aimed === undefined) return [];
  const now =
    fitted.node === 'literal' ? writeQuantity(fitted.amount) : writeFormula(fitted, (name) => inWords(name));
  const value = inWords(aimed.of);
  const by = writeQuantity(sensitivity).replace('-', '−');
  const { low, high, nominal } = aimed.limits;
  const only = nominal === undefined && (low === undefined || high === undefined) ? (low ?? high) : undefined;
  const wanted =
    only === undefined
      ? markup`<b>${now} + (${aimOf(aimed)} − ${value}) ÷ ${by}</b>, the nearest in stock`
      : markup`what gives the ${low === undefined ? 'highest' : 'lowest'} predicted value that is still ${low === undefined ? 'at most' : 'at least'} <b>${clearOf(plan, selection, aimed, only)}</b>; where nothing does, what gives the ${low === undefined ? 'lowest' : 'highest'} one`;
  const most = stock.most > 1 ? `, up to ${stock.most} on one another` : '';
  const effect = `more ${sensitivity.value.sign < 0 ? 'lowers' : 'raises'} it`;
  return [
    markup`<p>Fit from ${stock.title}${most}: ${wanted}. What is fitted may be the nearest: then it stays.</p>`,
    markup`<p>Predicted: <b>${value} + ${by.startsWith('−') ? `(${by})` : by} × (new − ${now})</b>; ${effect}. It has to lie within the limits.</p>`,
    markup`<p>In stock: ${stockInWords(stock)}</p>`,
    ...readingTable(plan, selection, aimed, value),
    ...stackTable(selection),
  ];
}

function readingTable(
  plan: Plan,
  selection: PlanSelection,
  aimed: PlanTolerance,
  value: string,
): readonly Markup[] {
  const rows = selectionRows(plan, selection);
  if (rows === undefined || rows.length === 0) return [];
  const resolution = resolutionOf(plan, aimed);
  const places = resolution === undefined ? aimed.decimals + 1 : decimalsIn(valueIn(resolution, aimed.unit));
  const write = (amount: Amount): string => writeAmount(amount, aimed.unit, places);
  const steps = writeAmount(
    { kind: spanKind(aimed.unit.kind), value: gridOf(plan, aimed) },
    aimed.unit,
    places,
  );
  return [
    markup`<table class="list choice"><caption>In steps of ${steps}; what lies between two lines is worked out.</caption><thead><tr>${inGroups(
      rows,
    ).map(
      (_, group) =>
        markup`<th scope="col"${group === 0 ? undefined : markup` class="next"`}>${capital(value)} from</th><th scope="col">to</th><th scope="col">fit</th>`,
    )}</tr></thead><tbody>${lines(inGroups(rows)).map(
      (line) =>
        markup`<tr>${line.map((row, group) => markup`<td${group === 0 ? undefined : markup` class="next"`}>${row && write(row.from)}</td><td>${row && write(row.to)}</td><td>${row?.fit}</td>`)}</tr>`,
    )}</tbody></table>`,
  ];
}

/** From how many rows on they stand in two groups side by side. */
const ROWS_IN_ONE = 12;

/** Rows in groups side by side, read down each. */
function inGroups(rows: readonly SelectionRow[]): readonly (readonly SelectionRow[])[] {
  if (rows.length <= ROWS_IN_ONE) return [rows];
  const half = Math.ceil(rows.length / 2);
  return [rows.slice(0, half), rows.slice(half)];
}

const lines = (
  groups: readonly (readonly SelectionRow[])[],
): readonly (readonly (SelectionRow | undefined)[])[] =>
  (groups[0] ?? []).map((_, line) => groups.map((group) => group[line]));

const MOST_DECIMALS = 9;

/** Decimals that it takes to write a number whole. */
function decimalsIn(value: Rational): number {
  let places = 0;
  while (places < MOST_DECIMALS && Rational.parse(value.toDecimal(places))?.equals(value) !== true)
    places += 1;
  return places;
}

const STACKS_IN_A_ROW = 2;

/** Which pieces make which total, where they are stacked. */
function stackTable(selection: PlanSelection): readonly Markup[] {
  const { stock } = selection;
  const stacks = stock.most > 1 ? (stacksIn(stock) ?? []) : [];
  if (stacks.length === 0 || stacks.length > 2 * MOST_ROWS) return [];
  const count = Math.ceil(stacks.length / STACKS_IN_A_ROW);
  const bare = (value: Rational): string =>
    writeAmount({ kind: stock.kind, value }, stock.unit, stock.decimals).replace(/ .*$/, '');
  const cells = ({ total, sizes }: Stack): Markup =>
    markup`<td><b>${bare(total)}</b></td><td>${sizes.map(bare).join('+')}</td>`;
  return [
    markup`<table class="list choice stacks"><thead><tr>${Array.from({ length: Math.min(STACKS_IN_A_ROW, stacks.length) }, () => markup`<th scope="col">New, ${stock.unit.symbol}</th><th scope="col">of</th>`)}</tr></thead><tbody>${Array.from(
      { length: count },
      (_, row) => markup`<tr>${stacks.filter((_one, place) => place % count === row).map(cells)}</tr>`,
    )}</tbody></table>`,
  ];
}

/** The sizes of a stock: in equal steps by their ends, otherwise each; what they may come to, and how exact they are. */
function stockInWords(stock: PlanSelection['stock']): string {
  const { sizes, least, greatest, permissibleError, kind, unit, decimals } = stock;
  const [first] = sizes;
  const last = sizes.at(-1);
  const step = sizes.length > 3 ? stepIn(stock) : undefined;
  const listed =
    step === undefined || first === undefined || last === undefined
      ? sizes.map(writeQuantity).join(', ')
      : `${writeQuantity(first)} to ${writeQuantity(last)} by ${writeAmount({ kind, value: step }, unit, decimals)}`;
  const together =
    least === undefined && greatest === undefined
      ? ''
      : `; together ${[
          ...(least === undefined ? [] : [`at least ${writeQuantity(least)}`]),
          ...(greatest === undefined ? [] : [`at most ${writeQuantity(greatest)}`]),
        ].join(' and ')}`;
  const error = permissibleError === undefined ? '' : `; each ± ${writeQuantity(permissibleError)}`;
  return `${listed}${together}${error}`;
}

/**
 * From where on a prediction is clear of a single limit: inside by twice its standard uncertainty, as far as that is known
 * before anything is read, rounded to the inside.
 */
function clearOf(plan: Plan, selection: PlanSelection, aimed: PlanTolerance, limit: Amount): string {
  const { unit, decimals } = aimed;
  const expected = suitability(plan).find((one) => one.tolerance === aimed);
  const read = parseQuantity(expected?.expandedUncertainty ?? '', spanKind(unit.kind));
  const factor = Rational.parse(expected?.coverageFactor ?? '');
  if (!('quantity' in read) || factor === undefined) return writeAmount(limit, unit, decimals);
  const u = read.quantity.value.over(factor);
  const a = selection.stock.permissibleError?.value.times(selection.sensitivity.value) ?? Rational.zero;
  // One piece comes in and one goes out, each rectangular within its error.
  const variance = u.times(u).plus(a.times(a).times(Rational.of(2, 3)));
  const band = rootOf(variance, 3, 'up').times(TWO);
  const isLow = limitsBelow(aimed.limits);
  const value = isLow ? limit.value.plus(band) : limit.value.minus(band);
  return writeAmount({ kind: limit.kind, value }, unit, decimals + 1, isLow ? 'up' : 'down');
}

const limitsBelow = ({ low }: Limits): boolean => low !== undefined;

/** What the choice aims at, in words where it is not a number. */
function aimOf({ limits, limitsFrom, unit, decimals }: PlanTolerance): string {
  const { low, high, nominal } = limits;
  if (limitsFrom?.nominal !== undefined) return writeFormula(limitsFrom.nominal, (name) => inWords(name));
  if (nominal !== undefined) return writeAmount(nominal, unit, decimals);
  if (low === undefined || high === undefined) return 'nominal';
  const middle = { kind: low.kind, value: low.value.plus(high.value).times(HALF) };
  return writeAmount(middle, unit, decimals + 1);
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
