import {
  type Decision,
  ENTRY,
  type Entry,
  PART,
  type Plan,
  type PlanNode,
  type Remedy,
  type StepNode,
  TRUTH,
} from '../model/plan.ts';
import { changesEngine } from './changes-engine.ts';
import { blankControl, type Control, decided, hasTaken, isLeftOut, PHASE } from './control.ts';
import { countedAt } from './counted-at.ts';
import { actFaults, applyEffects } from './effects.ts';
import type { JudgedOutcome, Signal } from './signal.ts';
import {
  CHANGED,
  comparedWith,
  sinceFrom,
  sinceLength,
  takersThatCallForWork,
  timedThatCallForWork,
  UNCHANGED,
} from './since.ts';
import { canBeTakenAgain, isTimeBuiltUpon, leadsBack } from './struck.ts';
import { Walk } from './walk.ts';

/** The control of a job that has just started: at the first place where something has to happen. */
export function startControl(plan: Plan): Control {
  const blank = blankControl(plan);
  const walk = new Walk(plan, blank, blank.bytes);
  walk.enter(0);
  return walk.control();
}

/**
 * The control that follows a signal. Total on `signals(plan, control)` and pure; it knows outcomes, never numbers. Throws
 * on a signal that cannot happen here, since that is a defect of the caller. `copy` says where the bytes of the new
 * control are put; whoever explores very many controls may hand out room for them himself.
 */
export function advance(
  plan: Plan,
  control: Control,
  signal: Signal,
  copy: (bytes: Uint8Array) => Uint8Array = copied,
): Control {
  switch (signal.signal) {
    case 'started':
      return startControl(plan);
    case 'closed':
      return { ...control, closed: signal.finished ? 'finished' : 'unfinished' };
    case 'parked':
      return { ...control, parked: true };
    case 'resumed':
      return { ...control, parked: false };
    default: {
      const walk = new Walk(plan, control, copy(control.bytes));
      move(plan, walk, signal);
      return walk.control();
    }
  }
}

const copied = (bytes: Uint8Array): Uint8Array => bytes.slice();

function move(
  plan: Plan,
  walk: Walk,
  signal: Exclude<Signal, { signal: 'started' | 'closed' | 'parked' | 'resumed' }>,
): void {
  switch (signal.signal) {
    case 'branched':
      return branch(plan, walk, signal.truth);
    case 'acknowledged':
      return walk.goOn(stepAt(plan, walk), PHASE.act);
    case 'done':
      return act(plan, walk, stepAt(plan, walk));
    case 'omitted':
      return walk.leave(walk.at);
    case 'recorded':
      return take(plan, walk, signal.entry, ENTRY.held);
    case 'observed':
      return take(plan, walk, signal.entry, signal.answer + 1);
    case 'identified': {
      const entry = plan.entries[signal.entry];
      if (entry?.entry === 'identity') walk.bytes[entry.partCell] = PART[signal.part];
      return take(plan, walk, signal.entry, ENTRY.held);
    }
    case 'judged':
      return judged(walk, stepAt(plan, walk), signal.outcome);
    case 'released':
      return release(plan, walk, signal.release);
    case 'witnessed':
      return walk.goOn(stepAt(plan, walk), PHASE.done);
    case 'struck':
      return strikeEntry(plan, walk, signal.entry, signal.node);
    case 'undone':
      return strikeStep(plan, walk, signal.node);
  }
}

function stepAt(plan: Plan, walk: Walk): StepNode {
  const node = plan.nodes[walk.at];
  if (node?.node !== 'step') throw new Error(`a step was expected at ${walk.at}`);
  return node;
}

/** What a node that is being decided waits for: whether it is passed over, and after that which of its cases is true. */
export function openDecisions(node: PlanNode, plan: Plan, bytes: Uint8Array): readonly Decision[] {
  if (node.onlyIf !== undefined && decided(plan, node.onlyIf, bytes) === undefined) return [node.onlyIf];
  return node.node === 'choose' ? node.cases.map((one) => one.when) : [];
}

/** The conditions over readings among them that are not decided yet, each once. */
export function openConditions(node: PlanNode, plan: Plan, bytes: Uint8Array): readonly number[] {
  const open = new Set<number>();
  for (const decision of openDecisions(node, plan, bytes)) {
    if (decision.by === 'condition' && decided(plan, decision, bytes) === undefined)
      open.add(decision.condition);
  }
  return [...open];
}

