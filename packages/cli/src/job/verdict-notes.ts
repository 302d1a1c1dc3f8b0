import {
  adviceOn,
  type FactBody,
  type InstrumentUsed,
  type Job,
  type Plan,
  type PlanTolerance,
} from '@ferrule/engine';
import { entryTitle, stripLegend, stripLine, stripOf, toleranceOf } from '@ferrule/print';
import { width, wrap } from '../terminal/wrap.ts';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/**
 * What stands below a verdict that is not clear: where the value lies, and what to do about it. Nothing below a clear one
 * that conforms. `job` is the one that the fact has just been added to; `atHand` are instruments that are not in use yet.
 */
export function verdictNotes(
  plan: Plan,
  job: Job,
  fact: Judged,
  margin: string,
  atHand: readonly InstrumentUsed[] = [],
): readonly string[] {
  const tolerance = toleranceOf(plan, fact.of);
  if (tolerance === undefined || isClear(fact)) return [];
  const strip = stripOf(tolerance, fact.verdict);
  const first = job.facts.find(({ fact: one }) => one.kind === 'judged' && !isClear(one));
  const advice = adviceOn(plan, { ...job, instruments: [...job.instruments, ...atHand] }, fact);
  const better = atHand.find(({ identity }) => advice?.endsWith(` again with ${identity}.`));
  const how = better === undefined ? '' : ` equip ${better.identity} takes it into use.`;
  return [
    ...(strip === undefined ? [] : [`${margin}${stripLine(strip, width() - margin.length)}`]),
    // The signs are explained below the first one.
    ...(strip === undefined || first?.fact !== fact ? [] : [wrap(stripLegend(strip), margin)]),
    ...(advice === undefined ? [] : [wrap(`${advice}${how}`, margin)]),
    ...(advice === undefined ? [] : readingAgain(plan, job, tolerance).map((one) => wrap(one, margin))),
  ];
}

/** How what was read is opened again, which is a way from a verdict that conforms as well: by the numbers of its facts. */
function readingAgain(plan: Plan, job: Job, { entries }: PlanTolerance): readonly string[] {
  const numbers = entries.flatMap((index) => {
    const taken = job.taken[index];
    return taken?.entry === 'reading' ? [{ seq: taken.seq, name: plan.entries[index]?.name ?? '' }] : [];
  });
  if (numbers.length === 0) return [];
  const [only] = numbers.length === 1 ? numbers : [];
  return [
    only === undefined
      ? `To read again, strike NUMBER REASON first: ${numbers.map(({ seq, name }) => `${seq} is ${entryTitle(plan, name, 40)}`).join(', ')}.`
      : `To read again, strike ${only.seq} REASON first.`,
  ];
}

const isClear = ({ verdict }: Judged): boolean =>
  verdict.verdict === 'conforming' && verdict.assessment?.doubtful !== true;
