import { type Beyond, type Instrument, judgeBound } from '../measure/index.ts';
import type { Plan } from '../model/plan.ts';
import { type Quantity, writeQuantity } from '../quantity/index.ts';
import type { Refusal } from './refusal.ts';
import { plausibleText, type ReadingEntry } from './repeats.ts';

const signs: ReadonlyMap<string | undefined, Beyond | undefined> = new Map([
  ['>', 'above'],
  ['\uff1e', 'above'],
  ['<', 'below'],
  ['\uff1c', 'below'],
  ['≥', undefined],
  ['≤', undefined],
]);

/**
 * What was typed of a value beyond the scale, such as `> 400 bar`: on which side, and the rest of it. Undefined where no
 * sign stands before it. `≥` and `≤` have no side: a pointer at the end of the scale shows a value, or is beyond it.
 */
export function readBeyond(
  typed: string,
): { readonly beyond: Beyond | undefined; readonly rest: string } | undefined {
  const text = typed.trimStart();
  const sign = text[0];
  if (/^[<>]=/.test(text)) return { beyond: undefined, rest: text.slice(2) };
  return signs.has(sign) ? { beyond: signs.get(sign), rest: text.slice(1) } : undefined;
}

const writeBeyond = (beyond: Beyond, quantity: Quantity): string =>
  `${beyond === 'above' ? '>' : '<'} ${writeQuantity(quantity)}`;

/**
 * Why a bound cannot stand for what lies beyond the scale: it has to be the end of the range that is used. Inside, the
 * value itself is there to be read; further out, the instrument shows nothing that could tell.
 */
export function wrongEnd(
  instrument: Instrument | undefined,
  identity: string,
  beyond: Beyond,
  bound: Quantity,
  about: string,
): Refusal | undefined {
  if (instrument === undefined) {
    return {
      code: 'beyond-scale',
      message: 'This is read without an instrument, so there is no scale to be beyond.',
      remedy: 'Enter the value.',
      about,
    };
  }
  const end = instrument.range[beyond === 'above' ? 1 : 0];
  const side = bound.value.compare(end.value);
  if (side === 0) return undefined;
  const isInside = side < 0 === (beyond === 'above');
  return {
    code: 'beyond-scale',
    message: isInside
      ? `${identity} shows values as far as ${writeQuantity(end)}, so what lies beyond ${writeQuantity(bound)} can be read.`
      : `${identity} shows nothing beyond ${writeQuantity(end)}, so it cannot tell what lies beyond ${writeQuantity(bound)}.`,
    remedy: `Enter the value that it shows; if it is at the end of its range and past it, write ${writeBeyond(beyond, end)}.`,
    about,
  };
}

/** Why a value beyond a scale that ends there cannot be plausible, or would leave something undecided; or undefined. */
export function undecidedBeyond(
  plan: Plan,
  index: number,
  entry: ReadingEntry,
  beyond: Beyond,
  end: Quantity,
): Refusal | undefined {
  const about = entry.name;
  const said = writeBeyond(beyond, end);
  const [low, high] = entry.plausible;
  const [from, to] = plausibleText(plan, entry);
  const isPossible =
    beyond === 'above' ? end.value.compare(high.value) < 0 : end.value.compare(low.value) > 0;
  if (!isPossible || entry.circle !== undefined) {
    return {
      code: 'implausible',
      message: `${said} cannot be right here: ${entry.title} lies between ${from} and ${to}.`,
      remedy:
        'Look at the instrument and its zero, and read again. If it stays so, leave a note and ask the lead.',
      about,
    };
  }
  const open =
    entry.decides.length > 0 ? 'how what comes next comes out' : undecidedAt(plan, index, beyond, end);
  return open === undefined
    ? undefined
    : {
        code: 'beyond-scale',
        message: `With ${said} it is not known ${open}.`,
        remedy: 'Read it with an instrument that reaches further.',
        about,
      };
}

const comesOut = (title: string): string => `how ${title} comes out`;

/** What such a value leaves undecided first: a setting, or a tolerance at a step which does not say what follows then. */
function undecidedAt(plan: Plan, index: number, beyond: Beyond, end: Quantity): string | undefined {
  // A running torque is added to a torque, and for that it has to have a value.
  const isAdded = plan.nodes.some(
    (node) => node.node === 'step' && node.act?.act === 'tighten' && node.act.running === index,
  );
  if (isAdded) return 'what the wrench is to be set to';
  for (const at of plan.entries[index]?.judgedBy ?? []) {
    const node = plan.nodes[at];
    const check = node?.node === 'step' ? node.check : undefined;
    // What is chosen from stock is reckoned from values.
    if (check?.check === 'stock') return comesOut(plan.selections[check.selection]?.stock.title ?? '');
    if (check?.check !== 'tolerance' || check.inconclusive !== undefined) continue;
    const tolerance = plan.tolerances[check.tolerance];
    if (tolerance === undefined) continue;
    const isDirect =
      tolerance.value.node === 'name' &&
      tolerance.limitsFrom === undefined &&
      tolerance.rule.rule === 'simple';
    const verdict = isDirect ? judgeBound(tolerance.limits, { beyond, amount: end }).verdict : 'inconclusive';
    if (verdict === 'inconclusive') return comesOut(tolerance.title);
  }
  return undefined;
}
