import { adviceOn, findEntry, type Job, type Plan, type WrittenVerdict } from '@ferrule/engine';
import { concededIn } from '../telling/conceded.ts';
import { derivationOf } from '../telling/derivation.ts';
import { struckBy } from '../telling/struck-by.ts';
import type { Telling } from '../telling/telling.ts';
import { answerText, nameOf } from '../telling/titles.ts';
import { judgedRows } from '../telling/verdict-rows.ts';
import { assessmentOf, reasons, toleranceOf, writeStandsOut } from '../telling/write-verdict.ts';
import { stripOf } from '../tolerance-strip.ts';
import { each, madeBy } from './card-facts.ts';
import type { CardState, CardVerdict } from './generated/card-document.ts';
import { boreIn, titleOf } from './readings.ts';

/** Every verdict in the order of giving: on tolerances, on answers, on serial numbers and on what is in stock. */
export function verdictsOf(telling: Telling, job: Job): readonly CardVerdict[] {
  const { plan } = telling;
  const { all } = judgedRows(plan, job.facts);
  const last = new Map<string, number>();
  for (const { fact, seq } of job.facts) if (fact.kind === 'judged') last.set(fact.of, seq);
  const conceded = concededIn(job);
  return each(job.facts, 'judged', (fact, envelope): CardVerdict => {
    const { of, verdict } = fact;
    const by = struckBy(plan, job.facts, envelope);
    const isLast = last.get(of) === envelope.seq;
    const state: CardState = by !== undefined ? 'struck' : isLast ? 'counts' : 'superseded';
    const advice = state === 'counts' ? adviceOn(plan, job, fact) : undefined;
    const row = all.get(envelope.seq);
    return {
      ...madeBy(envelope),
      name: of,
      ...titled(plan, of),
      ...judgedValue(telling, of, verdict, envelope.seq),
      ...distances(verdict),
      ...assessed(plan, verdict),
      ...(advice === undefined ? {} : { advice }),
      ...(row === undefined || row.instruments.length === 0 ? {} : { instruments: row.instruments }),
      ...(row?.carried === undefined ? {} : { carried: row.carried }),
      ...(conceded.has(envelope.seq) ? { conceded: true } : {}),
      state,
      ...(by === undefined ? {} : { struckBy: by }),
    };
  });
}

/** The title of what is judged, and its bore. */
function titled(plan: Plan, of: string): { readonly title: string; readonly bore?: number } {
  const tolerance = toleranceOf(plan, of);
  const stock = plan.selections.find((one) => one.name === of)?.stock;
  const entry = plan.entries[findEntry(plan, of) ?? -1];
  const at = /@(\d+)$/.exec(of)?.[1];
  const bore = entry?.bore ?? (at === undefined ? undefined : Number(at));
  const part = of.includes('.') ? `${nameOf(of.slice(0, of.lastIndexOf('.')))}: ` : '';
  const title = tolerance !== undefined ? `${part}${tolerance.title}` : (stock?.title ?? titleOf(plan, of));
  return { title, ...boreIn(bore) };
}

function judgedValue(
  telling: Telling,
  of: string,
  verdict: WrittenVerdict,
  seq: number,
): Pick<CardVerdict, 'value' | 'limits' | 'low' | 'high' | 'derivation' | 'strip' | 'chosen'> {
  const { plan } = telling;
  const tolerance = toleranceOf(plan, of);
  const chosen = 'chosen' in verdict ? verdict.chosen : undefined;
  if (tolerance === undefined) {
    const said = {
      ...(verdict.value === undefined ? {} : { value: answerText(plan, of, verdict.value) }),
      ...(verdict.limits === undefined ? {} : { limits: verdict.limits }),
    };
    if (chosen === undefined) return said;
    const what = chosen.stays === true ? `${chosen.fitted} stays` : chosen.sizes.join(' + ');
    return { ...said, chosen: `${what}, and the value is then ${chosen.predicted}` };
  }
  const strip = stripOf(tolerance, verdict);
  const derivation = derivationOf(telling, tolerance, seq);
  return {
    ...(verdict.value === undefined ? {} : { value: verdict.value }),
    ...(verdict.limits === undefined ? {} : { limits: verdict.limits }),
    ...(strip?.low === undefined ? {} : { low: strip.low.text }),
    ...(strip?.high === undefined ? {} : { high: strip.high.text }),
    ...(derivation === undefined ? {} : { derivation: `${derivation.name} = ${derivation.withValues}` }),
    ...(strip === undefined ? {} : { strip }),
  };
}

function distances(
  verdict: WrittenVerdict,
): Pick<CardVerdict, 'verdict' | 'side' | 'margin' | 'excess' | 'because'> {
  switch (verdict.verdict) {
    case 'conforming':
      return {
        verdict: verdict.verdict,
        ...(verdict.margin === undefined ? {} : { margin: verdict.margin }),
      };
    case 'nonconforming':
      return {
        verdict: verdict.verdict,
        ...(verdict.side === undefined ? {} : { side: verdict.side }),
        ...(verdict.excess === undefined ? {} : { excess: verdict.excess }),
        ...(verdict.because === undefined ? {} : { because: verdict.because }),
      };
    case 'inconclusive':
      return { verdict: verdict.verdict, because: reasons[verdict.because] };
  }
}

function assessed(plan: Plan, verdict: WrittenVerdict): Partial<CardVerdict> {
  const assessment = assessmentOf(verdict);
  const odd = verdict.standsOut === undefined ? '' : writeStandsOut(plan, verdict.standsOut);
  return {
    ...(assessment === undefined
      ? {}
      : {
          uncertainty: assessment.expandedUncertainty,
          coverageFactor: assessment.coverageFactor,
          probability: assessment.probability,
          rule: assessment.rule,
          ...(assessment.acceptance === undefined ? {} : { acceptance: assessment.acceptance }),
          ...(assessment.doubtful === true ? { doubtful: true } : {}),
        }),
    ...(odd === '' ? {} : { standsOut: odd.replace(/^; /, '') }),
  };
}

/** A verdict in a few words, for a line that it led to. */
export function shortVerdict(plan: Plan, of: string, verdict: WrittenVerdict): string {
  const { title, bore } = titled(plan, of);
  const place = bore === undefined ? '' : `, bore ${bore}`;
  const value = verdict.value === undefined ? '' : `: ${answerText(plan, of, verdict.value)}`;
  const side =
    verdict.verdict === 'nonconforming' && verdict.side !== undefined ? `, too ${verdict.side}` : '';
  const limits = verdict.limits === undefined ? '' : `; limits ${verdict.limits}`;
  return `${title}${place}${value}, ${verdict.verdict}${side}${limits}`;
}
