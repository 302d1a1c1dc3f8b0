import {
  type Amount,
  type Kind,
  type Pack,
  parseStatement,
  pointerTo,
  type Quantity,
  type RelatedPlace,
  valueAt,
  writeQuantity,
  type written,
} from '@ferrule/engine';
import type { Subject } from './diagnostics/diagnostic-kind.ts';
import { type ResolvedStep, resolvedSteps } from './resolved-steps.ts';
import { quantitiesIn, type TextQuantity, turnsIn } from './text-quantities.ts';
import { writtenSteps } from './written-steps.ts';

/** A value that a step has as data: a stage, a wait, a turn, a limit. */
export interface Datum {
  readonly what: 'stage' | 'wait' | 'turn' | 'limit' | 'sensitivity' | 'plausible value' | 'fact';
  readonly amount: Amount;
  readonly said: string;
  readonly pointer: string;
}

/** A quantity in the words of a step, beside what the step has as data. */
export interface SaidBeside {
  readonly pointer: string;
  readonly text: TextQuantity;
  /** The datum that it repeats. */
  readonly repeats?: Datum;
  /** Data of its kind, of which it is none; empty where it repeats one. */
  readonly differs: readonly Datum[];
}

/** What stands after the size of a tool or of a thread. */
const tool =
  /^[\s,]*(?:\S+ )?(?:hex|hexagon|allen|spanner|key|socket|drill|bit|wrench|bolt|screw|thread|shim|drift|punch|mandrel)\b/i;

const found = new WeakMap<Subject['plans'], readonly SaidBeside[]>();

/** Every quantity that the words of a step state of a kind that the step, or its procedure, has as data too. */
export function saidBesideData(subject: Subject): readonly SaidBeside[] {
  const known = found.get(subject.plans);
  if (known !== undefined) return known;
  const all = [...allSaidBesideData(subject)];
  found.set(subject.plans, all);
  return all;
}

function* allSaidBesideData(subject: Subject): Generator<SaidBeside> {
  const steps = resolvedSteps(subject);
  const facts = byValue(factsOf(subject.pack));
  const inProcedures = new Map<string, Map<string, Datum>>();
  const ofStep = new Map<string, readonly Datum[]>();
  for (const [pointer, resolved] of steps) {
    const data = distinct(onePerVariant(resolved).flatMap((one) => dataOf(one, subject.pack)));
    ofStep.set(pointer, data);
    const procedure = pointer.startsWith('/procedures/') ? (pointer.split('/')[2] ?? '') : '';
    const known = inProcedures.get(procedure) ?? new Map<string, Datum>();
    inProcedures.set(procedure, known);
    for (const datum of data)
      if (isTelling(datum) && !known.has(keyOf(datum.amount))) known.set(keyOf(datum.amount), datum);
  }
  for (const { step, pointer, procedure = '' } of writtenSteps(subject.pack)) {
    const own = ofStep.get(pointer) ?? [];
    for (const key of ['do', 'title', 'photograph', 'turn-until'] as const)
      yield* inText(step[key] ?? '', pointerTo(pointer, key), own, [inProcedures.get(procedure), facts]);
  }
  for (const [name, procedure] of Object.entries(subject.pack.procedures)) {
    for (const [id, hold] of Object.entries(procedure.holds ?? {}))
      yield* inText(
        hold.text,
        pointerTo('/procedures', name, 'holds', id, 'text'),
        [],
        [inProcedures.get(name)],
      );
  }
}

const keyOf = ({ kind, value }: Amount): string => `${kind} ${value.toString()}`;

function byValue(data: readonly Datum[]): ReadonlyMap<string, Datum> {
  const found = new Map<string, Datum>();
  for (const datum of data) if (!found.has(keyOf(datum.amount))) found.set(keyOf(datum.amount), datum);
  return found;
}

/** Outside of its own step only a torque or a limit is told by its value alone; a time or an angle may be met by chance. */
const isTelling = ({ what, amount }: Datum): boolean =>
  amount.value.sign !== 0 && (what === 'limit' || (what === 'stage' && amount.kind === 'torque'));

