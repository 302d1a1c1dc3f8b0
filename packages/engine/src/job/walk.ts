import {
  type BlockNode,
  type ChooseNode,
  type Decision,
  ENTRY,
  type HoldNode,
  PART,
  type Plan,
  type PlanHold,
  type Remedy,
  type Resumption,
  type StepNode,
  TRUTH,
} from '../model/plan.ts';
import { type Control, decided, failing, isLive, PHASE } from './control.ts';
import { countedAt } from './counted-at.ts';
import { lastUndone } from './counting.ts';

/**
 * Moves a job over its plan: the one place that knows what follows what. It works on its own copy of the bytes and
 * hands out a new control at the end.
 *
 * Going forward, a node that is done is passed, an unstarted one is entered, and one that is under way is taken up
 * where it stood. So a struck reading needs no memory of where the job was: the way forward leads back there.
 */
export class Walk {
  readonly #plan: Plan;
  readonly bytes: Uint8Array;
  at: number;
  hold: number;

  /** `bytes` is a copy of the control's, which the walk may write on. */
  constructor(plan: Plan, control: Control, bytes: Uint8Array) {
    this.#plan = plan;
    this.bytes = bytes;
    this.at = control.at;
    this.hold = control.hold;
  }

  control(): Control {
    return { at: this.at, hold: this.hold, parked: false, bytes: this.bytes };
  }

  progress(node: number): number {
    return this.bytes[this.#plan.cells.length + node] ?? PHASE.unstarted;
  }

  setProgress(node: number, phase: number): void {
    this.bytes[this.#plan.cells.length + node] = phase;
  }

  /** Goes to a node and on to the first place where something has to happen. */
  enter(from: number): void {
    let next = from;
    // Each turn of the loop enters one node or leaves one, so its length is bounded by the size of the plan.
    for (;;) {
      const node = this.#plan.nodes[next];
      if (node === undefined) {
        this.at = this.#plan.nodes.length;
        return;
      }
      const progress = this.progress(next);
      if (progress === PHASE.done || progress === PHASE.passed) {
        next = this.#following(next);
        continue;
      }
      if (progress <= PHASE.deciding && node.onlyIf !== undefined) {
        const truth = this.#decided(node.onlyIf);
        if (truth === undefined) {
          this.setProgress(next, PHASE.deciding);
          this.at = next;
          return;
        }
        if (!truth) {
          this.#leaveOut(node.index, node.end);
          this.setProgress(next, PHASE.passed);
          next = this.#following(next);
          continue;
        }
      }
      const inside = this.#begin(next);
      if (inside === undefined) return;
      next = inside === next ? this.#following(next) : inside;
    }
  }

  /**
   * Begins a node or takes it up again. Answers the node to go to next: one inside it, itself when it is done; or
   * undefined when something has to happen here.
   */
  #begin(index: number): number | undefined {
    const node = this.#plan.nodes[index];
    if (node === undefined) return undefined;
    switch (node.node) {
      case 'block':
        if (this.progress(index) !== PHASE.begun) {
          for (const counter of node.counters) this.bytes[counter] = 0;
        }
        this.setProgress(index, PHASE.begun);
        return node.first < 0 ? index : node.first;
      case 'step':
        return this.#takeUpStep(node);
      case 'choose':
        return this.#takeUpChoice(node);
      case 'hold': {
        const body = this.#bodyUnderWay(node);
        if (body !== undefined) return body;
        this.setProgress(index, PHASE.holding);
        this.at = index;
        this.hold = node.hold;
        return undefined;
      }
    }
  }

  /** The rework of a step or a hold point that has been begun and is not done. */
  #bodyUnderWay(node: StepNode | HoldNode): number | undefined {
    if (this.progress(node.index) !== PHASE.reworking) return undefined;
    for (let body = node.index + 1; body < node.end; body = this.#plan.nodes[body]?.end ?? node.end) {
      const at = this.progress(body);
      if (at !== PHASE.unstarted && at !== PHASE.done && at !== PHASE.passed) return body;
    }
    return undefined;
  }

