import type { DecisionRule } from '../measure/index.ts';
import { Rational } from '../quantity/index.ts';
import type { Tolerance } from './generated/document.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';

const HUNDRED = Rational.of(100);
const HALF = Rational.of(1, 2);
/** Where a pack says nothing: warned of from 10 % on, judged by 95 %, a guard band of once U, an index of 4. */
const WARN_ABOVE = Rational.of(1, 10);
const AT_LEAST = Rational.of(95, 100);

/** The key that says more about a rule, and the rules beside which it may stand. */
const belongings = {
  'guard-band': ['guarded-acceptance', 'guarded-rejection', 'guarded-both'],
  'at-least-probability': ['probability'],
  'warn-above': ['simple'],
} as const satisfies Partial<Record<keyof Tolerance, readonly string[]>>;

/** The decision rule of a tolerance with its numbers. A key that belongs to another rule, or says nothing, is reported. */
export function readRule(tolerance: Tolerance, pointer: string, report: Report): DecisionRule {
  const rule = tolerance.rule ?? 'simple';
  for (const [key, rules] of Object.entries(belongings)) {
    if (tolerance[key as keyof typeof belongings] === undefined || rules.some((one) => one === rule))
      continue;
    report.add('wrong-form', pointerTo(pointer, key), `${key} has no place beside rule: ${rule}.`, {
      marks: 'key',
      remedy: `Write rule: ${rules.join(', or rule: ')}; or take it out.`,
    });
  }
  switch (rule) {
    case 'simple': {
      const warnAbove = share(tolerance['warn-above']) ?? WARN_ABOVE;
      if (warnAbove.sign <= 0 || warnAbove.compare(HALF) >= 0)
        report.add(
          'wrong-form',
          pointerTo(pointer, 'warn-above'),
          'By the simple rule no verdict is likelier wrong than 50 %, and each is a little.',
          { remedy: 'Write a share between 0 % and 50 %, such as 10 %.' },
        );
      else finerThanGrid(warnAbove, pointerTo(pointer, 'warn-above'), report);
      return { rule, warnAbove };
    }
    case 'probability': {
      const atLeast = share(tolerance['at-least-probability']) ?? AT_LEAST;
      if (atLeast.compare(HALF) <= 0 || atLeast.compare(Rational.one) >= 0)
        report.add(
          'wrong-form',
          pointerTo(pointer, 'at-least-probability'),
          'Below 50 % a value outside its limits would conform, and 100 % is never reached.',
          { remedy: 'Write a share between them, such as 95 %.' },
        );
      else finerThanGrid(atLeast, pointerTo(pointer, 'at-least-probability'), report);
      return { rule, atLeast };
    }
    default: {
      const guardBand = leading(tolerance['guard-band']) ?? Rational.one;
      if (guardBand.sign === 0)
        report.add(
          'wrong-form',
          pointerTo(pointer, 'guard-band'),
          'A guard band of nothing guards nothing.',
          {
            remedy: 'Write 1 × U, or take the rule out.',
          },
        );
      return { rule, guardBand };
    }
  }
}

/** A probability is worked out in whole millionths: a share that is finer could not be kept as it is written. */
function finerThanGrid(share: Rational, pointer: string, report: Report): void {
  const millionths = share.times(Rational.of(1_000_000));
  if (!millionths.floor().equals(millionths))
    report.add('wrong-form', pointer, 'A probability is worked out in millionths, and this is finer.', {
      remedy: 'Write no more than four decimals, such as 99.9999 %.',
    });
}

/** The measurement capability index that a tolerance asks of its instruments. */
export function readCapability(tolerance: Tolerance, pointer: string, report: Report): Rational {
  const capability = leading(tolerance.capability) ?? Rational.of(4);
  if (capability.sign === 0)
    report.add(
      'wrong-form',
      pointerTo(pointer, 'capability'),
      'An index of zero asks nothing of an instrument.',
      {
        remedy: 'Usual practice is 4; 10 is comfortable. 1 is the least that can decide anything.',
      },
    );
  return capability.sign === 0 ? Rational.one : capability;
}

const leading = (text: string | undefined): Rational | undefined =>
  Rational.parse(/^[0-9.]+/.exec(text ?? '')?.[0] ?? '');
const share = (text: string | undefined): Rational | undefined => leading(text)?.over(HUNDRED);
