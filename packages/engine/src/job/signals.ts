import { canHaveValue, type PossibleTruths, possibleTruths } from '../logic/index.ts';
import { ENTRY, type Entry, PART, type Plan, type StepNode } from '../model/plan.ts';
import { openConditions, openDecisions } from './advance.ts';
import { changesEngine } from './changes-engine.ts';
import { type Control, decided, failing, holds, isLive, PHASE, progressOf, tookIt } from './control.ts';
import { isElapsed } from './counting.ts';
import { actFaults } from './effects.ts';
import { findEntry } from './find.ts';
import type { PartOutcome, Signal } from './signal.ts';

/** Everything that can happen in a control: the way on, and what a person may do besides. */
export function signals(plan: Plan, control: Control): readonly Signal[] {
  if (control.closed !== undefined) return [];
  const aside: Signal[] = [{ signal: 'closed', finished: false }];
  if (control.parked) return [{ signal: 'resumed' }, ...aside];
  if (control.hold < 0 && plan.parking !== undefined && holds(plan.parking.guard.test, control.bytes)) {
    aside.push({ signal: 'parked' });
  }
  return [...waysOn(plan, control), ...strikes(plan, control), ...aside];
}

/** The signals that carry the job on, strikes and parking left aside. Empty means that the job cannot go on. */
export function waysOn(plan: Plan, control: Control): readonly Signal[] {
  if (control.closed !== undefined || control.parked) return [];
  if (control.hold >= 0) return releases(plan, control);
  const node = plan.nodes[control.at];
  if (node === undefined) {
    return failing(plan.ends, control.bytes).length === 0 ? [{ signal: 'closed', finished: true }] : [];
  }
  const phase = progressOf(plan, control, control.at);
  if (phase === PHASE.deciding) return branches(plan, control);
  if (node.node !== 'step') return [];
  switch (phase) {
    case PHASE.hazards:
      return [{ signal: 'acknowledged' }, ...omission(plan, control, node)];
    case PHASE.act:
      return [
        ...(actFaults(node, control.bytes).length === 0 ? [{ signal: 'done' } as const] : []),
        ...omission(plan, control, node),
      ];
    case PHASE.entries:
      return [
        ...node.entries.flatMap((entry) => takings(plan, control, entry)),
        ...(node.act === undefined ? omission(plan, control, node) : []),
      ];
    case PHASE.judge:
      return judgements(plan, control, node);
    case PHASE.witness:
      return [{ signal: 'witnessed' }];
    default:
      return [];
  }
}

const omission = (plan: Plan, control: Control, node: StepNode): readonly Signal[] =>
  mayBeLeftOut(plan, control, node) ? [{ signal: 'omitted' }] : [];

/**
 * Whether a step can be left out where it stands: the pack lets it be, none of its entries is taken yet, and no result of
 * it has led to a rework since its block was begun, since leaving it out would do away with that result.
 */
export function mayBeLeftOut(plan: Plan, { bytes }: Control, node: StepNode): boolean {
  if (node.notApplicable === undefined) return false;
  const progress = progressOf(plan, { bytes }, node.index);
  if (progress === PHASE.entries && node.entries.some((one) => isLive(plan.entries[one], bytes)))
    return false;
  return !reworkCounters(plan, node).some((counter) => (bytes[counter] ?? 0) > 0);
}

/** The counters of every rework that a step can lead to, also through one of its holds. */
export function reworkCounters(plan: Plan, node: StepNode): readonly number[] {
  const { check, struck } = node;
  const judged =
    check?.check === 'tolerance' ? [check.high, check.low, check.inconclusive] : [check?.nonconforming];
  return [
    ...[...judged, struck].flatMap((one) => (one?.remedy === 'rework' ? one.counter : [])),
    ...plan.holds.flatMap((hold) =>
      hold.node === node.index
        ? hold.releases.flatMap((one) => (one.by === 'rework' ? one.counter : []))
        : [],
    ),
  ];
}

function releases(plan: Plan, control: Control): readonly Signal[] {
  const out: Signal[] = [];
  plan.holds[control.hold]?.releases.forEach((release, number) => {
    if (release.by === 'rework' && (control.bytes[release.counter] ?? 0) >= release.times) return;
    // A concession accepts a result. Of what was struck there is none.
    if (release.by === 'concession' && progressOf(plan, control, control.at) !== PHASE.judge) return;
    out.push({ signal: 'released', release: number });
  });
  return out;
}

function branches(plan: Plan, control: Control): readonly Signal[] {
  const node = plan.nodes[control.at];
  if (node === undefined) return [];
  const { bytes } = control;
  const open = openConditions(node, plan, bytes);
  const isRecorded = recordedIn(plan, bytes);
  const possible = open.map((index) => {
    const condition = plan.conditions[index];
    return condition === undefined ? neither : possibleTruths(condition.lowered.typed, isRecorded);
  });
  const decisions = openDecisions(node, plan, bytes);
  const lacks = decisions.some((one) => one.by === 'test' && decided(plan, one, bytes) === undefined);
  // Nothing to read: an observation is missing, or not exactly one case is true.
  if (open.length === 0 || lacks) return [];
  if (node.node !== 'choose' || decisions[0] === node.onlyIf) {
    const of = possible[0] ?? neither;
    return [...(of.false ? [false] : []), ...(of.true ? [true] : [])].map((one) => ({
      signal: 'branched',
      truth: [one],
    }));
  }
  // Exactly one case is true, or none and there is `otherwise`: each way as far as the control knows it to be possible.
  const out: Signal[] = [];
  for (let chosen = node.otherwise < 0 ? 0 : -1; chosen < decisions.length; chosen++) {
    const truth = open.map((condition) => {
      const only = decisions[chosen];
      return only?.by === 'condition' && only.condition === condition;
    });
    const fits = decisions.every((decision, number) => {
      const place = decision.by === 'condition' ? open.indexOf(decision.condition) : -1;
      return (place < 0 ? decided(plan, decision, bytes) : truth[place]) === (number === chosen);
    });
    const canBe = truth.every((yes, place) => possible[place]?.[yes ? 'true' : 'false'] === true);
    if (fits && canBe) out.push({ signal: 'branched', truth });
  }
  return out;
}

