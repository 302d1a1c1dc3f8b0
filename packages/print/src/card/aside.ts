import { type Fact, failing, type Job, type Plan, referrals, type Setting } from '@ferrule/engine';
import { whyAllowed } from '../telling/concessions.ts';
import { indicationText } from '../telling/reading-text.ts';
import { struckBy } from '../telling/struck-by.ts';
import type { Telling } from '../telling/telling.ts';
import { answerText, entryTitle, nameOf, roleTitle, stepPlace, stepTitle } from '../telling/titles.ts';
import { each, madeBy, type Of } from './card-facts.ts';
import type {
  CardConcession,
  CardHold,
  CardNext,
  CardOmitted,
  CardPhotograph,
  CardStruck,
  CardTightened,
  CardWitness,
} from './generated/card-document.ts';
import { boreIn } from './readings.ts';
import { shortVerdict } from './verdicts.ts';

/** Each hold with the way in which it was released. */
export const holdsOf = (plan: Plan, { facts }: Job): readonly CardHold[] =>
  each(facts, 'held', (fact, { seq, at }): CardHold => {
    const after = facts.slice(seq);
    const next = after.findIndex(({ fact: one }) => one.kind === 'held');
    const until = next < 0 ? after : after.slice(0, next);
    const [release] = each(until, 'released', (one, envelope) => ({
      ...{ how: one.by, reason: one.reason },
      ...madeBy(envelope),
    }));
    return {
      text: fact.text,
      step: stepPlace(plan, fact.step),
      safety: plan.holds.find((one) => one.id === fact.hold)?.safety === true,
      ...{ at, seq },
      ...(release === undefined ? {} : { release }),
    };
  });

/** What was accepted although it did not conform, and instruments that were used although they would be refused. */
export function concessionsIn(plan: Plan, job: Job): readonly CardConcession[] {
  return job.facts.flatMap((envelope): readonly CardConcession[] => {
    const { fact, by, seq } = envelope;
    const made = madeBy(envelope);
    if (fact.kind === 'allowed')
      return [
        { of: `${fact.instrument} was used ${whyAllowed(fact.because)}`, reason: fact.reason, ...made },
      ];
    if (fact.kind !== 'released' || fact.by !== 'concession') return [];
    const judged = job.facts.findLast(
      (one) => one.seq < seq && one.fact.kind === 'judged' && one.fact.step === fact.step,
    )?.fact;
    const held = job.facts.findLast((one) => one.seq < seq && one.fact.kind === 'held')?.fact;
    const of =
      judged?.kind === 'judged'
        ? shortVerdict(plan, judged.of, judged.verdict)
        : held?.kind === 'held'
          ? held.text
          : stepPlace(plan, fact.step);
    const roles = job.persons.filter((one) => one.person === by).map((one) => roleTitle(plan, one.role));
    return [{ of, reason: fact.reason, ...made, ...(roles.length === 0 ? {} : { role: roles.join(', ') }) }];
  });
}

/** What was entered wrongly and taken back. */
export const struckOf = (plan: Plan, { facts }: Job): readonly CardStruck[] =>
  each(facts, 'struck', (fact, envelope): CardStruck => {
    const was = facts.find(({ seq }) => seq === fact.target)?.fact;
    const value = was === undefined ? undefined : enteredBy(plan, was);
    return {
      target: fact.target,
      ...(fact.also === undefined ? {} : { also: fact.also }),
      says: fact.entry === undefined ? stepTitle(plan, fact.step) : entryTitle(plan, fact.entry),
      ...(value === undefined ? {} : { value }),
      reason: fact.reason,
      ...madeBy(envelope),
    };
  });

function enteredBy(plan: Plan, was: Fact['fact']): string | undefined {
  switch (was.kind) {
    case 'reading':
      return indicationText(was);
    case 'carried':
      return `${`${was.digits} ${was.unit}`.trim()}, taken over from the job ${was.from.job}`;
    case 'filled':
      return was.text;
    case 'observed':
      return answerText(plan, was.entry, was.answer);
    case 'identified':
      return was.identity;
    default:
      return undefined;
  }
}

