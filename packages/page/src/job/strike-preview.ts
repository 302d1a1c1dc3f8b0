import {
  type Command,
  type Decided,
  type Fact,
  isLive,
  type Job,
  PHASE,
  type Plan,
  progressOf,
  type Refusal,
  strikes,
  waysOn,
} from '@ferrule/engine';

/** What a strike would come to, as it is shown before it is confirmed. */
export interface StrikePreview {
  /** Names of entries that no longer count, besides the one that is struck. */
  readonly falls: readonly string[];
  /** Paths of steps that were done and are open again, in their order. */
  readonly opens: readonly string[];
  /** The step that the job goes back to, where it does. */
  readonly goesTo?: string;
  /** The text of a hold that it leads to. */
  readonly hold?: string;
  /** Nothing leads on from there: the job can only be closed as unfinished. */
  readonly isStuck: boolean;
}

/** Compares the job as it is with what it would be after a strike. `decide` is asked, and nothing is given. */
export function strikePreview(
  plan: Plan,
  job: Job,
  target: Fact,
  wouldBe: (command: Command) => Decided,
): StrikePreview | { readonly refusals: readonly Refusal[] } {
  const decided = wouldBe({
    command: 'strike',
    target: target.seq,
    reason: 'looked at before',
    insist: true,
  });
  if (decided.refusals !== undefined) return { refusals: decided.refusals };
  const after = decided.job;
  const own = 'entry' in target.fact ? target.fact.entry : undefined;
  const hold = plan.holds[after.control.hold];
  const isBack = after.control.at !== job.control.at && hold === undefined;
  const path = plan.nodes[after.control.at]?.path;
  return {
    falls: plan.entries.flatMap((entry) => {
      const fell = isLive(entry, job.control.bytes) && !isLive(entry, after.control.bytes);
      return fell && entry.name !== own ? [entry.name] : [];
    }),
    opens: plan.nodes.flatMap((node) => {
      if (node.node !== 'step' || progressOf(plan, job.control, node.index) !== PHASE.done) return [];
      return progressOf(plan, after.control, node.index) === PHASE.done ? [] : [node.path];
    }),
    ...(isBack && path !== undefined ? { goesTo: path } : {}),
    ...(hold === undefined ? {} : { hold: hold.text }),
    isStuck: waysOn(plan, after.control).length === 0,
  };
}

/** The facts that may be struck as things stand, the latest first: what was entered, and work that was confirmed. */
export function strikable(plan: Plan, job: Job): readonly Fact[] {
  const seqs = new Set(job.underWay.flatMap((all) => (all ?? []).map(({ seq }) => seq)));
  const undone = new Set<string>();
  for (const one of strikes(plan, job.control)) {
    if (one.signal === 'struck') seqs.add(job.taken[one.entry]?.seq ?? 0);
    if (one.signal === 'undone') undone.add(plan.nodes[one.node]?.path ?? '');
  }
  return [...job.facts].reverse().filter(({ seq, fact }) => {
    if (fact.kind !== 'done' && fact.kind !== 'referred') return seqs.has(seq);
    // Only the last time that the work was done can be struck.
    return undone.delete(fact.step);
  });
}
