import {
  isKind,
  type Kind,
  type PermissibleError,
  parsePermissibleError,
  parseStatement,
  type Quantity,
  Rational,
  spanKind,
} from '@ferrule/engine';
import { inside, itemsOf, type Placed, textOf } from './placed.ts';

/**
 * In what an instrument is worse than another one for a reading; undefined when in nothing. All that the other states is
 * looked at; where two ways of stating an error cannot be compared, it counts as worse.
 */
export function worseIn(before: Placed, now: Placed, reading: Placed): string | undefined {
  const kind = textOf(inside(before, 'quantity'));
  if (!isKind(kind) || textOf(inside(now, 'quantity')) !== kind) return 'it measures something else';
  const [was, is] = [rangeOf(before, kind), rangeOf(now, kind)];
  const [least, most] = itemsOf(inside(reading, 'plausible')).map((one) => quantityOf(one, kind));
  if (was === undefined || is === undefined || least === undefined || most === undefined)
    return 'its range is not known';
  const lowest = was[0].value.compare(least.value) < 0 ? least : was[0];
  const highest = was[1].value.compare(most.value) > 0 ? most : was[1];
  if (is[0].value.compare(lowest.value) > 0 || is[1].value.compare(highest.value) < 0)
    return 'its range does not reach as far';
  const steps = [before, now].map((one) => quantityOf(inside(one, 'resolution'), spanKind(kind)));
  if (isMore(steps[1]?.value, steps[0]?.value)) return 'it shows larger steps';
  if (inside(before, 'calibrated') !== undefined && inside(now, 'calibrated') === undefined)
    return 'it need not be calibrated';
  for (const key of ['if-overdue', 'if-beyond-range']) {
    const allowed = inside(now, key);
    if (allowed !== undefined && !isSame(allowed, inside(before, key)))
      return `who may allow it all the same is another (${key})`;
  }
  return (
    worseInError(before, now, kind, was, is) ??
    worseInCalibration(before, now, kind) ??
    (isSame(inside(before, 'torque-class'), inside(now, 'torque-class'))
      ? undefined
      : 'it is of another type or class')
  );
}

const isSame = (one: Placed | undefined, other: Placed | undefined): boolean =>
  JSON.stringify(one?.value) === JSON.stringify(other?.value);

/** Whether a value lies above another, or one of both is missing. */
const isMore = (value: Rational | undefined, than: Rational | undefined): boolean =>
  value === undefined || than === undefined || value.compare(than) > 0;

function quantityOf(placed: Placed | undefined, kind: Kind): Quantity | undefined {
  const read = parseStatement(textOf(placed), kind);
  return 'original' in read ? read.original : undefined;
}

type Range = readonly [Quantity, Quantity];

function rangeOf(instrument: Placed, kind: Kind): Range | undefined {
  const [low, high] = itemsOf(inside(instrument, 'range')).map((one) => quantityOf(one, kind));
  return low === undefined || high === undefined ? undefined : [low, high];
}

function errorOf(instrument: Placed, kind: Kind, range: Range): PermissibleError | undefined {
  const text = textOf(inside(instrument, 'maximum-permissible-error'));
  return text === '' ? undefined : parsePermissibleError(text, kind, range);
}

/** By how far it may be off, as a whole, in what its readings share, and in what they do not. */
function worseInError(
  before: Placed,
  now: Placed,
  kind: Kind,
  rangeBefore: Range,
  rangeNow: Range,
): string | undefined {
  const [was, is] = [errorOf(before, kind, rangeBefore), errorOf(now, kind, rangeNow)];
  if (was === undefined)
    // Of what says nothing of its error, nothing is better; beside a certificate an error would be added to it.
    return is !== undefined && inside(before, 'calibration') !== undefined
      ? 'it states a maximum permissible error besides'
      : undefined;
  if (is === undefined) return 'it states no maximum permissible error';
  if (is.fixed.compare(was.fixed) > 0 || is.share.compare(was.share) > 0) return 'it may be further off';
  if (inside(before, 'common-error') === undefined) return undefined;
  const [shared, now_] = [before, now].map(
    (one) => quantityOf(inside(one, 'common-error'), spanKind(kind))?.value,
  );
  const rest = (error: PermissibleError, common: Rational | undefined) => common && error.fixed.minus(common);
  return isMore(now_, shared) || isMore(rest(is, now_), rest(was, shared))
    ? 'its readings may share another part of the error (common-error)'
    : undefined;
}

function worseInCalibration(before: Placed, now: Placed, kind: Kind): string | undefined {
  const [was, is] = [inside(before, 'calibration'), inside(now, 'calibration')];
  if (was === undefined)
    return is !== undefined && inside(before, 'maximum-permissible-error') !== undefined
      ? 'it states a calibration besides'
      : undefined;
  if (is === undefined) return 'it states no calibration';
  if (isMore(standardOf(is, kind), standardOf(was, kind))) return 'its calibration is less certain';
  const [had, has] = [was, is].map((one) => Rational.parse(textOf(inside(one, 'degrees-of-freedom'))));
  return has !== undefined && isMore(had, has) ? 'its calibration has fewer degrees of freedom' : undefined;
}

/** The expanded uncertainty of a certificate by its coverage factor. */
function standardOf(calibration: Placed, kind: Kind): Rational | undefined {
  const expanded = quantityOf(inside(calibration, 'expanded-uncertainty'), spanKind(kind));
  const factor = Rational.parse(textOf(inside(calibration, 'coverage-factor')));
  return factor === undefined || factor.sign <= 0 ? undefined : expanded?.value.over(factor);
}
