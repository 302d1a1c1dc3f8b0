import { type InstrumentList, type InstrumentOffer, instrumentsFor } from '@ferrule/check';
import type { Plan, PlanInstrument } from '@ferrule/engine';
import { tolerancesNamed } from '@ferrule/print';
import { writeTime } from './occasion.ts';

/** What the shop's list has of a kind today, the best first; nothing without a list. */
export const offeredOf = (
  plan: Plan,
  list: InstrumentList | undefined,
  kind: string,
): readonly InstrumentOffer[] =>
  list === undefined ? [] : instrumentsFor(plan, list, kind, writeTime(new Date()));

/** One instrument of the list in a line: `DI-04, until 2099-12-31; too coarse for Set point`. */
export function writeOffered(
  { calibrated }: Pick<PlanInstrument, 'calibrated'>,
  { listed, used, isOverdue, cannotJudge, coarseFor }: InstrumentOffer,
): string {
  const title = listed.title === undefined ? '' : ` ${listed.title}`;
  const due =
    used.due === undefined
      ? calibrated
        ? ', NO DUE DATE in the list'
        : ''
      : isOverdue
        ? `, OVERDUE since ${used.due}`
        : `, until ${used.due}`;
  const doubts = [
    ...(cannotJudge.length === 0 ? [] : [`cannot judge ${tolerancesNamed(cannotJudge)}`]),
    ...(coarseFor.length === 0 ? [] : [`coarse for ${tolerancesNamed(coarseFor)}`]),
  ];
  return `${used.identity}${title}${due}${doubts.map((one) => `; ${one}`).join('')}`;
}