  #takeUpStep(node: StepNode): number | undefined {
    const progress = this.progress(node.index);
    if (progress === PHASE.reworking) return this.#bodyUnderWay(node) ?? this.phase(node, PHASE.judge);
    const fresh = progress === PHASE.unstarted || progress === PHASE.deciding;
    return this.phase(node, fresh ? PHASE.hazards : progress);
  }

  /**
   * Puts a step into the first phase from `from` on that asks for something. Answers the step itself when it is done,
   * undefined when something has to happen.
   */
  phase(node: StepNode, from: number): number | undefined {
    let phase = from;
    if (phase === PHASE.hazards && !node.acknowledge) phase = PHASE.act;
    if (phase === PHASE.act && node.act === undefined) phase = PHASE.afresh;
    if (phase === PHASE.afresh) {
      this.#forgetEntries(node);
      phase = PHASE.entries;
    }
    if (phase === PHASE.entries && node.entries.every((entry) => this.#isTaken(entry))) phase = PHASE.judge;
    if (phase === PHASE.judge && node.check === undefined) phase = PHASE.witness;
    if (phase === PHASE.witness && node.witness === undefined) phase = PHASE.done;
    this.setProgress(node.index, phase);
    if (phase === PHASE.done) return node.index;
    this.at = node.index;
    return undefined;
  }

  /** After the act: the entries of the step have to be taken. */
  afterAct(node: StepNode): void {
    this.goOn(node, PHASE.afresh);
  }

  /** Goes on with a step from a phase, and beyond it when it is done. */
  goOn(node: StepNode, from: number): void {
    if (this.phase(node, from) !== undefined) this.leave(node.index);
  }

  /** Leaves a node that is done. */
  leave(node: number): void {
    this.setProgress(node, PHASE.done);
    const next = this.#following(node);
    this.enter(next);
  }

  /** What follows a node that is done; blocks and choices around it are closed on the way. */
  #following(from: number): number {
    let index = from;
    for (;;) {
      const node = this.#plan.nodes[index];
      if (node === undefined) return this.#plan.nodes.length;
      if (this.progress(index) !== PHASE.passed) this.setProgress(index, PHASE.done);
      if (node.node === 'block' && node.resumes !== undefined) return this.#resume(node.resumes);
      if (node.next >= 0) return node.next;
      index = node.parent;
    }
  }

  /** Opens again everything from where the job goes on to the end of that body. */
  #resume(resumes: Resumption): number {
    this.doAgain(resumes.at, resumes.until);
    return resumes.at;
  }

  /** Opens a range of nodes again: they are to be done anew, and their entries are to be taken anew. */
  doAgain(from: number, until: number): void {
    const { nodes, cells } = this.#plan;
    const { bytes } = this;
    for (let index = from; index < until; index++) {
      if (bytes[cells.length + index] === PHASE.unstarted) continue;
      const node = nodes[index];
      if (node?.node === 'step') for (const entry of node.entries) this.forget(entry);
    }
    this.bytes.fill(PHASE.unstarted, cells.length + from, cells.length + until);
  }

  /** What lies in a range that the job no longer comes past, after a strike, does not count: nor what was taken there alone. */
  #leaveOut(from: number, until: number): void {
    const { nodes, cells, entries } = this.#plan;
    for (let index = from; index < until; index++) {
      if (this.progress(index) === PHASE.unstarted) continue;
      const node = nodes[index];
      for (const entry of node?.node === 'step' ? node.entries : []) {
        if (entries[entry]?.takers.every((one) => from <= one && one < until) !== true) continue;
        this.forget(entry);
        this.openWhatRelied(entry, until - 1);
      }
    }
    this.bytes.fill(PHASE.unstarted, cells.length + from, cells.length + until);
  }

  /** Opens what has judged by an entry, or was decided by it, since a step took it: it no longer counts. */
  openWhatRelied(index: number, taker: number): void {
    const entry = this.#plan.entries[index];
    for (const node of entry?.judgedBy ?? []) {
      // What was judged before this taking relied on an earlier one; a rework that is under way judges again itself.
      const isBefore = (this.#plan.nodes[node]?.end ?? 0) <= taker;
      const progress = this.progress(node);
      if (node === taker || isBefore || progress === PHASE.reworking) continue;
      if (progress > PHASE.judge && progress !== PHASE.passed) this.reopen(node, PHASE.entries);
    }
    // What stands before the step that took it was decided by an earlier taking.
    for (const node of entry?.decides ?? [])
      if (node > taker && this.progress(node) > PHASE.deciding) this.reopen(node, PHASE.deciding);
    // Work that was done by it is done again, and whatever was taken after that work is taken again.
    for (const node of entry?.usedBy ?? []) {
      const progress = this.progress(node);
      if (node <= taker || progress <= PHASE.act || progress === PHASE.passed || progress === PHASE.reworking)
        continue;
      this.reopen(node, PHASE.act);
      const step = this.#plan.nodes[node];
      for (const own of step?.node === 'step' ? step.entries : []) {
        this.forget(own);
        this.openWhatRelied(own, node);
      }
    }
  }

  /** Opens a node again, and every block and choice around it. */
  reopen(node: number, phase: number): void {
    this.setProgress(node, phase);
    this.reopenAround(node);
    const step = this.#plan.nodes[node];
    if (step?.node === 'step' && phase <= lastUndone(step)) this.#openWhatCounts(node);
  }

  /** Opens what has judged a time that counts from a step, or up to it: the step is to be done again. */
  #openWhatCounts(node: number): void {
    for (const { judgedBy } of countedAt(this.#plan, node)) {
      for (const judging of judgedBy) {
        const progress = this.progress(judging);
        // A rework that is under way judges again itself.
        const isJudged = progress > PHASE.judge && progress !== PHASE.passed && progress !== PHASE.reworking;
        if (judging !== node && isJudged) this.reopen(judging, PHASE.entries);
      }
    }
  }

  /** Marks an entry as not recorded; conditions that read it are unknown again. */
  forget(index: number): void {
    const entry = this.#plan.entries[index];
    if (entry === undefined) return;
    this.bytes[entry.cell] = ENTRY.none;
    for (const truth of entry.truths) this.bytes[truth] = TRUTH.unknown;
    if (entry.entry === 'identity' && entry.as === 'fitted' && this.bytes[entry.partCell] !== PART.unknown) {
      this.bytes[entry.partCell] = PART.found;
    }
  }

  /** The entries of a step are to be taken. One that was disturbed stays so until it is. */
  #forgetEntries(node: StepNode): void {
    for (const entry of node.entries) {
      const taken = this.#plan.entries[entry];
      const isStale = taken?.entry === 'reading' && this.bytes[taken.cell] === ENTRY.stale;
      if (!isStale) this.forget(entry);
    }
  }

  #isTaken(index: number): boolean {
    const entry = this.#plan.entries[index];
    return entry === undefined || isLive(entry, this.bytes);
  }

  #takeUpChoice(node: ChooseNode): number | undefined {
    const progress = this.progress(node.index);
    if (progress >= PHASE.CASE) {
      const chosen = node.cases[progress - PHASE.CASE]?.body ?? node.otherwise;
      return chosen < 0 ? node.index : chosen;
    }
    const truths = node.cases.map((one) => this.#decided(one.when));
    const isTrue = truths.filter((truth) => truth === true).length;
    // Exactly one case, or none and `otherwise`; anything else waits here and is said.
    if (truths.includes(undefined) || isTrue > 1 || (isTrue === 0 && node.otherwise < 0)) {
      this.setProgress(node.index, PHASE.deciding);
      this.at = node.index;
      return undefined;
    }
    const found = truths.indexOf(true);
    const chosen = found < 0 ? node.cases.length : found;
    const body = node.cases[chosen]?.body ?? node.otherwise;
    for (const other of [...node.cases.map((one) => one.body), node.otherwise])
      if (other >= 0 && other !== body) this.#leaveOut(other, this.#plan.nodes[other]?.end ?? other);
    return this.#choose(node, chosen);
  }

  #choose(node: ChooseNode, number: number): number {
    this.setProgress(node.index, PHASE.CASE + number);
    const body = node.cases[number]?.body ?? node.otherwise;
    return body < 0 ? node.index : body;
  }

  #decided(decision: Decision): boolean | undefined {
    return decided(this.#plan, decision, this.bytes);
  }

  /** Begins what a remedy says, for a check that has just failed. */
  remedy(node: StepNode, remedy: Remedy | undefined): void {
    if (remedy === undefined || remedy.remedy === 'hold') {
      this.openHold(node.index, remedy?.hold ?? -1);
      return;
    }
    // After the last attempt the count stays: a verdict on what was struck and taken again is no further one.
    const tries = Math.min((this.bytes[remedy.counter] ?? 0) + 1, remedy.attempts);
    this.bytes[remedy.counter] = tries;
    if (tries >= remedy.attempts) this.openHold(node.index, remedy.exhausted);
    else this.rework(node.index, remedy.body);
  }

  openHold(node: number, hold: number): void {
    this.at = node;
    this.hold = hold;
  }

  /** Begins a body of rework that belongs to a step or a hold point. */
  rework(owner: number, body: number): void {
    this.hold = -1;
    this.setProgress(owner, PHASE.reworking);
    const block = this.#plan.nodes[body];
    if (block === undefined) return;
    this.bytes.fill(PHASE.unstarted, this.#plan.cells.length + body, this.#plan.cells.length + block.end);
    this.enter(body);
  }

  /** Every block and choice around a node is under way again. */
  reopenAround(node: number): void {
    for (let around = this.#plan.nodes[node]?.parent ?? -1; around >= 0; ) {
      const outer = this.#plan.nodes[around];
      if (outer === undefined) return;
      if (this.progress(around) === PHASE.done) this.setProgress(around, this.#underWay(around, node));
      around = outer.parent;
    }
  }

  #underWay(around: number, inside: number): number {
    const outer = this.#plan.nodes[around];
    if (outer?.node !== 'choose') return outer?.node === 'step' ? PHASE.reworking : PHASE.begun;
    const bodies = [...outer.cases.map((one) => one.body), outer.otherwise];
    const taken = bodies.findIndex(
      (body) => body >= 0 && body <= inside && inside < (this.#plan.nodes[body]?.end ?? 0),
    );
    return PHASE.CASE + Math.max(0, taken);
  }

  /** Whether a node still lies ahead in a rework that the job is inside of. */
  isAheadInRework(node: number): boolean {
    for (let index = this.at; index >= 0; index = this.#plan.nodes[index]?.parent ?? -1) {
      const block = this.#block(index);
      if (block?.resumes !== undefined && index < node && node < block.end && node >= this.at) return true;
    }
    return false;
  }

  isRecorded(entry: number): boolean {
    return this.bytes[this.#plan.entries[entry]?.cell ?? 0] !== ENTRY.none;
  }

  /** Whether the job is inside a rework that will do this node again anyway. */
  isReworking(node: number): boolean {
    for (let index = this.at; index >= 0; ) {
      const block: BlockNode | undefined = this.#block(index);
      if (block?.resumes !== undefined && block.resumes.at <= node && node < block.resumes.until) return true;
      index = this.#plan.nodes[index]?.parent ?? -1;
    }
    return false;
  }

  #block(index: number): BlockNode | undefined {
    const node = this.#plan.nodes[index];
    return node?.node === 'block' ? node : undefined;
  }

  canTake(entry: number): boolean {
    const guards = this.#plan.entries[entry]?.guards ?? [];
    return failing(guards, this.bytes).length === 0;
  }

  holdAt(): PlanHold | undefined {
    return this.#plan.holds[this.hold];
  }
}