function branch(plan: Plan, walk: Walk, truths: readonly boolean[]): void {
  const node = plan.nodes[walk.at];
  if (node === undefined) throw new Error('nothing is being decided');
  openConditions(node, plan, walk.bytes).forEach((condition, place) => {
    const cell = plan.conditions[condition]?.cell ?? 0;
    walk.bytes[cell] = truths[place] === true ? TRUTH.true : TRUTH.false;
  });
  walk.enter(walk.at);
}

const knownTruths = new WeakMap<Plan, ReadonlyMap<number, readonly number[]>>();

/** The truths of conditions that read an entry, by the cell of the entry. */
function truthsOf(plan: Plan, cell: number): readonly number[] {
  const made = knownTruths.get(plan) ?? new Map(plan.entries.map((entry) => [entry.cell, entry.truths]));
  knownTruths.set(plan, made);
  return made.get(cell) ?? [];
}

function act(plan: Plan, walk: Walk, node: StepNode): void {
  applyEffects(node, walk.bytes);
  // What is stale decides nothing any more.
  for (const { cell } of node.disturbs)
    for (const truth of truthsOf(plan, cell)) walk.bytes[truth] = TRUTH.unknown;
  if (changesEngine(node)) {
    const from = sinceFrom(plan);
    walk.bytes.fill(CHANGED, from, from + sinceLength(plan));
  }
  const timed = timedThatCallForWork(plan).get(node.index);
  if (timed !== undefined) walk.bytes[sinceFrom(plan) + timed] = UNCHANGED;
  walk.afterAct(node);
}

function take(plan: Plan, walk: Walk, entry: number, value: number): void {
  const taken = plan.entries[entry];
  if (taken === undefined) throw new Error(`there is no entry ${entry}`);
  walk.bytes[taken.cell] = value;
  const place = takersThatCallForWork(plan).get(walk.at);
  if (place !== undefined) walk.bytes[sinceFrom(plan) + place] = UNCHANGED;
  for (const truth of taken.truths) walk.bytes[truth] = TRUTH.unknown;
  walk.goOn(stepAt(plan, walk), PHASE.entries);
}

function judged(walk: Walk, node: StepNode, outcome: JudgedOutcome): void {
  if (outcome === 'conforming') return walk.goOn(node, PHASE.witness);
  walk.remedy(node, remedyFor(node, outcome));
}

/** What the step says about an outcome that does not conform. */
export function remedyFor(node: StepNode, outcome: JudgedOutcome): Remedy | undefined {
  const check = node.check;
  if (check === undefined) return undefined;
  if (check.check !== 'tolerance') return check.nonconforming;
  return outcome === 'high' ? check.high : outcome === 'low' ? check.low : check.inconclusive;
}

function release(plan: Plan, walk: Walk, number: number): void {
  const hold = walk.holdAt();
  const released = hold?.releases[number];
  if (hold === undefined || released === undefined) throw new Error('there is no such release');
  walk.hold = -1;
  if (released.by === 'rework') {
    walk.bytes[released.counter] = (walk.bytes[released.counter] ?? 0) + 1;
    return walk.rework(hold.node, released.body);
  }
  const node = plan.nodes[hold.node];
  if (node?.node === 'step') return walk.goOn(node, PHASE.witness);
  walk.leave(hold.node);
}

/** An entry that a step took is struck: it, and what relied on it, is open again. The physical states stay as they are. */
function strikeEntry(plan: Plan, walk: Walk, index: number, taker: number): void {
  const entry = plan.entries[index];
  if (entry === undefined) throw new Error(`there is no entry ${index}`);
  // A step that will be entered anew, or is left out, does not take it again here; what relied on it waits.
  const isTakenAgain = hasTaken(plan, walk, entry, taker);
  const canBeTaken = canBeTakenAgain(plan, walk, index, taker);
  const needed = loosen(plan, walk, index, taker);
  if (isTakenAgain) goBack(plan, walk, taker, PHASE.entries, { canBeTaken, needed });
  else {
    // Where it is led past now and may be come to again, it has to take what it has lost.
    const progress = walk.progress(taker);
    if (progress > PHASE.entries && progress <= PHASE.done) walk.setProgress(taker, PHASE.entries);
    if (walk.hold < 0) goToOpened(plan, walk, entry);
  }
  // What is taken again for one step is not yet taken for a later one that was waiting for its own.
  for (const other of entry.takers) {
    const waits = other !== taker && other !== walk.at && walk.progress(other) === PHASE.entries;
    if (waits) walk.setProgress(other, PHASE.afresh);
  }
}

