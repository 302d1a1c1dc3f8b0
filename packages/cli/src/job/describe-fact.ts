import type { Fact, FactBody, InstrumentUsed, Plan } from '@ferrule/engine';
import {
  answerText,
  carriedText,
  entryTitle,
  indicationText,
  partWords,
  repeatsText,
  roleTitle,
  stepTitle,
  struckBy,
  type Telling,
  whyAllowed,
  writeVerdict,
} from '@ferrule/print';
import { wrap } from '../terminal/wrap.ts';
import { withOverlay } from './heading.ts';
import { worthSaying } from './write-setting.ts';

function saysUsedUp(plan: Plan, { stock, size, back }: Extract<FactBody, { kind: 'out-of-stock' }>): string {
  const title = plan.selections.find((one) => one.stock.id === stock)?.stock.title ?? stock;
  return `${back ? 'In stock again' : 'Out of stock'}: ${title}, ${size}`;
}

const heldText = (throughout: readonly string[] = []): string =>
  throughout.length === 0 ? '' : `; held throughout: ${throughout.join('; ')}`;

/** A fact in words, for a log. */
export function describeFact(telling: Telling, { seq, at, fact }: Fact): string {
  const { plan } = telling;
  switch (fact.kind) {
    case 'started':
      return `Job started: ${plan.procedure.title}, ${plan.variant.title}, ${fact.pack} ${fact.revision}${withOverlay(plan.pack.overlay)}. ${people(plan, fact.persons)}.`;
    case 'equipped':
      return `Instrument: ${writeInstrument(plan, fact.instrument)}`;
    case 'allowed':
      return `Allowed: ${fact.instrument}, ${whyAllowed(fact.because)}: ${fact.reason}`;
    case 'out-of-stock':
      return saysUsedUp(plan, fact);
    case 'joined':
      return `Joined: ${fact.person}, ${roleTitle(plan, fact.role)}`;
    case 'branched':
      return fact.decided.map((one) => `Decided: ${one.explanation}`).join('; ');
    case 'acknowledged':
      return `Hazards understood: ${fact.hazards.map((one) => one.replaceAll('-', ' ')).join(', ')}`;
    case 'done': {
      const together = fact.together === undefined ? '' : `, together with ${fact.together}`;
      const wrench = fact.instrument === undefined ? '' : `, with ${fact.instrument.identity}`;
      const picture = fact.photograph === undefined ? '' : `, picture ${fact.photograph.name}`;
      const settings = worthSaying(fact.settings ?? []).map((one) => `${one.set} for ${one.torque}`);
      const set = settings.length === 0 ? '' : `, set to ${settings.join(', then ')}`;
      return `Done: ${stepTitle(plan, fact.step)}${together}${wrench}${set}${picture}`;
    }
    case 'referred': {
      const together = fact.together === undefined ? '' : `, together with ${fact.together}`;
      return `Next: ${fact.title} (pack ${fact.pack})${together}`;
    }
    case 'omitted':
      return `Does not apply: ${stepTitle(plan, fact.step)}: ${fact.reason}`;
    case 'reading': {
      const used = fact.instrument === undefined ? '' : `, with ${fact.instrument.identity}`;
      const which = fact.repeat === undefined ? '' : `, reading ${fact.repeat}`;
      return `${entryTitle(plan, fact.entry)}${which}: ${indicationText(fact)}${used}${repeatsText(plan, fact)}${heldText(fact.throughout)}`;
    }
    case 'carried':
      return `${entryTitle(plan, fact.entry)}: ${carriedText(fact, at)}`;
    case 'observed':
      return `${entryTitle(plan, fact.entry)} ${answerText(plan, fact.entry, fact.answer)}`;
    case 'filled':
      return `${entryTitle(plan, fact.entry)}: ${fact.text}`;
    case 'identified':
      return `${entryTitle(plan, fact.entry)}: ${fact.identity}, ${partWords[fact.part]}`;
    case 'judged':
      return writeVerdict(telling, fact.of, fact.verdict, seq);
    case 'struck': {
      const what = fact.entry === undefined ? stepTitle(plan, fact.step) : entryTitle(plan, fact.entry);
      const also = fact.also === undefined ? '' : `, and with it ${fact.also.join(', ')}`;
      return `Struck: fact ${fact.target}${also} (${what}): ${fact.reason}`;
    }
    case 'held':
      return `HOLD: ${fact.text}`;
    case 'released':
      return `Hold released by ${fact.by}: ${fact.reason}`;
    case 'witnessed':
      return `Witnessed: ${stepTitle(plan, fact.step)}`;
    case 'noted':
      return `Note: ${fact.text}`;
    case 'parked':
      return `Parked: ${fact.reason}`;
    case 'resumed':
      return 'Resumed';
    case 'closed':
      return fact.finished ? 'Job closed' : `Job closed unfinished: ${fact.reason ?? ''}`;
  }
}

/**
 * Facts as lines of a log, wrapped: number, time, person, and the fact in words. A fact that was struck says so, and a
 * line with the date stands before the first fact and wherever a day begins.
 */
export class FactLog {
  #day = '';

  write(telling: Telling, fact: Fact): string {
    const day = fact.at.slice(0, 10);
    const date = day === this.#day ? [] : [`       ${day}`];
    this.#day = day;
    const by = struckBy(telling.plan, telling.facts, fact);
    const struck = by === undefined ? '' : `STRUCK by fact ${by}: `;
    const head = `${String(fact.seq).padStart(5)}  ${fact.at.slice(11, 16)}  `;
    return [
      ...date,
      wrap(`${struck}${describeFact(telling, fact)}`, `${head}${fact.by}  `, ' '.repeat(head.length)),
    ].join('\n');
  }
}

export const people = (
  plan: Plan,
  persons: readonly { readonly role: string; readonly person: string }[],
): string => persons.map((one) => `${roleTitle(plan, one.role)}: ${one.person}`).join(', ');

export function writeInstrument(plan: Plan, used: InstrumentUsed): string {
  const title = plan.instruments.find((one) => one.id === used.kind)?.title ?? used.kind;
  const due = used.due === undefined ? '' : `, calibrated until ${used.due}`;
  const length = used.length === undefined ? '' : `, ${used.length} long`;
  return `${title} ${used.identity}${due}${length}`;
}
