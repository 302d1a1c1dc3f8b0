import {
  countOf,
  type FromRevision,
  type MeasureTally,
  type RejudgedStore,
  type Tally,
} from '@ferrule/compare/rejudge';
import type { RejudgedFrom, RejudgedMeasure, RejudgedReport } from './rejudged-report.ts';
import { tallyWords } from './tally-words.ts';

/** What is said of the newer revision. */
export type RejudgedHead = Pick<
  RejudgedReport,
  'pack' | 'revision' | 'digest' | 'release' | 'notice' | 'deferral' | 'store'
>;

/** What came of the jobs of a store, in plain sentences. */
export function reportOf(head: RejudgedHead, done: RejudgedStore): RejudgedReport {
  const { jobs, files, from, rowCount, asideCounts } = done;
  const asideCount = Object.values(asideCounts).reduce((sum, one) => sum + one, 0);
  const tallies = from.flatMap((one) => Object.values(one.measures).map(({ tally }) => tally));
  const all = (outcome: Parameters<typeof countOf>[1]): number =>
    tallies.reduce((sum, tally) => sum + countOf(tally, outcome), 0);
  const changed = all('changed');
  const notTaken = tallies.reduce((sum, tally) => sum + (tally['cannot not-taken'] ?? 0), 0);
  const cannot = all('cannot') - notTaken;
  const unexplained = all('unexplained');
  const added = all('added');
  return {
    ...head,
    says: [
      jobs === 0
        ? 'Nothing was judged: the store has no job of this pack that could be judged again.'
        : changed === 0
          ? `No verdict of ${counted(jobs, 'job')} comes out otherwise under ${head.revision}.`
          : `${counted(changed, 'verdict')} of ${counted(jobs, 'job')} ${changed === 1 ? 'comes' : 'come'} out otherwise under ${head.revision}.`,
      ...(unexplained === 0
        ? []
        : [
            `${counted(unexplained, 'verdict')} ${unexplained === 1 ? 'differs' : 'differ'} from the record though nothing has changed: a defect of the record or of Ferrule.`,
          ]),
      `${counted(all('same'), 'verdict')} judged again ${all('same') === 1 ? 'is' : 'are'} as before; ${counted(all('untouched'), 'verdict')} ${all('untouched') === 1 ? 'rests' : 'rest'} on nothing that has changed and ${all('untouched') === 1 ? 'was' : 'were'} not judged again.`,
      ...(added === 0 ? [] : [`${counted(added, 'verdict')} on what was not judged then.`]),
      ...(all('gone') === 0 ? [] : [`${counted(all('gone'), 'verdict')} on what is not judged any more.`]),
      ...(cannot === 0
        ? []
        : [`${counted(cannot, 'time')} something cannot be judged; the reasons are below.`]),
      ...(notTaken === 0
        ? []
        : [
            `${counted(notTaken, 'time')} there was nothing to judge, then as now: a job did not come past it.`,
          ]),
      ...(asideCount === 0
        ? []
        : [
            `${asideCount} of ${counted(files, 'file')} left aside: ${Object.entries(asideCounts)
              .sort(([a], [b]) => (a < b ? -1 : 1))
              .map(([because, count]) => `${count} ${because}`)
              .join(', ')}.`,
          ]),
    ],
    from: from.map(fromOf),
    ...{ rowCount, asideCount },
  };
}

function fromOf({ measures, ...one }: FromRevision): RejudgedFrom {
  const listed = Object.entries(measures).filter(
    ([, { tally, changes }]) => changes.length > 0 || isTold(tally),
  );
  const untouched = Object.values(measures).reduce((sum, { tally }) => sum + countOf(tally, 'untouched'), 0);
  return {
    ...one,
    says:
      untouched === 0
        ? []
        : [
            `${counted(untouched, 'verdict')} ${untouched === 1 ? 'rests' : 'rest'} on nothing that has changed.`,
          ],
    measures: listed.map(([name, measure]) => measureOf(name, measure)),
  };
}

/** Whether something in a tally is more than verdicts that are as they were. */
const isTold = (tally: Tally): boolean =>
  Object.keys(tally).some((what) => !/^(?:untouched|same) |^cannot not-taken$/.test(what));

const measureOf = (name: string, { tally, ...one }: MeasureTally): RejudgedMeasure => ({
  name,
  ...one,
  says: Object.entries(tally)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([what, count]) => `${count} ${tallyWords(what)}`),
});

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;
