import {
  type Amount,
  inWords,
  type Plan,
  type PlanSelection,
  type PlanTolerance,
  Rational,
  writeAmount,
  writeFormula,
  writeQuantity,
} from '@ferrule/engine';
import { type Markup, markup } from '../markup.ts';

/** More rows than this are no help on paper. */
const MOST_ROWS = 60;
const HALF = Rational.of(1, 2);

/** One line of a table: for readings from … to …, what to fit. */
interface SelectionRow {
  readonly from: string;
  readonly to: string;
  readonly fit: string;
}

/**
 * For which readings which size is to be fitted, where one single piece is chosen by one reading: the size itself where
 * the fitted size is stated, and by how much more or less otherwise, where the sizes stand in equal steps. The ranges
 * are exact, and written one digit finer than the limits. Undefined where no such table can be made.
 */
function selectionRows(plan: Plan, selection: PlanSelection): readonly SelectionRow[] | undefined {
  const { stock, fitted, sensitivity, tolerance } = selection;
  const aimed = plan.tolerances[tolerance];
  const reading = aimed && plan.entries[aimed.entries[0] ?? -1];
  if (aimed === undefined || reading?.entry !== 'reading' || aimed.value.node !== 'name') return undefined;
  const { low, high, nominal } = aimed.limits;
  if (stock.most > 1 || low === undefined || high === undefined) return undefined;
  const aim = nominal?.value ?? low.value.plus(high.value).times(HALF);
  const moves =
    fitted.node === 'literal' ? sizesFrom(stock.sizes, fitted.amount) : stepsOf(selection, fitted.node);
  if (moves === undefined || moves.length > MOST_ROWS) return undefined;
  const slope = sensitivity.value;
  const [least, most] = reading.plausible;
  const rows = moves.flatMap(({ move, fit }, place) => {
    // Nearest to nominal up to half way to the neighbours, and inside the limits.
    const [before, after] = [moves[place - 1]?.move, moves[place + 1]?.move];
    const valueAt = (size: Rational): Rational => aim.minus(slope.times(size));
    const ends = [before, after].flatMap((one) =>
      one === undefined ? [] : [valueAt(one.plus(move).times(HALF))],
    );
    const centre = valueAt(move);
    const from = highest([
      least.value,
      low.value.minus(slope.times(move)),
      ...ends.filter((end) => end.compare(centre) < 0),
    ]);
    const to = lowest([
      most.value,
      high.value.minus(slope.times(move)),
      ...ends.filter((end) => end.compare(centre) > 0),
    ]);
    return from.compare(to) > 0 ? [] : [{ from, to, fit }];
  });
  return rows
    .sort((a, b) => a.from.compare(b.from))
    .map(({ from, to, fit }) => ({ from: shown(from, aimed), to: shown(to, aimed), fit }));
}

const shown = (value: Rational, { unit, decimals }: PlanTolerance): string =>
  writeAmount({ kind: unit.kind, value }, unit, decimals + 1);

const highest = (all: readonly Rational[]): Rational => all.reduce((a, b) => (a.compare(b) >= 0 ? a : b));
const lowest = (all: readonly Rational[]): Rational => all.reduce((a, b) => (a.compare(b) <= 0 ? a : b));

interface Move {
  readonly move: Rational;
  readonly fit: string;
}

/** Each size, with the one that is fitted among them. */
function sizesFrom(sizes: PlanSelection['stock']['sizes'], fitted: Amount): readonly Move[] {
  const all = sizes.map((size) => {
    const move = size.value.minus(fitted.value);
    return { move, fit: move.sign === 0 ? 'leave it' : writeQuantity(size) };
  });
  return all.some((one) => one.move.sign === 0)
    ? all
    : [...all, { move: Rational.zero, fit: 'leave it' }].sort((a, b) => a.move.compare(b.move));
}

/** How much more or less, in the steps in which the sizes stand; undefined where they stand in no equal steps. */
function stepsOf({ stock }: PlanSelection, fitted: string): readonly Move[] | undefined {
  const [first, second] = stock.sizes;
  if (fitted !== 'name' || first === undefined || second === undefined) return undefined;
  const step = second.value.minus(first.value);
  const isRegular = stock.sizes.every((one, place) =>
    one.value.equals(first.value.plus(step.times(Rational.of(place)))),
  );
  if (!isRegular) return undefined;
  const count = stock.sizes.length - 1;
  return Array.from({ length: 2 * count + 1 }, (_, place) => {
    const move = step.times(Rational.of(place - count));
    const size = writeAmount({ kind: stock.kind, value: move.abs() }, stock.unit, stock.decimals);
    return { move, fit: move.sign === 0 ? 'leave it' : `${size} ${move.sign > 0 ? 'more' : 'less'}` };
  });
}

/** How the choice is made on paper: the table where there can be one, and the formula with blanks to work it out. */
export function selectionLines(plan: Plan, selection: PlanSelection): readonly Markup[] {
  const { stock, fitted, sensitivity } = selection;
  const aimed = plan.tolerances[selection.tolerance];
  if (aimed === undefined) return [];
  const now =
    fitted.node === 'literal' ? writeQuantity(fitted.amount) : writeFormula(fitted, (name) => inWords(name));
  const value = inWords(aimed.of);
  const aim = aimOf(aimed);
  const by =
    sensitivity.value.sign < 0 ? writeQuantity(sensitivity).replace('-', '−') : writeQuantity(sensitivity);
  const rows = selectionRows(plan, selection);
  const most = stock.most > 1 ? `, up to ${stock.most} on one another` : '';
  return [
    markup`<p>Fit from ${stock.title}${most}: <b>${now} + (${aim} − ${value}) ÷ ${by}</b>, the nearest in stock</p>`,
    ...(rows === undefined || rows.length === 0
      ? []
      : [
          markup`<table class="list choice"><thead><tr><th scope="col">${capital(value)} from</th><th scope="col">to</th><th scope="col">fit</th></tr></thead><tbody>${rows.map(
            (row) => markup`<tr><td>${row.from}</td><td>${row.to}</td><td>${row.fit}</td></tr>`,
          )}</tbody></table>`,
        ]),
  ];
}

/** What the choice aims at, in words where it is not a number. */
function aimOf({ limits: { low, high, nominal }, unit, decimals }: PlanTolerance): string {
  if (nominal !== undefined) return writeAmount(nominal, unit, decimals);
  if (low === undefined || high === undefined) {
    const only = low ?? high;
    return only === undefined ? 'nominal' : writeAmount(only, unit, decimals);
  }
  const middle = { kind: low.kind, value: low.value.plus(high.value).times(HALF) };
  return writeAmount(middle, unit, decimals + 1);
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
