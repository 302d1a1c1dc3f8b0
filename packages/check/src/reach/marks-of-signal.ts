import {
  advance,
  type Control,
  PHASE,
  type Plan,
  type PlanNode,
  type Remedy,
  type Signal,
  type StepNode,
} from '@ferrule/engine';
import { type Mark, markOf } from './mark.ts';

/** What one signal reaches, and the control that follows it. */
export interface Reached {
  readonly marks: ReadonlySet<Mark>;
  readonly after: Control;
}

/**
 * What a signal reaches of its plan. A node can be passed over and opened again by one signal, so what the control is
 * afterwards does not tell everything: the bytes are watched while they are written.
 */
export function marksOfSignal(plan: Plan, control: Control, signal: Signal): Reached {
  const marks = new Set<Mark>();
  const reworked = new Set<number>();
  let plain = control.bytes;
  const after = advance(plan, control, signal, (bytes) => {
    plain = bytes.slice();
    return watched(plain, (place, before, now) => {
      const node = plan.nodes[place - plan.cells.length];
      if (node === undefined) return;
      for (const mark of branchMarks(plan, node, before, now)) marks.add(mark);
      if (now === PHASE.reworking) reworked.add(node.index);
    });
  });
  const node = plan.nodes[control.at];
  if (node?.node === 'step') for (const mark of stepMarks(plan, control, node, signal)) marks.add(mark);
  for (const mark of asideMarks(plan, control, signal)) marks.add(mark);
  if (signal.signal === 'struck' || signal.signal === 'undone') {
    for (const mark of struckMarks(plan, after, signal.node, reworked)) marks.add(mark);
  }
  if (after.hold >= 0 && after.hold !== control.hold) {
    for (const mark of holdMarks(plan, after)) marks.add(mark);
  }
  return { marks, after: { ...after, bytes: plain } };
}

/** What is decided before the first signal of a job. */
export function marksOfStart(plan: Plan, start: Control): ReadonlySet<Mark> {
  return new Set(
    plan.nodes.flatMap((node) => [
      ...branchMarks(plan, node, PHASE.unstarted, start.bytes[plan.cells.length + node.index] ?? 0),
    ]),
  );
}

/** Bytes that tell of each one that is written by itself; whole ranges are only ever set back. */
function watched(
  bytes: Uint8Array,
  onWrite: (place: number, before: number, now: number) => void,
): Uint8Array {
  return new Proxy(bytes, {
    get(target, name) {
      const value: unknown = Reflect.get(target, name);
      return typeof value === 'function' ? value.bind(target) : value;
    },
    set(target, name, value: number) {
      const place = Number(name);
      onWrite(place, target[place] ?? 0, value);
      target[place] = value;
      return true;
    },
  });
}

function* branchMarks(plan: Plan, node: PlanNode, before: number, now: number): Generator<Mark> {
  if (before > PHASE.deciding || now <= PHASE.deciding) return;
  if (node.onlyIf !== undefined)
    yield markOf('branch', `${node.pointer}/only-if`, String(now !== PHASE.passed));
  if (node.node !== 'choose' || now < PHASE.CASE) return;
  yield caseMark(plan, node, now - PHASE.CASE);
}

/** The mark of a case of a choice by its place in the plan, or of its `otherwise`. */
export function caseMark(plan: Plan, node: Extract<PlanNode, { node: 'choose' }>, place: number): Mark {
  const body = plan.nodes[node.cases[place]?.body ?? -1];
  return markOf('branch', body?.pointer ?? `${node.pointer}/otherwise`);
}

