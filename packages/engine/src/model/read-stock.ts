import { MOST_IN_STACK, MOST_SIZES, MOST_TOTALS, spanKind, stacksOf } from '../measure/index.ts';
import { convert, type Kind, type Quantity, Rational, writeQuantity } from '../quantity/index.ts';
import type { Pack, Stock } from './generated/document.ts';
import type { PlanStock } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readPackQuantity } from './read-quantity.ts';
import type { Report } from './report.ts';

/** A stock of the pack with its sizes in order; undefined, with a diagnostic, when something is wrong with it. */
export function readStock(id: string, pack: Pack, pointer: string, report: Report): PlanStock | undefined {
  const declared = pack.stock ?? {};
  const stock = Object.hasOwn(declared, id) ? declared[id] : undefined;
  if (stock === undefined) {
    report.unknown('stock', id, Object.keys(declared), pointer);
    return undefined;
  }
  report.use('stock', id);
  const where = pointerTo('/stock', id);
  const kind: Kind = stock.quantity;
  const read = (text: string, ...keys: (string | number)[]): Quantity | undefined =>
    readPackQuantity(text, kind, pointerTo(where, ...keys), report);
  const sizes = sizesOf(stock, read, where, report);
  const error = stock['maximum-permissible-error'];
  const at = pointerTo(where, 'maximum-permissible-error');
  const permissibleError = error && readPackQuantity(error, spanKind(kind), at, report);
  if (permissibleError && permissibleError.value.sign < 0)
    report.add('wrong-value', at, 'A maximum permissible error has no sign of its own.');
  const [least, greatest] = (stock.total ?? []).map((text, place) => read(text, 'total', place));
  if (least && greatest && least.value.compare(greatest.value) > 0)
    report.add(
      'reversed-pair',
      pointerTo(where, 'total'),
      'The smallest total must stand before the largest.',
    );
  const [first] = sizes ?? [];
  if (sizes === undefined || first === undefined || report.hasErrorAt(where)) return undefined;
  const most = Number(stock.stack ?? 1);
  const made: PlanStock = {
    id,
    title: stock.title,
    kind,
    sizes,
    most,
    unit: first.unit,
    decimals: Math.max(...sizes.map((one) => one.decimals)),
    pointer: where,
    ...(least === undefined ? {} : { least }),
    ...(greatest === undefined ? {} : { greatest }),
    ...(permissibleError ? { permissibleError } : {}),
  };
  const stacks = stacksOf(
    sizes.map((one) => one.value),
    most,
    { ...(least && { least: least.value }), ...(greatest && { greatest: greatest.value }) },
  );
  if (stacks !== undefined && stacks.length > 0) return made;
  const says =
    stacks === undefined
      ? `Up to ${most} of these sizes come to more than ${MOST_TOTALS} different totals.`
      : `No stack of up to ${most} of these sizes comes to a total between ${stock.total?.join(' and ')}.`;
  report.add('bad-stock', pointerTo(where, stacks === undefined ? 'stack' : 'total'), says, {
    remedy:
      stacks === undefined
        ? `Allow fewer in one stack (${MOST_IN_STACK} is the most), or list only the sizes that are kept.`
        : 'Correct the total, or the sizes.',
  });
  return undefined;
}

type Read = (text: string, ...keys: (string | number)[]) => Quantity | undefined;

function sizesOf(
  { sizes }: Stock,
  read: Read,
  where: string,
  report: Report,
): readonly Quantity[] | undefined {
  const at = pointerTo(where, 'sizes');
  if (!Array.isArray(sizes)) return 'from' in sizes ? steps(sizes, read, at, report) : undefined;
  const all = sizes.map((text: string, place) => read(text, 'sizes', place));
  if (!all.every((one) => one !== undefined)) return undefined;
  all.forEach((size, place) => {
    const before = all[place - 1];
    if (size.value.sign <= 0)
      report.add('bad-stock', pointerTo(at, place), `${writeQuantity(size)} is no size of a piece.`);
    else if (before !== undefined && size.value.compare(before.value) <= 0)
      report.add(
        'bad-stock',
        pointerTo(at, place),
        size.value.equals(before.value)
          ? `${writeQuantity(size)} stands there twice.`
          : `${writeQuantity(size)} stands after ${writeQuantity(before)}.`,
        { remedy: 'Write each size once, the smallest first, and look whether all are meant.' },
      );
  });
  return all;
}

/** Sizes in equal steps. They have as many decimals as the values that they are made from. */
function steps(
  written: { readonly from: string; readonly to: string; readonly by: string },
  read: Read,
  at: string,
  report: Report,
): readonly Quantity[] | undefined {
  const from = read(written.from, 'sizes', 'from');
  const to = read(written.to, 'sizes', 'to');
  const by = read(written.by, 'sizes', 'by');
  if (from === undefined || to === undefined || by === undefined) return undefined;
  const refuse = (key: string, says: string, remedy: string): undefined => {
    report.add('bad-stock', pointerTo(at, key), says, { remedy });
    return undefined;
  };
  const [first, last, step] = [writeQuantity(from), writeQuantity(to), writeQuantity(by)];
  if (from.value.sign <= 0)
    return refuse('from', `${first} is no size of a piece.`, 'Write the smallest size.');
  if (by.value.sign <= 0)
    return refuse('by', `${step} leads to no larger size.`, 'Write the step, above zero.');
  const count = to.value.minus(from.value).over(by.value);
  if (count.sign < 0) return refuse('to', `${last} lies below ${first}.`, 'Write the smallest size first.');
  if (!count.floor().equals(count))
    return refuse(
      'by',
      `From ${first}, steps of ${step} do not come to ${last}.`,
      'Correct one of the three.',
    );
  if (count.compare(Rational.of(MOST_SIZES)) >= 0)
    return refuse('by', `These are more than ${MOST_SIZES} sizes.`, 'Look whether the step is meant.');
  const decimals = Math.max(from.decimals, by.decimals);
  return Array.from({ length: Number(count.toDecimal(0)) + 1 }, (_, place) =>
    convert(
      { kind: from.kind, value: from.value.plus(by.value.times(Rational.of(place))) },
      from.unit,
      decimals,
    ),
  );
}
