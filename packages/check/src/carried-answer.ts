import {
  type Entry,
  type Job,
  type Origin,
  type OriginValue,
  type Plan,
  parseQuantity,
  type written,
} from '@ferrule/engine';

type Reading = Extract<Entry, { entry: 'reading' }>;

/** The job that a trial says a reading is taken over from, as it would hand its value on. `now` is an RFC 3339 time. */
export function originAnswered(
  plan: Plan,
  job: Job,
  entry: Reading,
  answer: written.CarriedAnswer,
  now: string,
): Origin {
  const { carry } = entry;
  const field = plan.entries.findIndex((one) => one.name === carry?.field);
  const engine = answer.engine ?? job.taken[field]?.text;
  return {
    job: 'scripted',
    pack: carry?.pack ?? '',
    revision: '0.0.0',
    bundle: 'scripted',
    procedure: carry?.procedure ?? '',
    variant: plan.variant.id,
    closed: 'finished',
    fields: engine === undefined ? [] : [{ name: carry?.field ?? '', text: engine }],
    values: [{ name: carry?.value ?? '', title: entry.title, ...answeredValue(answer, now) }],
  };
}

function answeredValue(answer: written.CarriedAnswer, now: string): Partial<OriginValue> {
  if (answer.struck !== undefined) return { because: 'struck' };
  const read = parseQuantity(answer.value ?? '');
  const age = answer.age === undefined ? undefined : parseQuantity(answer.age, 'time');
  if (!('quantity' in read)) return { because: 'missing' };
  const { digits, unit, value } = read.quantity;
  const seconds = age !== undefined && 'quantity' in age ? age.quantity.value.toNumber() : 0;
  const expandedUncertainty = answer['expanded-uncertainty'];
  return {
    digits,
    unit: unit.symbol,
    exact: value.toFraction(),
    at: new Date(Date.parse(now) - seconds * 1000).toISOString(),
    ...(answer.verdict === undefined ? {} : { verdict: answer.verdict }),
    ...(expandedUncertainty === undefined
      ? {}
      : { uncertainty: { expandedUncertainty, coverageFactor: answer['coverage-factor'] ?? '2' } }),
  };
}