function* inText(
  text: string,
  pointer: string,
  own: readonly Datum[],
  around: readonly (ReadonlyMap<string, Datum> | undefined)[],
): Generator<SaidBeside> {
  const said = [...quantitiesIn(text).filter((one) => !tool.test(one.after)), ...turnsIn(text)];
  const repeated = said.map((one) => {
    const beside = own.find((datum) => isSame(one, datum));
    if (beside !== undefined) return beside;
    const keys = [one.quantity, one.second].flatMap((amount) =>
      amount === undefined ? [] : [keyOf(amount)],
    );
    return around.flatMap((data) => keys.flatMap((key) => data?.get(key) ?? []))[0];
  });
  for (const [index, one] of said.entries()) {
    const repeats = repeated[index];
    const kind: Kind = one.quantity.kind;
    // Where one value of the kind is right, another beside it says something else.
    const isSettled =
      repeats !== undefined ||
      said.some((other, place) => repeated[place] !== undefined && other.quantity.kind === kind);
    yield {
      pointer,
      text: one,
      ...(repeats === undefined ? {} : { repeats }),
      differs: isSettled
        ? []
        : own.filter((datum) => datum.amount.kind === kind && datum.what !== 'plausible value'),
    };
  }
}

function factsOf({ variants }: Pack): readonly Datum[] {
  return Object.entries(variants).flatMap(([variant, { facts = {} }]) =>
    Object.entries(facts).flatMap(([fact, text]): readonly Datum[] => {
      const read = parseStatement(text);
      if ('fault' in read || read.original.value.sign === 0) return [];
      const pointer = pointerTo('/variants', variant, 'facts', fact);
      return [{ what: 'fact', amount: read.original, said: fact, pointer }];
    }),
  );
}

const isSame = ({ quantity, second }: TextQuantity, { amount }: Datum): boolean =>
  [quantity, second].some((one) => one?.kind === amount.kind && one.value.equals(amount.value));

/** Rounds of a loop have the same data, except for how far is turned. */
function onePerVariant(steps: readonly ResolvedStep[]): readonly ResolvedStep[] {
  if (steps[0]?.node.act?.act === 'turn') return steps;
  const seen = new Set<ResolvedStep['plan']>();
  return steps.filter(({ plan }) => !seen.has(plan) && seen.add(plan));
}

function distinct(data: readonly Datum[]): readonly Datum[] {
  const seen = new Set<string>();
  return data.filter((one) => {
    const key = `${one.pointer} ${one.amount.value.toString()}`;
    const isNew = !seen.has(key);
    seen.add(key);
    return isNew;
  });
}

function dataOf({ plan, node }: ResolvedStep, pack: Pack): readonly Datum[] {
  const found: Datum[] = [];
  const add = (what: Datum['what'], quantity: Quantity, pointer: string): void => {
    found.push({ what, amount: quantity, said: writeQuantity(quantity), pointer });
  };
  if (node.act?.act === 'tighten') {
    for (const [index, stage] of node.act.stages.entries()) {
      const quantity = stage.stage === 'torque' ? stage.torque : stage.angle;
      if (quantity !== undefined) add('stage', quantity, pointerTo(node.pointer, 'tighten', 'stages', index));
    }
  } else if (node.act?.act === 'wait') add('wait', node.act.time, pointerTo(node.pointer, 'wait'));
  else if (node.act?.act === 'turn') add('turn', node.act.by, pointerTo(node.pointer, 'turn'));
  const { check } = node;
  const selection = check?.check === 'stock' ? plan.selections[check.selection] : undefined;
  if (selection !== undefined)
    add('sensitivity', selection.sensitivity, pointerTo(node.pointer, 'select', 'sensitivity'));
  const tolerance = check?.check === 'tolerance' ? plan.tolerances[check.tolerance] : undefined;
  if (tolerance !== undefined) {
    const written = valueAt(pack, tolerance.pointer) as written.Tolerance;
    const { low, high, nominal } = tolerance.limits;
    // Of a nominal with its deviation, what is written are these.
    for (const limit of nominal === undefined ? [low, high] : [nominal])
      if (limit !== undefined)
        found.push({
          what: 'limit',
          amount: limit,
          said: tolerance.says,
          pointer: placeOf(written, tolerance.pointer),
        });
  }
  for (const index of node.entries) {
    const entry = plan.entries[index];
    if (entry?.entry === 'reading')
      for (const [end, quantity] of entry.plausible.entries())
        if (quantity.value.sign !== 0)
          add('plausible value', quantity, pointerTo(entry.pointer, 'plausible', end));
  }
  return found;
}

function placeOf(tolerance: written.Tolerance, pointer: string): string {
  const key = (['between', 'nominal', 'at-least', 'at-most'] as const).find(
    (one) => tolerance[one] !== undefined,
  );
  return key === undefined ? pointer : pointerTo(pointer, key);
}

/** Where a datum stands, for a diagnostic. */
export const placeOfDatum = ({ what, said, pointer }: Datum): RelatedPlace => ({
  pointer,
  message: `the ${what}: ${said}`,
});