/** Goes back to the first node that relied on an entry and is open again. */
function goToOpened(plan: Plan, walk: Walk, entry: Entry): void {
  const opened = [...entry.judgedBy, ...entry.decides, ...entry.usedBy].filter((node) => {
    const progress = walk.progress(node);
    const isOpen = progress === PHASE.entries || progress === PHASE.deciding || progress === PHASE.act;
    return node < walk.at && isOpen && !isLeftOut(plan, walk, node);
  });
  if (opened.length > 0) walk.enter(Math.min(...opened));
}

/**
 * An act is struck: the step is to be done again, and its entries are to be taken again, all of it in the present states. A
 * way back there is for entries only.
 */
function strikeStep(plan: Plan, walk: Walk, index: number): void {
  const node = plan.nodes[index];
  if (node?.node !== 'step') throw new Error(`there is no step ${index}`);
  const canBeTaken =
    canAct(node, walk.bytes) &&
    !isTimeBuiltUpon(plan, walk.bytes, index) &&
    node.entries.every((entry) => !walk.isRecorded(entry) || canBeTakenAgain(plan, walk, entry, index));
  let needed = countedAt(plan, index).some((one) => one.judgedBy.some((at) => walk.isAheadInRework(at)));
  for (const entry of node.entries) {
    if (walk.isRecorded(entry) && loosen(plan, walk, entry, index)) needed = true;
  }
  goBack(plan, walk, index, PHASE.act, { canBeTaken, needed });
}

/**
 * Forgets an entry that `taker` took, and opens again what relied on it since. Answers whether something needs it before
 * a rework that is under way is over.
 */
function loosen(plan: Plan, walk: Walk, index: number, taker: number): boolean {
  const entry = plan.entries[index];
  if (entry === undefined) return false;
  const held = walk.holdAt();
  walk.forget(index);
  if (entry.entry === 'identity' && entry.as === 'found') loosenPart(plan, walk, entry);
  // A hold that this very entry led to has lost its ground.
  const leads = held !== undefined && (held.node === taker || entry.judgedBy.includes(held.node));
  if (leads) {
    walk.hold = -1;
    walk.setProgress(held.node, PHASE.entries);
  }
  walk.openWhatRelied(index, taker);
  return (
    leads || [...entry.judgedBy, ...entry.decides, ...entry.usedBy].some((one) => walk.isAheadInRework(one))
  );
}

/** The serial number that a place had is struck: what was compared with it is to be compared again. */
function loosenPart(plan: Plan, walk: Walk, found: Extract<Entry, { entry: 'identity' }>): void {
  for (const index of comparedWith(plan, found)) {
    const isRecorded = walk.isRecorded(index);
    walk.forget(index);
    for (const taker of isRecorded ? (plan.entries[index]?.takers ?? []) : []) {
      const progress = walk.progress(taker);
      if (progress > PHASE.entries && progress <= PHASE.done) walk.reopen(taker, PHASE.entries);
    }
  }
  walk.bytes[found.partCell] = PART.unknown;
}

/** Whether a step could be acted now: its guards hold, and its changes can be made. */
function canAct(node: StepNode, bytes: Uint8Array): boolean {
  return actFaults(node, bytes).length === 0;
}

/** Moves the job back to a step, or opens the step where it is not in the way of the job anyway. */
function goBack(
  plan: Plan,
  walk: Walk,
  index: number,
  phase: number,
  { canBeTaken, needed }: { readonly canBeTaken: boolean; readonly needed: boolean },
): void {
  const node = plan.nodes[index];
  if (node?.node !== 'step') return;
  // A rework that is under way comes past the step again.
  if (walk.at !== index && !needed && walk.isReworking(index)) return;
  if (!canBeTaken) {
    const struck = phase === PHASE.entries ? node.struck : undefined;
    const leadsOn = leadsBack(plan, struck, walk.bytes);
    if (leadsOn && struck?.remedy === 'rework') {
      walk.reopenAround(index);
      return walk.remedy(node, struck);
    }
    walk.reopen(index, phase);
    return walk.openHold(index, leadsOn && struck?.remedy === 'hold' ? struck.hold : STRUCK_HOLD);
  }
  walk.reopen(index, phase);
  if (index < walk.at) walk.at = index;
}

/** The hold that every plan has, for a struck entry that the present states do not let be taken again. */
const STRUCK_HOLD = 0;
