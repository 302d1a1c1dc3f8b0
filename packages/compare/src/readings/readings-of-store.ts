import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { deferral } from '@ferrule/engine/deferral';
import { validate } from '@ferrule/engine/validate';
import {
  AlikeLines,
  folderStore,
  type JobHeader,
  type JobStore,
  jobPath,
  peekHeader,
  readNamedJob,
  type UnknownValue,
  unknownValue,
} from '@ferrule/records';
import { readBundle } from '@ferrule/source';
import { Against } from './against.ts';
import { Counting, type Shown } from './counted.ts';
import { foundInJob } from './found-in-job.ts';
import type { ReadingsDocument, ReadingsFault, ReadingsStruck } from './generated/readings-document.ts';
import { saysOf } from './says-of.ts';
import { namesIn, type SoughtIn, soughtIn } from './sought-in.ts';

/** What is asked for. */
export interface AskedReadings {
  /** Folder of the store. */
  readonly store: string;
  readonly pack: string;
  /** A tolerance, a reading or a derived value, by its name without its place. */
  readonly of: string;
  readonly procedure?: string;
  readonly variant?: string;
  readonly revision?: string;
  /** Days, such as 2026-03-02, both inside, by the time at the place of the job. */
  readonly from?: string;
  readonly until?: string;
}

/** How it lies, or why nothing can be said: no job was asked for, or none of their revisions has the name. */
export type ReadingsOfStore =
  | { readonly document: ReadingsDocument }
  | { readonly nothing: 'no-job'; readonly unknown?: readonly UnknownValue[] }
  | { readonly nothing: 'no-such-name'; readonly names: readonly string[] };

export interface ReadingsProgress {
  readonly total: number;
  readonly done: number;
}

/** The version of the document. */
const readingsFormat = 'ferrule-readings-1';

/** So many are listed; all of them are counted. */
const MOST_LISTED = 500;
const SAY_EVERY = 200;

/** What is sought in the plans of one procedure and variant of one bundle. */
interface InPlan {
  readonly title: string;
  readonly notice?: string;
  readonly parts: readonly { readonly sought: SoughtIn; readonly against: Against }[];
}

/**
 * Goes through the jobs of a store and counts how what was measured lies against its limits: the values and the verdicts that
 * the records have, each job by the revision that its store has kept. One job is held at a time, and no value is kept, so
 * memory does not grow with their number. What is struck, replaced after rework or cannot be relied on is left out and counted.
 */
export function readingsOfStore(
  asked: AskedReadings,
  onProgress: (progress: ReadingsProgress) => void = () => undefined,
): ReadingsOfStore {
  const store = folderStore(asked.store);
  const looking = new Looking(store, asked);
  const names = [...store.names()].sort();
  for (const [place, job] of names.entries()) {
    if (place % SAY_EVERY === 0) onProgress({ total: names.length, done: place });
    looking.take(job);
  }
  onProgress({ total: names.length, done: names.length });
  return looking.answer();
}

