import { type FactBody, factKinds } from './fact.ts';
import {
  among,
  count,
  instrumentForm,
  isObject,
  listOf,
  type Members,
  misformed,
  objectOf,
  optional,
  personsForm,
  photographForm,
  text,
  truth,
} from './form.ts';
import { carriedFromForm, carriedUncertaintyForm } from './origin.ts';

const some = optional(text);
const yes = optional((value) => value === true);
const choiceForm = objectOf({
  stock: text,
  sizes: listOf(text),
  total: text,
  fitted: text,
  stays: yes,
  predicted: text,
  variance: some,
  expandedUncertainty: some,
});
const verdict = objectOf({
  chosen: optional(choiceForm),
  verdict: among(['conforming', 'nonconforming', 'inconclusive']),
  side: optional(among(['low', 'high'])),
  value: some,
  limits: some,
  margin: some,
  excess: some,
  exact: some,
  because: some,
  standsOut: some,
  elapsed: optional(listOf(objectOf({ since: text, until: some, seconds: text }))),
  beyond: optional(among(['above', 'below'])),
  assessment: optional(
    objectOf({
      rule: text,
      standardUncertainty: text,
      expandedUncertainty: text,
      coverageFactor: text,
      degreesOfFreedom: optional(count),
      variance: text,
      acceptance: some,
      probability: text,
      capability: some,
      needed: some,
      doubtful: yes,
    }),
  ),
});
const settingForm = objectOf({
  stage: count,
  torque: text,
  set: text,
  gives: text,
  running: some,
  specifiedFrom: some,
  adapter: optional(objectOf({ length: text, angle: text, wrench: text })),
});
const decidedForm = objectOf({ condition: text, truth, explanation: text });
const taking: Members = { step: text, entry: text };

const forms: Readonly<Record<FactBody['kind'], Members>> = {
  started: {
    pack: text,
    revision: text,
    bundle: text,
    procedure: text,
    variant: text,
    persons: personsForm,
    instruments: listOf(instrumentForm),
  },
  equipped: { instrument: instrumentForm },
  allowed: { instrument: text, because: among(['beyond-instrument', 'instrument-overdue']), reason: text },
  'out-of-stock': { stock: text, size: text, back: yes },
  joined: { role: text, person: text },
  branched: { step: text, decided: listOf(decidedForm) },
  acknowledged: { step: text, hazards: listOf(text) },
  done: {
    step: text,
    together: some,
    instrument: optional(instrumentForm),
    settings: optional(listOf(settingForm)),
    photograph: optional(photographForm),
    since: some,
  },
  referred: { step: text, pack: text, procedure: text, title: text, together: some },
  omitted: { step: text, reason: text },
  reading: {
    ...taking,
    typed: text,
    digits: text,
    unit: text,
    instrument: optional(instrumentForm),
    beyond: optional(among(['above', 'below'])),
    repeat: optional(count),
    open: yes,
    spread: some,
    wide: yes,
    value: some,
    outlier: optional(count),
    throughout: optional(listOf(text)),
  },
  carried: {
    ...taking,
    digits: text,
    unit: text,
    exact: text,
    from: carriedFromForm,
    uncertainty: optional(carriedUncertaintyForm),
  },
  observed: { ...taking, answer: text },
  filled: { ...taking, text },
  identified: { ...taking, identity: text, part: among(['found', 'own', 'other', 'renewed']) },
  judged: { step: text, of: text, verdict },
  struck: { target: count, entry: some, step: text, reason: text, open: yes, also: optional(listOf(count)) },
  held: { hold: text, step: text, text },
  released: {
    hold: text,
    step: text,
    by: among(['concession', 'rework', 'witness']),
    release: count,
    reason: text,
  },
  witnessed: { step: text },
  noted: { text },
  parked: { reason: text },
  resumed: { confirmed: listOf(text) },
  closed: { finished: truth, reason: some },
};

const envelope: Members = { format: among(['1']), seq: count, id: text, at: text, by: text, fact: isObject };

/** What is wrong with the form of a stored fact, or undefined: an unknown kind, or a member that is missing or no such. */
export function misformedFact(fact: unknown): string | undefined {
  if (!isObject(fact)) return 'This is no fact.';
  const outside = misformed(fact, envelope);
  if (outside !== undefined) return `${outside} of the fact is missing, or is not written as it has to be.`;
  const body = fact['fact'];
  if (!isObject(body)) return 'This is no fact.';
  const kind = factKinds.find((one) => one === body['kind']);
  if (kind === undefined) return 'There is no such kind of fact.';
  const inside = misformed(body, forms[kind]);
  return inside === undefined
    ? undefined
    : `${inside} of ${kind} is missing, or is not written as it has to be.`;
}
