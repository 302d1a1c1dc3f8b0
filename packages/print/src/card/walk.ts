import { type Fact, type Job, jobFrom, type Plan, withFact } from '@ferrule/engine';
import { stepPlace } from '../telling/titles.ts';
import type { CardRework, CardTimes } from './generated/card-document.ts';

/** What can only be told while the facts of a job are gone through one after the other. */
export interface Walked {
  readonly job: Job;
  readonly time: CardTimes;
  readonly rework: readonly CardRework[];
}

/**
 * Goes through the facts of a job. They have to be facts that `replay` accepts. `tell` says a fact in words. Throws a
 * RangeError where there is no fact, or the first one does not start a job.
 */
export function walk(plan: Plan, facts: readonly Fact[], tell: (fact: Fact) => string): Walked {
  const [first, ...rest] = facts;
  if (first === undefined) throw new RangeError('a job has a first fact');
  let job = jobFrom(plan, first);
  const spent = { active: 0, waiting: 0, held: 0, parked: 0 };
  let setBack = 0;
  const rework: (CardRework & { readonly steps: string[] })[] = [];
  let open: readonly { readonly body: number; readonly one: (typeof rework)[number] }[] = [];
  for (const fact of rest) {
    const milliseconds = Date.parse(fact.at) - Date.parse(job.at);
    if (milliseconds < 0) setBack += 1;
    else spent[spentOn(plan, job)] += milliseconds;
    const { fact: body } = fact;
    if (body.kind === 'done') open.at(-1)?.one.steps.push(stepPlace(plan, body.step));
    job = withFact(plan, job, fact);
    open = bodiesAt(plan, job).map((inside) => {
      const known = open.find((one) => one.body === inside);
      // A hold inside of a body of rework may be released into the same body once more.
      if (known !== undefined && !(body.kind === 'released' && body.by === 'rework')) return known;
      const bore = plan.nodes[inside]?.bore;
      const { at, by, seq } = fact;
      const one = { because: tell(fact), at, by, seq, ...(bore === undefined ? {} : { bore }), steps: [] };
      rework.push(one);
      return { body: inside, one };
    });
  }
  const time = wholeSeconds(spent);
  return {
    job,
    time: {
      ...time,
      ...(setBack === 0 ? {} : { setBack }),
      says: saysTimes(time),
    },
    rework,
  };
}

type Spent = Pick<CardTimes, 'active' | 'waiting' | 'held' | 'parked'>;

/** What the time from where a job stands to its next fact is spent on. */
function spentOn(plan: Plan, { control }: Job): keyof Spent {
  if (control.parked) return 'parked';
  if (control.hold >= 0) return 'held';
  const node = plan.nodes[control.at];
  return node?.node === 'step' && node.act?.act === 'wait' ? 'waiting' : 'active';
}

/** The bodies of rework that a job is in, from the outside in. */
function bodiesAt(plan: Plan, { control }: Job): readonly number[] {
  const found: number[] = [];
  for (let node = plan.nodes[control.at]; node !== undefined; node = plan.nodes[node.parent])
    if (node.node === 'block' && node.resumes !== undefined) found.unshift(node.index);
  return found;
}

function wholeSeconds({ active, waiting, held, parked }: Spent): Spent {
  const whole = (milliseconds: number): number => Math.floor(milliseconds / 1000);
  return { active: whole(active), waiting: whole(waiting), held: whole(held), parked: whole(parked) };
}

const saysTimes = (spent: Spent): string =>
  (['active', 'waiting', 'held', 'parked'] as const)
    .filter((one) => one === 'active' || spent[one] > 0)
    .map((one) => `${one} ${writeDuration(spent[one])}`)
    .join(', ');

/** Whole seconds in the two largest units that they fill: 2 h 5 min, 12 d 3 h, 40 s. */
function writeDuration(seconds: number): string {
  const units = [
    ['d', 86_400],
    ['h', 3600],
    ['min', 60],
    ['s', 1],
  ] as const;
  const from = units.findIndex(([, size]) => seconds >= size);
  if (from < 0) return '0 s';
  let left = seconds;
  return units
    .slice(from, from + 2)
    .flatMap(([name, size]) => {
      const count = Math.floor(left / size);
      left -= count * size;
      return count === 0 ? [] : [`${count} ${name}`];
    })
    .join(' ');
}
