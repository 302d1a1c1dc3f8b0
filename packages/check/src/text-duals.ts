import {
  agreementRemedy,
  describeDisagreement,
  parseStatement,
  pointerTo,
  writeQuantity,
} from '@ferrule/engine';
import type { Finding, Subject } from './diagnostics/diagnostic-kind.ts';
import { proseOf } from './prose.ts';
import { dualsIn, type TextDual } from './text-quantities.ts';

export interface TextDualFault extends Finding {
  /** A temperature was converted as a difference of temperatures, or a difference as a temperature. */
  readonly isThermal: boolean;
}

/** Dual statements that do not agree where nothing reads them as values: in texts for people, and in unread facts. */
export function* textDualFaults({ pack }: Subject): Generator<TextDualFault> {
  for (const { text, pointer } of proseOf(pack))
    for (const dual of dualsIn(text)) yield* faultOf(dual, pointer);
  for (const [name, { facts = {} }] of Object.entries(pack.variants)) {
    for (const [fact, value] of Object.entries(facts))
      yield* valueFault(value, pointerTo('/variants', name, 'facts', fact));
  }
  for (const [name, instrument] of Object.entries(pack.instruments ?? {}))
    yield* valueFault(
      instrument['maximum-permissible-error'] ?? '',
      pointerTo('/instruments', name, 'maximum-permissible-error'),
    );
}

function* valueFault(text: string, pointer: string): Generator<TextDualFault> {
  if (!text.includes('(')) return;
  const read = parseStatement(text);
  if ('fault' in read || !('second' in read)) return;
  const { original, second, agreement } = read;
  yield* faultOf({ original, second, agreement, before: '' }, pointer);
}

/** What makes of `5 °C` a difference: `by 5 °C`, `within 5 °C`. */
const differs =
  /(?:\b(?:by|within|difference of|rise of|rises|drop of|drops|±|tolerance of|plus or minus)|±)\s*$/i;

function* faultOf(
  { original, second, agreement, before }: TextDual,
  pointer: string,
): Generator<TextDualFault> {
  const isDifference = original.kind === 'temperature' && differs.test(before);
  const [one, other] = [writeQuantity(original), writeQuantity(second)];
  if (agreement.agreement === 'agrees') {
    if (!isDifference || second.unit.factor.equals(original.unit.factor)) return;
    yield {
      isThermal: true,
      pointer,
      message: `${one} is a difference of temperatures here, and ${other} is what a temperature converts to.`,
      remedy: 'Convert a difference without the offset of the scale.',
    };
  } else if (agreement.reason === 'reversed') {
    yield {
      isThermal: false,
      pointer,
      message: `One of the two pairs that end in ${one} and ${other} runs backwards.`,
      remedy: 'Write both pairs from the lower value to the higher one.',
    };
  } else {
    const isThermal = agreement.reason === 'as-temperature' || agreement.reason === 'as-difference';
    if (isThermal && isDifference) return;
    yield {
      isThermal,
      pointer,
      message: describeDisagreement(original, second, agreement),
      remedy: agreementRemedy(original, second, agreement),
    };
  }
}