/** Who has looked at the work of somebody else, or has done it together with them. */
export function witnessesOf(plan: Plan, job: Job): readonly CardWitness[] {
  return job.facts.flatMap((envelope): readonly CardWitness[] => {
    const { fact, at, by, seq } = envelope;
    if (struckBy(plan, job.facts, envelope) !== undefined) return [];
    if (fact.kind === 'witnessed') return [{ what: stepPlace(plan, fact.step), how: 'witness', by, at, seq }];
    if (fact.kind === 'released' && fact.by === 'witness')
      return [{ what: stepPlace(plan, fact.step), how: 'witness', by, at, seq }];
    const together = fact.kind === 'done' || fact.kind === 'referred' ? fact.together : undefined;
    if (together === undefined || !('step' in fact)) return [];
    return [{ what: stepPlace(plan, fact.step), how: 'together', by: together, at, seq }];
  });
}

export const omittedOf = (plan: Plan, { facts }: Job): readonly CardOmitted[] =>
  each(facts, 'omitted', (fact, envelope) => ({
    step: stepTitle(plan, fact.step),
    reason: fact.reason,
    ...madeBy(envelope),
  }));

export const photographsOf = (plan: Plan, { facts }: Job): readonly CardPhotograph[] =>
  each(facts, 'done', (fact, envelope) =>
    fact.photograph === undefined
      ? undefined
      : {
          step: stepPlace(plan, fact.step),
          name: fact.photograph.name,
          digest: fact.photograph.digest,
          ...madeBy(envelope),
        },
  );

/** What was tightened with a torque wrench, each time that it was. */
export function tightenedOf(plan: Plan, { facts }: Job): readonly CardTightened[] {
  const last = new Map<string, number>();
  each(facts, 'done', (fact, { seq }) => void last.set(fact.step, seq));
  return each(facts, 'done', (fact, envelope): CardTightened | undefined => {
    const { settings, instrument, step } = fact;
    if (settings === undefined || settings.length === 0) return undefined;
    const isStruck = struckBy(plan, facts, envelope) !== undefined;
    return {
      title: stepTitle(plan, step),
      ...boreIn(plan.nodes.find((one) => one.path === step)?.bore),
      settings: settings.map(writeOut),
      ...(instrument === undefined ? {} : { instrument: instrument.identity }),
      ...(instrument?.due === undefined ? {} : { due: instrument.due }),
      ...madeBy(envelope),
      state: isStruck ? 'struck' : last.get(step) === envelope.seq ? 'counts' : 'superseded',
    };
  });
}

const writeOut = ({ torque, set, gives, running }: Setting): CardTightened['settings'][number] => ({
  torque,
  set,
  gives,
  ...(running === undefined ? {} : { running }),
});

/** How an unfinished engine stands: what is not as the job would have left it. */
export const leftOf = (plan: Plan, job: Job): readonly string[] =>
  failing(plan.ends, job.control.bytes).map(({ test, because }) => {
    const cell = 'cell' in test ? plan.cells[test.cell] : undefined;
    if (!('cell' in test) || cell?.cell !== 'state') return because.says;
    const wanted = test.among.map((value) => cell.values[value] ?? '?').join(' or ');
    const [, name = cell.name, bore] = /^(.*)@(\d+)$/.exec(cell.name) ?? [];
    const place = `${nameOf(name)}${bore === undefined ? '' : ` of bore ${bore}`}`;
    return `${place}: ${cell.values[job.control.bytes[test.cell] ?? 0] ?? '?'}, and at the end it would be ${wanted}`;
  });

/** What is due next: where the job has led to, and once it is finished, what the pack says. */
export const nextOf = (plan: Plan, job: Job): readonly CardNext[] => [
  ...referrals(plan, job).map(({ title, pack, procedure }) => ({
    says: `Next: ${title} (pack ${pack}, procedure ${procedure})`,
    ...{ pack, procedure },
  })),
  ...(job.control.closed === 'finished' ? plan.dueNext.map((says) => ({ says })) : []),
];

/** A fact that led to rework, in a few words. */
export function tellCause({ plan, facts }: Telling, { fact, seq }: Fact): string {
  if (fact.kind === 'judged') return shortVerdict(plan, fact.of, fact.verdict);
  if (fact.kind === 'released') return `Hold released for rework: ${fact.reason}`;
  const judged = lastJudged(facts, seq);
  if (judged !== undefined) return shortVerdict(plan, judged.of, judged.verdict);
  return 'step' in fact && typeof fact.step === 'string' ? stepPlace(plan, fact.step) : fact.kind;
}

function lastJudged(facts: readonly Fact[], before: number): Of<'judged'> | undefined {
  const found = facts.findLast((one) => one.seq < before && one.fact.kind === 'judged')?.fact;
  return found?.kind === 'judged' ? found : undefined;
}
