import type { Fact, Plan } from '@ferrule/engine';
import { answerText, entryTitle, indicationText, readingText, stepPlace } from '@ferrule/print';

/** What was entered or done, in a few words; undefined for facts that say nothing of the kind. */
export function factWords(plan: Plan, { fact, by }: Fact): string | undefined {
  switch (fact.kind) {
    case 'reading':
      return `${entryTitle(plan, fact.entry)}: ${readingText(fact) ?? indicationText(fact)}`;
    case 'carried':
      return `${entryTitle(plan, fact.entry)}: ${readingText(fact) ?? ''}, taken over`;
    case 'observed':
      return `${entryTitle(plan, fact.entry)}: ${answerText(plan, fact.entry, fact.answer)}`;
    case 'filled':
      return `${entryTitle(plan, fact.entry)}: ${fact.text}`;
    case 'identified':
      return `${entryTitle(plan, fact.entry)}: ${fact.identity}`;
    case 'done':
    case 'referred':
      return `Done: ${stepPlace(plan, fact.step)}`;
    case 'struck':
      return `Struck, and kept in the record: ${fact.reason}`;
    case 'noted':
      return `Note kept: ${fact.text}`;
    case 'released':
      return `${fact.by === 'concession' ? 'Concession' : 'Released'} by ${by}: ${fact.reason}`;
    default:
      return undefined;
  }
}