function takings(plan: Plan, control: Control, index: number): readonly Signal[] {
  const entry = plan.entries[index];
  if (entry === undefined) return [];
  const value = control.bytes[entry.cell] ?? 0;
  const isOpen = value === ENTRY.none || (entry.entry === 'reading' && value === ENTRY.stale);
  if (!isOpen || failing(entry.guards, control.bytes).length > 0) return [];
  switch (entry.entry) {
    case 'reading':
    case 'field':
      return [{ signal: 'recorded', entry: index }];
    case 'observation':
      return entry.answers.map((_, answer) => ({ signal: 'observed', entry: index, answer }));
    case 'identity': {
      const outcomes: readonly PartOutcome[] =
        entry.as === 'found'
          ? ['found']
          : knownPart(entry, control)
            ? ['own', 'other', 'renewed']
            : ['other', 'renewed'];
      return outcomes.map((part) => ({ signal: 'identified', entry: index, part }));
    }
  }
}

const knownPart = (entry: Extract<Entry, { entry: 'identity' }>, control: Control): boolean =>
  control.bytes[entry.partCell] !== PART.unknown;

const neither: PossibleTruths = { true: false, false: false };

/** Which names are recorded and still count. */
function recordedIn(plan: Plan, bytes: Uint8Array): (name: string) => boolean {
  return (name) => {
    const index = findEntry(plan, name);
    if (index === undefined) return name === 'variant' || isElapsed(plan, { bytes }, name);
    return isLive(plan.entries[index], bytes);
  };
}

function judgements(plan: Plan, control: Control, node: StepNode): readonly Signal[] {
  const check = node.check;
  if (check === undefined) return [];
  if (check.check === 'tolerance') {
    const tolerance = plan.tolerances[check.tolerance];
    if (tolerance === undefined || !canHaveValue(tolerance.value, recordedIn(plan, control.bytes))) return [];
    const out: Signal[] = [{ signal: 'judged', outcome: 'conforming' }];
    for (const side of tolerance.sides) out.push({ signal: 'judged', outcome: side });
    if (check.inconclusive !== undefined) out.push({ signal: 'judged', outcome: 'inconclusive' });
    return out;
  }
  if (check.check === 'stock') {
    const selection = plan.selections[check.selection];
    const value = plan.tolerances[selection?.tolerance ?? -1]?.value;
    const isRecorded = recordedIn(plan, control.bytes);
    if (selection === undefined || value === undefined) return [];
    return canHaveValue(value, isRecorded) && canHaveValue(selection.fitted, isRecorded)
      ? [
          { signal: 'judged', outcome: 'conforming' },
          { signal: 'judged', outcome: 'nonconforming' },
        ]
      : [];
  }
  const conforms = entryConforms(plan, plan.entries[check.entry], control.bytes);
  if (conforms === undefined) return [];
  return [{ signal: 'judged', outcome: conforms ? 'conforming' : 'nonconforming' }];
}

/**
 * Whether an observation or a fitted part conforms, by the cells alone; undefined while it is not recorded. Of a matched
 * set either every part is the bore's own or every part is new.
 */
export function entryConforms(_plan: Plan, entry: Entry | undefined, bytes: Uint8Array): boolean | undefined {
  if (entry === undefined || !isLive(entry, bytes)) return undefined;
  if (entry.entry === 'observation') return entry.answers[(bytes[entry.cell] ?? 0) - 1]?.conforming ?? false;
  if (entry.entry !== 'identity' || entry.as === 'found') return true;
  const part = bytes[entry.partCell];
  const others = entry.matched.map((cell) => bytes[cell]);
  if (part === PART.own) return !others.includes(PART.renewed);
  return part === PART.renewed && entry.acceptNew && !others.includes(PART.own);
}

/** Entries, each with the step that took it, and acts that may be struck now. */
export function strikes(plan: Plan, control: Control): readonly Signal[] {
  const out: Signal[] = plan.entries.flatMap((_, index) => strikesOf(plan, control, index));
  if (control.hold >= 0) return out;
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.act === undefined || changesEngine(node)) continue;
    const progress = progressOf(plan, control, node.index);
    if (progress > PHASE.act && progress !== PHASE.passed) out.push({ signal: 'undone', node: node.index });
  }
  return out;
}

/** The ways in which one entry may be struck now: one for each step that took what it holds. */
export function strikesOf(
  plan: Plan,
  control: Control,
  index: number,
): readonly Extract<Signal, { signal: 'struck' }>[] {
  const hold = plan.holds[control.hold];
  const entry = plan.entries[index];
  // While a hold is open only what led to it may be struck.
  const led = (node: number): boolean =>
    hold === undefined || node === hold.node || entry?.judgedBy.includes(hold.node) === true;
  return tookIt(plan, control, index)
    .filter(led)
    .map((node) => ({ signal: 'struck', entry: index, node }));
}
