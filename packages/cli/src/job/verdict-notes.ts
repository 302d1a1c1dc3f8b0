import { adviceOn, type FactBody, type InstrumentUsed, type Job, type Plan } from '@ferrule/engine';
import { stripLegend, stripLine, stripOf } from '@ferrule/print';
import { width, wrap } from '../terminal/wrap.ts';
import { toleranceOf } from './write-verdict.ts';

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
  ];
}

const isClear = ({ verdict }: Judged): boolean =>
  verdict.verdict === 'conforming' && verdict.assessment?.doubtful !== true;
