import type { Fact, InstrumentUsed, Plan } from '@ferrule/engine';
import { answerText, entryTitle, stepTitle } from './titles.ts';
import { writeVerdict } from './write-verdict.ts';

/** A fact in words, for a log. */
export function describeFact(plan: Plan, { fact }: Fact): string {
  switch (fact.kind) {
    case 'started':
      return `Job started: ${plan.procedure.title}, ${plan.variant.title}, ${fact.pack} ${fact.revision}. ${people(fact.persons)}`;
    case 'equipped':
      return `Instrument: ${writeInstrument(plan, fact.instrument)}`;
    case 'branched':
      return fact.decided.map((one) => `Decided: ${one.explanation}`).join('; ');
    case 'acknowledged':
      return `Hazards understood: ${fact.hazards.join(', ')}`;
    case 'done': {
      const together = fact.together === undefined ? '' : `, together with ${fact.together}`;
      const wrench = fact.instrument === undefined ? '' : `, with ${fact.instrument.identity}`;
      const picture = fact.photograph === undefined ? '' : `, picture ${fact.photograph.name}`;
      return `Done: ${stepTitle(plan, fact.step)}${together}${wrench}${picture}`;
    }
    case 'omitted':
      return `Does not apply: ${stepTitle(plan, fact.step)}: ${fact.reason}`;
    case 'reading': {
      const used = fact.instrument === undefined ? '' : `, with ${fact.instrument.identity}`;
      return `${entryTitle(plan, fact.entry)}: ${`${fact.digits} ${fact.unit}`.trim()}${used}`;
    }
    case 'observed':
      return `${entryTitle(plan, fact.entry)} ${answerText(plan, fact.entry, fact.answer)}`;
    case 'filled':
      return `${entryTitle(plan, fact.entry)}: ${fact.text}`;
    case 'identified':
      return `${entryTitle(plan, fact.entry)}: ${fact.identity}, ${parts[fact.part]}`;
    case 'judged':
      return writeVerdict(plan, fact.of, fact.verdict);
    case 'struck':
      return `Struck: fact ${fact.target}: ${fact.reason}`;
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

/** One line of a log: number, time, person, and the fact in words. */
export function writeFact(plan: Plan, fact: Fact): string {
  return `${String(fact.seq).padStart(5)}  ${fact.at.slice(11, 16)}  ${fact.by}  ${describeFact(plan, fact)}`;
}

const parts = {
  found: 'written down as found',
  own: 'belongs here',
  other: "another bore's",
  renewed: 'new',
} as const;

const people = (persons: readonly { readonly role: string; readonly person: string }[]): string =>
  `${persons.map((one) => `${one.role}: ${one.person}`).join(', ')}.`;

export function writeInstrument(plan: Plan, used: InstrumentUsed): string {
  const title = plan.instruments.find((one) => one.id === used.kind)?.title ?? used.kind;
  return `${title} ${used.identity}${used.due === undefined ? '' : `, calibrated until ${used.due}`}`;
}
