import {
  type FactBody,
  findEntry,
  type OfferedRepeats,
  type Plan,
  writeAge,
  writeQuantity,
} from '@ferrule/engine';

type CarriedFact = Extract<FactBody, { kind: 'carried' }>;
type ReadingFact = Extract<FactBody, { kind: 'reading' }>;

/** Digits with their unit; the degree of an angle stands close to its number, any other unit apart (NIST SP 811, 7.2). */
const withUnit = (digits: string, unit: string): string =>
  `${digits}${unit === '' || unit === '°' ? '' : ' '}${unit}`;

/** One indication as it was taken: `1.51 mm`, `> 400 bar`. */
export function indicationText({ digits, unit, beyond }: ReadingFact): string {
  const sign = beyond === undefined ? '' : beyond === 'above' ? '> ' : '< ';
  return `${sign}${withUnit(digits, unit)}`;
}

/** A value that is taken over at a time, with its day, its age then, and the job that it is from. */
export function carriedText({ digits, unit, from, uncertainty }: CarriedFact, at: string): string {
  const { job, procedure, pack, revision, verdict } = from;
  const good =
    uncertainty === undefined
      ? ''
      : `, U = ${uncertainty.expandedUncertainty} (k = ${uncertainty.coverageFactor})`;
  const judged = verdict === undefined ? '' : `, ${verdict} there`;
  return `${withUnit(digits, unit)} of ${from.at.slice(0, 10)}, ${writeAge(from.at, at)} old, from the job ${job} (${procedure}, ${pack} ${revision}${good}${judged})`;
}

/** What a reading holds since a fact: its indication, or what is taken of all of them; undefined while more are needed. */
export const readingText = (fact: ReadingFact | CarriedFact): string | undefined =>
  fact.kind === 'carried'
    ? withUnit(fact.digits, fact.unit)
    : fact.open === true
      ? undefined
      : (fact.value ?? indicationText(fact));

const takes = { mean: 'their mean is', lowest: 'the lowest is', highest: 'the highest is' } as const;

/** What an indication says of the others of its reading: the spread, and when all are in, what is taken of them. */
export function repeatsText(plan: Plan, fact: ReadingFact): string {
  const entry = plan.entries[findEntry(plan, fact.entry) ?? -1];
  const repeats = entry?.entry === 'reading' ? entry.repeats : undefined;
  const { value, spread, wide, outlier } = fact;
  const within = repeats?.agreeWithin;
  const width = wide === true && within !== undefined ? `, wider than ${writeQuantity(within)}` : '';
  return [
    ...(value === undefined ? [] : [`${takes[repeats?.take ?? 'mean']} ${value}`]),
    ...(spread === undefined ? [] : [`spread ${spread}${width}`]),
    ...(outlier === undefined ? [] : [`reading ${outlier} stands out from the others, and counts`]),
  ]
    .map((one) => `; ${one}`)
    .join('');
}

/** How often a reading is taken and what of it counts, for who is about to take it. */
export function repeatsAsked({ of, take, agreeWithin }: OfferedRepeats): string {
  const agree =
    agreeWithin === undefined ? '' : `; where they differ by more than ${agreeWithin}, more are asked for`;
  return `taken ${of} times, and ${take === 'mean' ? 'their mean' : `the ${take}`} counts${agree}`;
}

/** What there is of a reading that is not complete. */
export function repeatsSoFar({
  next,
  of,
  taken,
  spread,
  worst,
  isWide,
  agreeWithin,
}: OfferedRepeats): readonly string[] {
  const values = taken.map(({ repeat, value }) => `${repeat}: ${value}`).join(', ');
  const more = of - taken.length;
  const isEqual = spread !== undefined && /^0(?:\.0+)?(?: |$|°)/.test(spread);
  const furthest = isEqual ? '' : `, furthest from the mean is ${worst ?? next}`;
  const lies = spread === undefined ? '' : `; spread ${spread}${furthest}`;
  return [
    ...(taken.length === 0 ? [] : [`so far ${values}${lies}`]),
    ...(isWide && more <= 2 && spread !== undefined
      ? [`take ${more === 2 ? 'two' : 'one'} more: the spread ${spread} is wider than ${agreeWithin ?? ''}`]
      : []),
  ];
}
