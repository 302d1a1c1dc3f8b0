import type { ReadingsAgainst, ReadingsDocument } from './generated/readings-document.ts';

type Counts = Pick<ReadingsDocument, 'jobs' | 'against' | 'again' | 'struckCount' | 'faultCount'>;

/** What there is to know first, in plain sentences. */
export function saysOf({ jobs, against, again, struckCount, faultCount }: Counts): readonly string[] {
  const all = (of: (one: ReadingsAgainst) => number): number =>
    against.reduce((sum, one) => sum + of(one), 0);
  const count = all(({ counted }) => counted.count);
  const [inside, outside, open] = [
    all(({ counted }) => counted.conforming),
    all(({ counted }) => counted.nonconforming),
    all(({ counted }) => counted.inconclusive),
  ];
  const judged = inside + outside + open;
  const beyond = all(({ counted }) => counted.beyond);
  return [
    count === 0
      ? 'Nothing that was measured counts.'
      : `${counted(count, 'value')} of ${counted(jobs, 'job')}${judged === 0 ? '; none was judged.' : `: ${inside} conforming, ${outside} nonconforming, ${open} inconclusive.`}`,
    ...(against.length > 1
      ? [`They were held against ${against.length} different limits, which stand apart.`]
      : []),
    ...(beyond === 0
      ? []
      : [`${beyond} of them ${beyond === 1 ? 'has' : 'have'} no value: beyond the scale of an instrument.`]),
    ...(struckCount === 0
      ? []
      : [
          `${counted(struckCount, 'value')} ${struckCount === 1 ? 'was' : 'were'} struck and ${struckCount === 1 ? 'is' : 'are'} left out.`,
        ]),
    ...(again === 0
      ? []
      : [
          `${counted(again, 'value')} ${again === 1 ? 'was' : 'were'} measured again after rework: the last of each job counts.`,
        ]),
    ...(faultCount === 0
      ? []
      : [
          `${counted(faultCount, 'file')} left out: what cannot be relied on, and jobs whose revision is not kept.`,
        ]),
  ];
}

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;
