import { evaluate, writeExplanation } from '../logic/index.ts';
import type { Plan, StepNode } from '../model/plan.ts';
import { openConditions } from './advance.ts';
import type { Occasion } from './command.ts';
import { PHASE, progressOf } from './control.ts';
import { timesOf } from './elapsed.ts';
import type { Fact, FactBody, WrittenVerdict } from './fact.ts';
import { type Job, jobFrom, sameSignal, signalOf, withFact } from './job.ts';
import { choiceOf } from './select-from-stock.ts';
import { entryConforms, waysOn } from './signals.ts';
import { reader } from './value.ts';
import { takenIn, verdictOn } from './verdict-on.ts';
import { writeVerdict } from './write-verdict.ts';

/**
 * The facts of one command: what was asked for, and all that follows by itself (decisions by readings, verdicts, holds).
 * The whole batch is kept or none of it.
 */
export class Batch {
  readonly #plan: Plan;
  readonly #occasion: Occasion;
  readonly facts: Fact[] = [];
  job: Job;

  private constructor(plan: Plan, occasion: Occasion, job: Job) {
    this.#plan = plan;
    this.#occasion = occasion;
    this.job = job;
  }

  static onto(plan: Plan, job: Job, occasion: Occasion): Batch {
    return new Batch(plan, occasion, job);
  }

  static starting(plan: Plan, occasion: Occasion, body: Extract<FactBody, { kind: 'started' }>): Batch {
    const fact = {
      format: '1',
      seq: 1,
      id: `${occasion.id}.1`,
      at: occasion.at,
      by: occasion.by,
      fact: body,
    } as const;
    const batch = new Batch(plan, occasion, jobFrom(plan, fact));
    batch.facts.push(fact);
    return batch.settle();
  }

  add(body: FactBody): this {
    const fact: Fact = {
      format: '1',
      seq: this.job.seq + 1,
      id: `${this.#occasion.id}.${this.facts.length + 1}`,
      at: this.#occasion.at,
      by: this.#occasion.by,
      fact: body,
    };
    const before = this.job.control.hold;
    this.job = withFact(this.#plan, this.job, fact);
    this.facts.push(fact);
    const hold = this.#plan.holds[this.job.control.hold];
    if (hold !== undefined && (before < 0 || this.#plan.holds[before] !== hold)) {
      const step = this.#plan.nodes[hold.node] ?? this.#plan.nodes[this.job.control.at];
      this.add({ kind: 'held', hold: hold.id, step: step?.path ?? '', text: hold.text });
    }
    return this;
  }

  /** Adds what follows by itself, until a person has to act or something is missing. */
  settle(): this {
    for (let body = this.#next(); body !== undefined; body = this.#next()) this.add(body);
    return this;
  }

  #next(): FactBody | undefined {
    const { control } = this.job;
    const node = this.#plan.nodes[control.at];
    if (node === undefined || control.hold >= 0 || control.parked || control.closed !== undefined)
      return undefined;
    const phase = progressOf(this.#plan, control, control.at);
    if (phase === PHASE.deciding) return this.#branched();
    if (phase === PHASE.judge && node.node === 'step') {
      const verdict = verdictAt(this.#plan, this.job, node);
      return verdict === undefined ? undefined : { kind: 'judged', step: node.path, ...verdict };
    }
    return undefined;
  }

  #branched(): FactBody | undefined {
    const node = this.#plan.nodes[this.job.control.at];
    if (node === undefined) return undefined;
    const read = reader(this.#plan, this.job);
    const decided: Extract<FactBody, { kind: 'branched' }>['decided'][number][] = [];
    for (const index of openConditions(node, this.#plan, this.job.control.bytes)) {
      const condition = this.#plan.conditions[index];
      if (condition === undefined) return undefined;
      const { truth, explanation } = evaluate(condition.lowered, read);
      if (truth === undefined) return undefined;
      decided.push({ condition: condition.says, truth, explanation: writeExplanation(explanation) });
    }
    const body: FactBody = { kind: 'branched', step: node.path, decided };
    const signal = signalOf(this.#plan, this.job, body);
    // Two cases true at once, or none without `otherwise`: the choice blocks, and `offers` says so.
    const possible = waysOn(this.#plan, this.job.control);
    return signal !== undefined && possible.some((one) => sameSignal(one, signal)) ? body : undefined;
  }
}

/** The verdict on a step that waits for one, or undefined while something is missing for it. */
function verdictAt(
  plan: Plan,
  job: Job,
  node: StepNode,
): { readonly of: string; readonly verdict: WrittenVerdict } | undefined {
  const { check } = node;
  if (check === undefined) return undefined;
  if (check.check === 'tolerance') {
    const tolerance = plan.tolerances[check.tolerance];
    if (tolerance === undefined) return undefined;
    const verdict = writeVerdict(
      tolerance,
      verdictOn(plan, job, tolerance),
      takenIn(plan, job),
      timesOf(plan, job, tolerance),
    );
    return verdict === undefined ? undefined : { of: tolerance.name, verdict };
  }
  if (check.check === 'stock') {
    const selection = plan.selections[check.selection];
    if (selection === undefined) return undefined;
    const verdict = choiceOf(plan, job, selection);
    return 'missing' in verdict ? undefined : { of: selection.name, verdict };
  }
  const entry = plan.entries[check.entry];
  const conforms = entryConforms(plan, entry, job.control.bytes);
  if (entry === undefined || conforms === undefined) return undefined;
  const value = job.taken[check.entry]?.text ?? '';
  return { of: entry.name, verdict: { verdict: conforms ? 'conforming' : 'nonconforming', value } };
}
