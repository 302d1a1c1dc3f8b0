import {
  type Command,
  type Decided,
  decide,
  type Fact,
  type Job,
  jobFrom,
  type Offers,
  offers,
  type Pack,
  type Plan,
  type Refusal,
} from '@ferrule/engine';
import { batch, computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import { call } from '../link/call.ts';
import type { AnswerDocument, Asked, FactsDocument, JobDocument, Problem } from '../link/documents.ts';
import { followFacts } from '../link/follow-facts.ts';
import { makeId } from '../link/make-id.ts';
import { pathOf } from '../link/path-of.ts';
import { isAboutRequest, passes } from '../link/what-passes.ts';
import { countsTime } from './counts-time.ts';
import { commandOf, type Folded, fold, mayWait, withFacts } from './fold.ts';
import { kept } from './kept.ts';
import { ServerClock } from './server-clock.ts';

/** How what was done here stands with the server. */
export type Link = 'reached' | 'away';

/** What was done here does not fit what is stored: somebody else was there before. A person decides. */
export interface Conflict {
  /** The commands that wait, the first of which does not fit. */
  readonly waiting: readonly Asked[];
  readonly refusals: readonly Refusal[];
  /** Facts of others since the first of them was given. */
  readonly since: readonly Fact[];
}

/** What a command given here has come to, at once. */
export type Given =
  | { readonly given: 'taken' }
  | { readonly given: 'refused'; readonly refusals: readonly Refusal[] }
  | { readonly given: 'withheld'; readonly because: string };

/** What is stored later than this after it was given bears another time than that of the work, in milliseconds. */
const LATE = 10_000;

/** After this time without an answer it is tried again, in milliseconds. */
const AGAIN = 3000;

const untimely: Refusal = {
  code: 'bad-time',
  message:
    'A time counts here, and the server was not reached when this was given. Given again, it counts as of now.',
  remedy: 'Where that is not so, leave it out, and do what the step then asks for.',
};

/**
 * One job on this device. Commands are decided here at once, by the engine that the server has too, wait in a queue that
 * outlives the page, and are decided again by the server, whose facts count. Facts of other screens come by the stream.
 */
export class JobSession {
  readonly document: JobDocument;
  readonly pack: Pack;
  readonly plan: Plan;
  readonly link = signal<Link>('reached');
  readonly queue: Signal<readonly Asked[]>;
  readonly canKeep = signal(true);
  readonly conflict = signal<Conflict | undefined>(undefined);
  /** A problem of the server that only a person can do something about. */
  readonly problem = signal<Problem | undefined>(undefined);
  readonly folded: ReadonlySignal<Folded>;
  readonly offers: ReadonlySignal<Offers>;
  readonly #stored: Signal<Job>;
  readonly #clock = new ServerClock();
  readonly #times = new Map<string, string>();
  /** When commands were given on this page, in milliseconds since 1970. */
  readonly #givenAt = new Map<string, number>();
  /** The ids of all that has waited on this page. */
  readonly #waited: Set<string>;
  /** What the stream was answered instead, as long as it is. */
  #ofStream: Problem | undefined;
  /** What the stream brought of a command whose answer is still to come, and what came behind it. */
  readonly #early: Fact[] = [];
  #isSending = false;
  #stop: () => void = () => undefined;

  constructor(
    document: JobDocument,
    pack: Pack,
    plan: Plan,
    facts: readonly [Fact, ...Fact[]],
    queue: readonly Asked[],
  ) {
    this.document = document;
    this.pack = pack;
    this.plan = plan;
    const [first, ...others] = facts;
    this.#stored = signal(withFacts(plan, jobFrom(plan, first), others));
    this.queue = signal(queue);
    this.#waited = new Set(queue.map(({ id }) => id));
    this.folded = computed(() =>
      fold(plan, this.#stored.value, this.queue.value, (asked) => this.#timeOf(asked)),
    );
    this.offers = computed(() => offers(plan, this.folded.value.job));
  }

  /** Follows what others add, and sends what waits, until `leave`. */
  attend(): void {
    this.#stop = followFacts(this.document.job, () => this.#stored.value.seq, {
      facts: (facts) => {
        this.link.value = 'reached';
        this.#hear(facts);
      },
      reached: (isReached, date) => {
        this.heard(date);
        this.link.value = isReached ? 'reached' : 'away';
        if (!isReached) return;
        this.#streamSays(undefined);
        void this.#send();
      },
      refused: (problem) => {
        if (problem.code === 'too-many-streams') void this.#look();
        else if (passes(problem)) this.link.value = 'away';
        else this.#streamSays(problem);
      },
    });
    void this.#send();
  }

  leave(): void {
    this.#stop();
  }

  /** Takes in the date of an answer, in milliseconds since 1970. */
  heard(date: number | undefined): void {
    this.#clock.heard(date);
  }

  /** The time as the server has it, as far as this device knows. */
  now(): string {
    return this.#clock.now();
  }

  /** Whether everything that was given is stored, or is so within a short time, in milliseconds. */
  async settled(patience: number): Promise<boolean> {
    const isSettled = (): boolean => this.queue.value.length === 0 && this.conflict.value === undefined;
    const latest = Date.now() + patience;
    while (!isSettled() && this.link.value === 'reached' && Date.now() < latest)
      await new Promise((done) => setTimeout(done, 20));
    return isSettled();
  }

  /** What a command of a person would come to now. Nothing is given. */
  wouldBe(by: string, command: Command): Decided {
    const { job } = this.folded.value;
    return decide(this.plan, job, command, { at: this.#clock.now(), by, id: 'would-be' }, job.seq);
  }

  /** Gives a command of a person. What the engine refuses is refused here, and never sent. */
  give(by: string, command: Command): Given {
    const { job } = this.folded.value;
    if (this.conflict.value !== undefined)
      return { given: 'withheld', because: 'First decide about what does not fit, above.' };
    const withheld = mayWait(command) ? undefined : this.#whyNotNow();
    if (withheld !== undefined) return withheld;
    const asked: Asked = { id: makeId(), expectedSeq: job.seq, by, command };
    const at = this.#timeOf(asked);
    const decided = decide(this.plan, job, command, { at, by, id: asked.id }, job.seq);
    const untimely =
      decided.refusals === undefined && countsTime(this.plan, job, decided)
        ? this.#whyNotNow('A time counts here. ')
        : undefined;
    if (decided.refusals !== undefined || untimely !== undefined) {
      this.#times.delete(asked.id);
      return untimely ?? { given: 'refused', refusals: decided.refusals ?? [] };
    }
    this.#givenAt.set(asked.id, Date.now());
    this.#wait([...this.queue.value, asked]);
    void this.#send();
    return { given: 'taken' };
  }

  /** Why what has to be stored at once cannot be now; undefined where it can. */
  #whyNotNow(says = ''): Given | undefined {
    if (this.queue.value.length > 0)
      return { given: 'withheld', because: `${says}This waits until everything before it is stored.` };
    return this.link.value === 'away'
      ? { given: 'withheld', because: `${says}This has to be stored at once, and the server is not reached.` }
      : undefined;
  }

  /**
   * Gives what did not fit once more, on the job as it is stored now: a person has looked at it. The first that is refused
   * stays with those behind it, with the reason.
   */
  giveAgain(): void {
    const conflict = this.conflict.value;
    if (conflict === undefined) return;
    const again: Asked[] = [];
    let job = this.#stored.value;
    let refusals: readonly Refusal[] = [];
    for (const { by, command } of conflict.waiting) {
      const asked = { id: makeId(), expectedSeq: job.seq, by, command };
      const at = this.#timeOf(asked);
      const decided = decide(this.plan, job, command, { at, by, id: asked.id }, job.seq);
      if (decided.refusals !== undefined) {
        refusals = decided.refusals;
        break;
      }
      this.#givenAt.set(asked.id, Date.now());
      again.push(asked);
      job = decided.job;
    }
    const left = conflict.waiting.slice(again.length);
    this.conflict.value = left.length === 0 ? undefined : { ...conflict, waiting: left, refusals };
    this.#wait(again);
    void this.#send();
  }

  /** Leaves out the first command that does not fit; those behind it still wait for a decision. */
  leaveOut(): void {
    const conflict = this.conflict.value;
    if (conflict === undefined) return;
    const waiting = conflict.waiting.slice(1);
    this.conflict.value = waiting.length === 0 ? undefined : { ...conflict, waiting, refusals: [] };
    this.#wait(this.queue.value);
  }

  /** Looks at a problem again: the server may have been mended. */
  tryAgain(): void {
    this.problem.value = undefined;
    void this.#send();
  }

  #wait(queue: readonly Asked[]): void {
    this.queue.value = queue;
    const unstored = [...queue, ...(this.conflict.value?.waiting ?? [])];
    for (const { id } of unstored) this.#waited.add(id);
    const settled = new Set(this.#waited);
    for (const { id } of unstored) settled.delete(id);
    void kept.keepQueue(this.document.job, unstored, settled).then((isKept) => {
      this.canKeep.value = isKept;
    });
  }

  #timeOf({ id }: Asked): string {
    const known = this.#times.get(id);
    if (known !== undefined) return known;
    const at = this.#clock.now();
    this.#times.set(id, at);
    return at;
  }

  /**
   * Takes in what the stream brings. It may bring the first facts of a command of this device before its answer brings all of
   * them, and half a command would show a step that is past already: what comes from there on waits for the answer.
   */
  #hear(facts: readonly Fact[]): void {
    const [asked] = this.queue.value;
    const isOwn = ({ id }: Fact): boolean => this.#isSending && commandOf(id) === asked?.id;
    const own = this.#early.length > 0 ? 0 : facts.findIndex(isOwn);
    if (own !== 0) this.#takeIn(own === -1 ? facts : facts.slice(0, own));
    if (own !== -1) this.#early.push(...facts.slice(own));
  }

  #takeInEarly(): void {
    this.#takeIn(this.#early.splice(0));
  }

  #takeIn(facts: readonly Fact[]): void {
    const job = withFacts(this.plan, this.#stored.value, facts);
    if (job.seq === this.#stored.value.seq) return;
    this.#stored.value = job;
    void kept.keepJob(this.document.job, { document: this.document, facts: job.facts });
    this.#lookForConflict();
  }

  /** What waits no longer fits when somebody else was quicker. While an answer is still to come, that says it. */
  #lookForConflict(): void {
    const { misfit } = this.folded.value;
    if (misfit === undefined || this.#isSending) return;
    const place = this.queue.value.indexOf(misfit.asked);
    this.#contradict(place, misfit.refusals);
  }

  /** Takes a command and those behind it out of the queue, for a person to decide about. */
  #contradict(place: number, refusals: readonly Refusal[]): void {
    const waiting = this.queue.value.slice(place);
    const [first] = waiting;
    if (first === undefined) return;
    const before = this.conflict.value?.waiting ?? [];
    this.conflict.value = {
      waiting: [...waiting, ...before],
      // That the job went on is what the conflict says itself.
      refusals: refusals.filter(({ code }) => code !== 'stale-sequence'),
      since: this.#stored.value.facts.filter(({ seq }) => seq > first.expectedSeq),
    };
    this.#wait(this.queue.value.slice(0, place));
  }

  async #send(): Promise<void> {
    if (this.#isSending) return;
    this.#isSending = true;
    try {
      for (;;) {
        const [asked] = this.queue.value;
        if (asked === undefined || this.problem.value !== undefined) return;
        if (this.#isLate(asked) && !(await this.#isStoredOrTimeless(asked))) return;
        const came = await call<AnswerDocument>(`${pathOf(this.document.job)}/commands`, asked);
        if (came.came === 'away') {
          this.link.value = 'away';
          setTimeout(() => void this.#send(), AGAIN);
          return;
        }
        this.link.value = 'reached';
        if (came.came === 'document') {
          this.heard(came.date);
          batch(() => {
            this.#takeIn(came.document.facts);
            this.#takeInEarly();
            if (this.queue.value[0] === asked) this.#wait(this.queue.value.slice(1));
          });
          continue;
        }
        await this.#notTaken(asked, came.problem);
        return;
      }
    } finally {
      this.#isSending = false;
      this.#takeInEarly();
      this.#lookForConflict();
    }
  }

  /** Whether a command has waited: on a page that was closed since, or longer than one that is stored at once. */
  #isLate({ id }: Asked): boolean {
    const at = this.#givenAt.get(id);
    return at === undefined || Math.abs(Date.now() - at) > LATE;
  }

  /**
   * What has waited may be stored now if no time depends on it, or if it was stored when it was given and only the answer did not
   * come. Else a person has to say whether it holds as of now.
   */
  async #isStoredOrTimeless(asked: Asked): Promise<boolean> {
    const job = this.#stored.value;
    const { by, command, id } = asked;
    const decided = decide(this.plan, job, command, { at: this.#clock.now(), by, id }, asked.expectedSeq);
    if (decided.refusals !== undefined || !countsTime(this.plan, job, decided)) return true;
    if (!(await this.#catchUp())) {
      this.link.value = 'away';
      setTimeout(() => void this.#send(), AGAIN);
      return false;
    }
    if (this.#stored.value.facts.some((one) => commandOf(one.id) === id)) return true;
    this.#contradict(this.queue.value.indexOf(asked), [untimely]);
    return false;
  }

  async #notTaken(asked: Asked, problem: Problem): Promise<void> {
    if (passes(problem)) {
      this.link.value = 'away';
      setTimeout(() => void this.#send(), AGAIN);
    } else if (problem.code === 'stale-sequence' || problem.code === 'refused') {
      await this.#catchUp();
      this.#contradict(this.queue.value.indexOf(asked), problem.refusals ?? []);
    } else if (isAboutRequest(problem)) {
      // It will never be taken as it is, and nothing behind it would be stored.
      const { detail, remedy } = problem;
      this.#contradict(this.queue.value.indexOf(asked), [{ code: 'wrong-shape', message: detail, remedy }]);
    } else this.problem.value = problem;
  }

  /** What the stream is answered instead of facts; undefined when they come. */
  #streamSays(problem: Problem | undefined): void {
    const shown = this.problem.value;
    if (shown === undefined || shown === this.#ofStream) this.problem.value = problem;
    this.#ofStream = problem;
  }

  /** Looks for facts where there is no stream that brings them. */
  async #look(): Promise<void> {
    const came = await call<FactsDocument>(this.#factsBehind());
    this.link.value = came.came === 'document' ? 'reached' : 'away';
    if (came.came !== 'document') return;
    this.heard(came.date);
    this.#hear(came.document.facts);
    void this.#send();
  }

  #factsBehind(): string {
    return `${pathOf(this.document.job)}/facts?after=${this.#stored.value.seq}`;
  }

  /** Fetches what others have added, where the stream has not brought it yet. Answers whether it came. */
  async #catchUp(): Promise<boolean> {
    for (;;) {
      const came = await call<FactsDocument>(this.#factsBehind());
      if (came.came !== 'document') return false;
      this.#takeIn(came.document.facts);
      if (came.document.more === undefined || came.document.facts.length === 0) return true;
    }
  }
}
