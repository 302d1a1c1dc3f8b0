import {
  type InstrumentUsed,
  type Plan,
  type PlanTolerance,
  parseQuantity,
  type Sufficiency,
  spanKind,
  suitability,
} from '@ferrule/engine';
import type { InstrumentList, ListedInstrument } from './instrument-list.ts';
import { instrumentUsed } from './instrument-used.ts';

/** An instrument of the shop that can be taken for a kind, with what speaks for it and against it. */
export interface InstrumentOffer {
  readonly listed: ListedInstrument;
  readonly used: InstrumentUsed;
  /** Its calibration has run out, or it needs one and the list says none. */
  readonly isOverdue: boolean;
  /** The tolerances that it cannot judge at all, and those for which it is coarse; each once, whatever the bores. */
  readonly cannotJudge: readonly PlanTolerance[];
  readonly coarseFor: readonly PlanTolerance[];
}

/**
 * The instruments of a list that are of a kind, the best first: those in date before those that are not, then those that
 * suffice for what is judged by them, then the finer ones. `on` is an RFC 3339 time, in whose offset a day ends.
 */
export function instrumentsFor(
  plan: Plan,
  { instruments }: InstrumentList,
  kind: string,
  on: string,
): readonly InstrumentOffer[] {
  const declared = plan.instruments.find((one) => one.id === kind);
  const ranked = instruments.flatMap((listed) => {
    if (listed.kind !== kind || declared === undefined) return [];
    const used = instrumentUsed(kind, listed.written);
    const judged = suitability(plan, [used]).filter((one) => one.kinds.includes(kind));
    const of = (sufficiency: Sufficiency): readonly PlanTolerance[] =>
      onceEach(judged.flatMap((one) => (one.sufficiency === sufficiency ? [one.tolerance] : [])));
    const resolution = used.resolution ?? '';
    const offer = {
      listed,
      used,
      isOverdue: used.due === undefined ? declared.calibrated : used.due < on.slice(0, 10),
      cannotJudge: of('cannot-judge'),
      coarseFor: of('coarse'),
    };
    return [
      {
        offer,
        // What is not known is no better than what is coarse.
        unknown: of('unknown').length,
        fineness: [
          ...judged.map((one) => amountOf(one.expandedUncertainty ?? '', one.tolerance.unit.kind)),
          amountOf(resolution, declared.quantity) || declared.resolution.value.toNumber(),
        ],
      },
    ];
  });
  return ranked
    .sort(
      (a, b) =>
        Number(a.offer.isOverdue) - Number(b.offer.isOverdue) ||
        a.offer.cannotJudge.length - b.offer.cannotJudge.length ||
        a.offer.coarseFor.length + a.unknown - b.offer.coarseFor.length - b.unknown ||
        compareLists(a.fineness, b.fineness),
    )
    .map((one) => one.offer);
}

/** Tolerances that are written in one place, such as that of every bore, count once. */
export function onceEach(tolerances: readonly PlanTolerance[]): readonly PlanTolerance[] {
  const places = new Set<string>();
  return tolerances.filter(({ pointer }) => !places.has(pointer) && places.add(pointer));
}

function amountOf(text: string, kind: PlanTolerance['unit']['kind']): number {
  const read = parseQuantity(text, spanKind(kind));
  return 'quantity' in read ? read.quantity.value.toNumber() : 0;
}

function compareLists(a: readonly number[], b: readonly number[]): number {
  const differs = a.findIndex((one, place) => one !== b[place]);
  return differs < 0 ? 0 : (a[differs] ?? 0) - (b[differs] ?? 0);
}
