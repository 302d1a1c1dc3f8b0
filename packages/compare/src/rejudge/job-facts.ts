import {
  type Fact,
  type FactBody,
  findEntry,
  type InstrumentUsed,
  isLive,
  type Job,
  jobFrom,
  type WrittenVerdict,
  withFact,
} from '@ferrule/engine';
import type { Judge, Measure } from './judge.ts';

type ReadingBody = Extract<FactBody, { kind: 'reading' | 'carried' }>;

/** What was recorded under the name of an entry: the facts of a reading with all of its repeats, or a text. */
export type Recorded =
  | {
      readonly facts: readonly { readonly seq: number; readonly body: ReadingBody }[];
      readonly text?: undefined;
    }
  | { readonly text: string; readonly facts?: undefined };

/** A verdict that counts, and what was recorded when it was given. */
export interface Given {
  readonly seq: number;
  readonly verdict: WrittenVerdict;
  /** For each of the needs of the measure; undefined where nothing was recorded, or what was did not count any more. */
  readonly recorded: readonly (Recorded | undefined)[];
  /** Sizes of stocks that were not in the drawer. */
  readonly usedUp: Job['usedUp'];
}

/** What a job says about what its procedure judges. */
export interface JobFacts {
  /** By measure: the verdict that counts. */
  readonly given: ReadonlyMap<number, Given>;
  /** Measures whose verdict was struck, and not given again. */
  readonly struck: ReadonlySet<number>;
  /** Paths of the steps that were left out. */
  readonly leftOut: ReadonlySet<string>;
  /** What counts at the end. */
  readonly last: ReadonlyMap<string, Recorded>;
  readonly usedUp: Job['usedUp'];
}

/**
 * Gathers the verdicts of a job that count, each the last one that was not struck, with what they rest on. A reading that
 * the verdict rested on counted when it was given, or it could not have been given. Whether others counted is only known by
 * going through the job with its plan, which is done where the newer revision looks further. Throws a RangeError where the
 * facts do not fit the plan.
 */
export function factsOfJob(judge: Judge, facts: readonly Fact[]): JobFacts {
  const recorded = new Map<string, Recorded>();
  const underWay = new Map<string, { readonly seq: number; readonly body: ReadingBody }[]>();
  const given = new Map<number, Given>();
  const struck = new Set<number>();
  const leftOut = new Set<string>();
  let usedUp: Job['usedUp'] = [];
  let job: Job | undefined;
  for (const fact of facts) {
    const { fact: body, seq } = fact;
    switch (body.kind) {
      case 'reading':
      case 'carried': {
        const before = underWay.get(body.entry);
        // A repeat that is there already begins the reading anew: the job had moved on meanwhile.
        const isAnew =
          before === undefined ||
          body.kind === 'carried' ||
          before.some((one) => repeatOf(one.body) === repeatOf(body));
        const all = isAnew ? [{ seq, body }] : [...before, { seq, body }];
        if (body.kind === 'reading' && body.open === true) underWay.set(body.entry, all);
        else {
          underWay.delete(body.entry);
          recorded.set(body.entry, { facts: all });
        }
        break;
      }
      case 'filled':
        recorded.set(body.entry, { text: body.text });
        break;
      case 'observed':
        recorded.set(body.entry, { text: body.answer });
        break;
      case 'identified':
        recorded.set(body.entry, { text: body.identity });
        break;
      case 'omitted':
        leftOut.add(body.step);
        break;
      case 'out-of-stock': {
        const { stock, size, back } = body;
        const others = usedUp.filter((one) => one.stock !== stock || one.size !== size);
        usedUp = back === true ? others : [...others, { stock, size }];
        break;
      }
      case 'struck': {
        const { entry, open, target } = body;
        if (entry === undefined) break;
        if (open === true) {
          const rest = (underWay.get(entry) ?? []).filter((one) => one.seq !== target);
          underWay.set(entry, rest);
          break;
        }
        recorded.delete(entry);
        for (const index of judge.reliesOn.get(entry) ?? []) if (given.delete(index)) struck.add(index);
        break;
      }
      case 'judged': {
        const index = judge.byName.get(body.of);
        const measure = index === undefined ? undefined : judge.measures[index];
        if (index === undefined || measure === undefined) break;
        struck.delete(index);
        const counting = ([was]: Measure['needs'][number]): Recorded | undefined =>
          !measure.beyond.includes(was) || counts(judge, job, was) ? recorded.get(was) : undefined;
        given.set(index, { seq, verdict: body.verdict, recorded: measure.needs.map(counting), usedUp });
        break;
      }
      default:
        break;
    }
    if (judge.looksFurther)
      job = job === undefined ? jobFrom(judge.before, fact) : withFact(judge.before, job, fact);
  }
  const last = judge.looksFurther
    ? new Map([...recorded].filter(([name]) => counts(judge, job, name)))
    : recorded;
  return { given, struck, leftOut, last, usedUp };
}

const repeatOf = (body: ReadingBody): number => (body.kind === 'reading' ? (body.repeat ?? 1) : 1);

/** Whether what an entry holds counts where a job stands. */
function counts({ before: then }: Judge, job: Job | undefined, name: string): boolean {
  const entry = then.entries[findEntry(then, name) ?? -1];
  return entry !== undefined && job !== undefined && isLive(entry, job.control.bytes);
}

/** One object for each instrument, however many facts name it: what is worked out of it is then worked out once. */
export class Instruments {
  readonly #known = new Map<string, InstrumentUsed>();

  /** The instrument under the kind that it has now. */
  of(used: InstrumentUsed, kind: string): InstrumentUsed {
    const key = JSON.stringify([kind, used]);
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    // A shop has hundreds; what is not met again is not kept for good.
    if (this.#known.size >= MOST_KEPT) this.#known.clear();
    const one = { ...used, kind };
    this.#known.set(key, one);
    return one;
  }
}

const MOST_KEPT = 10_000;