class Looking {
  readonly #store: JobStore;
  readonly #asked: AskedReadings;
  readonly #lines = new AlikeLines();
  readonly #packs = new Map<string, Pack | undefined>();
  readonly #plans = new Map<string, InPlan | undefined>();
  readonly #against = new Map<string, Against>();
  readonly #names = new Set<string>();
  readonly #packIds = new Set<string>();
  /** What the jobs of the pack are of, for when none is as it was asked for. */
  readonly #ofPack = {
    revision: new Set<string>(),
    procedure: new Set<string>(),
    variant: new Set<string>(),
  };
  readonly #notices = new Set<string>();
  readonly #struck: ReadingsStruck[] = [];
  readonly #faults: ReadingsFault[] = [];
  readonly #whole = new Counting(undefined);
  #shown: Shown | undefined;
  #title = '';
  #jobs = 0;
  #matching = 0;
  #again = 0;
  #struckCount = 0;
  #faultCount = 0;

  constructor(store: JobStore, asked: AskedReadings) {
    this.#store = store;
    this.#asked = asked;
  }

  take(job: string): void {
    const path = jobPath(this.#asked.store, job);
    const peeked = peekHeader(path);
    if (peeked !== undefined) this.#know(peeked);
    if (peeked !== undefined && !this.#isAskedFor(peeked)) return;
    const read = readNamedJob(path, this.#lines);
    if (read.fault !== undefined) {
      this.#leaveOut(job, read.fault.message);
      return;
    }
    const { header, facts } = read;
    if (!this.#isAskedFor(header) || facts.length === 0) return;
    this.#matching += 1;
    const plan = this.#planOf(header);
    if (plan === undefined) {
      const { revision, digest } = header.pack;
      const message = this.#store.hasOtherBundle(digest)
        ? `What the store keeps as the revision ${revision} is something else: it was altered. Put back a copy from before.`
        : `The store has not kept the revision ${revision} as the job was done by it.`;
      this.#leaveOut(job, message);
      return;
    }
    let isCounted = false;
    for (const { sought, against } of plan.parts) {
      const { found, struck, again } = foundInJob(facts, sought.sought, this.#isInTime);
      this.#again += again;
      this.#struckCount += struck.length;
      for (const { at: _, ...one } of struck.slice(0, MOST_LISTED - this.#struck.length))
        this.#struck.push({ job, ...one });
      for (const one of found) this.#whole.add(one);
      against.add(found, header.pack.revision, header.variant);
      isCounted ||= found.length > 0;
    }
    if (!isCounted) return;
    this.#jobs += 1;
    this.#title = plan.title;
    if (plan.notice !== undefined) this.#notices.add(plan.notice);
  }

  answer(): ReadingsOfStore {
    const { store, pack, of, procedure, variant, revision, from, until } = this.#asked;
    if (this.#matching === 0 && this.#faultCount === 0) {
      const unknown = this.#unknown();
      return { nothing: 'no-job', ...(unknown.length === 0 ? {} : { unknown }) };
    }
    if (this.#against.size === 0 && this.#names.size > 0)
      return { nothing: 'no-such-name', names: [...this.#names].sort() };
    const against = [...this.#against.values()].flatMap((one) => one.document() ?? []);
    const counts = {
      ...{ jobs: this.#jobs, against, again: this.#again },
      ...{ struckCount: this.#struckCount, struck: this.#struck },
      ...{ faultCount: this.#faultCount, faults: this.#faults },
    };
    const whole =
      against.length > 1 && this.#shown !== undefined ? this.#whole.counted(this.#shown) : undefined;
    return {
      document: {
        ...{ format: readingsFormat, pack, of, title: this.#title === '' ? of : this.#title },
        ...(procedure === undefined ? {} : { procedure }),
        ...(variant === undefined ? {} : { variant }),
        ...(revision === undefined ? {} : { revision }),
        ...(from === undefined ? {} : { from }),
        ...(until === undefined ? {} : { until }),
        ...{ deferral, notices: [...this.#notices], store, says: saysOf(counts) },
        ...(whole === undefined ? {} : { whole }),
        ...counts,
      },
    };
  }

  #know({ pack, procedure, variant }: JobHeader): void {
    this.#packIds.add(pack.id);
    if (pack.id !== this.#asked.pack) return;
    this.#ofPack.revision.add(pack.revision);
    this.#ofPack.procedure.add(procedure);
    this.#ofPack.variant.add(variant);
  }

  #unknown(): readonly UnknownValue[] {
    const { pack } = this.#asked;
    const found = unknownValue('pack', pack, this.#packIds, `No job here is of the pack ${pack}`);
    if (found !== undefined) return [found];
    return (['revision', 'procedure', 'variant'] as const).flatMap((name) => {
      const value = this.#asked[name];
      return value === undefined
        ? []
        : (unknownValue(
            name,
            value,
            this.#ofPack[name],
            `No job of ${pack} here is of the ${name} ${value}`,
          ) ?? []);
    });
  }

  #leaveOut(job: string, message: string): void {
    this.#faultCount += 1;
    if (this.#faults.length < MOST_LISTED) this.#faults.push({ job, message });
  }

  #isAskedFor({ pack, procedure, variant }: JobHeader): boolean {
    const asked = this.#asked;
    return (
      pack.id === asked.pack &&
      (asked.revision === undefined || pack.revision === asked.revision) &&
      (asked.procedure === undefined || procedure === asked.procedure) &&
      (asked.variant === undefined || variant === asked.variant)
    );
  }

  readonly #isInTime = (at: string): boolean => {
    const { from = '', until = '9' } = this.#asked;
    const day = at.slice(0, 10);
    return day >= from && day <= until;
  };

  #planOf({ pack: { digest }, procedure, variant }: JobHeader): InPlan | undefined {
    const key = `${digest} ${procedure} ${variant}`;
    if (this.#plans.has(key)) return this.#plans.get(key);
    const pack = this.#packOf(digest);
    const plan = pack && planOf(pack, procedure, variant);
    const made = pack && plan && this.#inPlan(pack, plan);
    this.#plans.set(key, made);
    return made;
  }

  #inPlan({ notice }: Pack, plan: Plan): InPlan {
    for (const name of namesIn(plan)) this.#names.add(name);
    const parts = soughtIn(plan, this.#asked.of).flatMap((sought) => {
      const [first] = sought.sought;
      if (first === undefined) return [];
      const shown = { unit: first.unit, decimals: first.decimals };
      this.#shown ??= shown;
      return [{ sought, against: this.#againstOf(sought, plan.procedure.id, shown) }];
    });
    return { title: parts[0]?.sought.title ?? '', ...(notice === undefined ? {} : { notice }), parts };
  }

  /** One for the same limits of several revisions and variants, in whichever words they are written. */
  #againstOf(sought: SoughtIn, procedure: string, shown: Shown): Against {
    const { of, limits, pair } = sought;
    const held = pair === undefined ? limits : `${pair.low ?? ''} ${pair.high ?? ''}`;
    const key = `${procedure} ${of} ${shown.unit.kind} ${held}`;
    const known = this.#against.get(key) ?? new Against(sought, procedure, shown);
    this.#against.set(key, known);
    return known;
  }

  #packOf(digest: string): Pack | undefined {
    if (this.#packs.has(digest)) return this.#packs.get(digest);
    const text = this.#store.bundle(digest);
    const document = text === undefined ? undefined : readBundle(text).document;
    const pack = document === undefined ? undefined : validate(document).pack;
    this.#packs.set(digest, pack);
    return pack;
  }
}

const planOf = (pack: Pack, procedure: string, variant: string): Plan | undefined =>
  Object.hasOwn(pack.procedures, procedure) && Object.hasOwn(pack.variants, variant)
    ? resolve(pack, { procedure, variant }).plan
    : undefined;