function* stepMarks(plan: Plan, control: Control, node: StepNode, signal: Signal): Generator<Mark> {
  switch (signal.signal) {
    case 'acknowledged':
      // A step may be nothing but hazards to be acknowledged.
      if (node.act === undefined && node.entries.length === 0) yield markOf('step', node.pointer);
      return;
    case 'done':
    case 'recorded':
    case 'witnessed':
      yield markOf('step', node.pointer);
      return;
    case 'observed': {
      yield markOf('step', node.pointer);
      const entry = plan.entries[signal.entry];
      const answer = entry?.entry === 'observation' ? entry.answers[signal.answer]?.id : undefined;
      if (entry !== undefined) yield markOf('answer', `${entry.pointer}/answers`, answer);
      return;
    }
    case 'identified':
      yield markOf('step', node.pointer);
      yield markOf('identity', `${node.pointer}/identify`, signal.part);
      return;
    case 'judged': {
      yield markOf('step', node.pointer);
      if (node.check?.check !== 'observation') yield markOf('outcome', node.pointer, signal.outcome);
      const found = remediesOf(node).find((one) => one.after.includes(signal.outcome))?.remedy;
      if (found !== undefined) yield* remedyMarks(plan, control, found);
      return;
    }
    case 'omitted':
      yield markOf('omission', `${node.pointer}/not-applicable`);
      return;
    default:
      return;
  }
}

function* remedyMarks(plan: Plan, control: Control, remedy: Remedy): Generator<Mark> {
  if (remedy.remedy !== 'rework') return;
  const tries = (control.bytes[remedy.counter] ?? 0) + 1;
  yield tries >= remedy.attempts ? exhaustedMark(plan, remedy) : reworkMark(plan, remedy);
}

type Rework = Extract<Remedy, { remedy: 'rework' }>;

/** The body of a rework stands under the key `rework` of what is written about it. */
const writtenAt = (plan: Plan, body: number): string =>
  (plan.nodes[body]?.pointer ?? '').replace(/\/rework$/, '');

export const reworkMark = (plan: Plan, remedy: Rework): Mark =>
  markOf('rework', `${writtenAt(plan, remedy.body)}/rework`);

export const exhaustedMark = (plan: Plan, remedy: Rework): Mark =>
  markOf('exhausted', `${writtenAt(plan, remedy.body)}/attempts`);

/** The remedies of the verdict of a step, each with the outcomes that it follows. */
export function remediesOf(
  node: StepNode,
): readonly { readonly after: readonly string[]; readonly remedy: Remedy }[] {
  const { check } = node;
  if (check === undefined) return [];
  const all =
    check.check === 'tolerance'
      ? ([
          ['high', check.high],
          ['low', check.low],
          ['inconclusive', check.inconclusive],
        ] as const)
      : ([['nonconforming', check.nonconforming]] as const);
  return all.flatMap(([outcome, remedy]) => (remedy === undefined ? [] : { after: [outcome], remedy }));
}

function* asideMarks(plan: Plan, control: Control, signal: Signal): Generator<Mark> {
  if (signal.signal === 'parked' || signal.signal === 'resumed')
    yield markOf('parking', parkingPointer(plan), signal.signal);
  const hold = plan.holds[control.hold];
  if (signal.signal === 'released' && hold !== undefined)
    yield markOf('release', `${hold.pointer}/release/${signal.release}`);
}

export const parkingPointer = (plan: Plan): string => `/procedures/${plan.procedure.id}/parking`;

function* struckMarks(
  plan: Plan,
  after: Control,
  index: number,
  reworked: ReadonlySet<number>,
): Generator<Mark> {
  const node = plan.nodes[index];
  if (node?.node !== 'step' || node.struck === undefined) return;
  const { struck } = node;
  const hold = struck.remedy === 'hold' ? struck.hold : struck.exhausted;
  if (reworked.has(index)) yield markOf('strike', `${node.pointer}/if-struck`);
  else if (after.hold === hold && struck.remedy === 'hold')
    yield markOf('strike', `${node.pointer}/if-struck`);
  else if (after.hold === hold && struck.remedy === 'rework') yield exhaustedMark(plan, struck);
}

function* holdMarks(plan: Plan, after: Control): Generator<Mark> {
  const hold = plan.holds[after.hold];
  if (hold === undefined || hold.pointer === '') return;
  yield markOf('hold', hold.pointer);
  for (const [number, release] of hold.releases.entries()) {
    if (release.by === 'rework' && (after.bytes[release.counter] ?? 0) >= release.times)
      yield markOf('used-up', `${hold.pointer}/release/${number}/times`);
  }
}
