import { type Guard, type Plan, pointerTo, type Test } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const idleLaw: DiagnosticKind = {
  code: 'idle-law',
  severity: 'warning',
  says: 'A law about entering a value can never refuse it, whatever is left out before.',
  marks: 'value',
  examine: idleLaws,
};

function* idleLaws({ pack, plans }: Subject): Generator<Finding> {
  const bound = new Map<string, string>();
  const binding = new Set<string>();
  for (const plan of plans) {
    const values = new ValuesBefore(plan);
    for (const node of plan.nodes) {
      if (node.node !== 'step') continue;
      const laws = [...node.guards, ...node.invariants].filter(
        ({ because }) => because.guard === 'interlock',
      );
      for (const guard of laws) {
        bound.set(guard.pointer, bound.get(guard.pointer) ?? node.id);
        if (binding.has(guard.pointer)) continue;
        const isAfter = node.invariants.includes(guard);
        if (values.canFail(guard, isAfter ? node.index + 1 : node.index)) binding.add(guard.pointer);
      }
    }
  }
  for (const [number, { law, entering }] of (pack.interlocks ?? []).entries()) {
    const at = pointerTo('/interlocks', number);
    const step = bound.get(at);
    // Other laws stand as a precaution, too, against work that other procedures do.
    if (entering === undefined || step === undefined || binding.has(at)) continue;
    yield {
      pointer: pointerTo(at, 'law'),
      message: `${law} can never refuse ${step}: no step before it brings about the states in which it would.`,
      remedy: 'Correct the value under entering: this one is given before anything could stand against it.',
    };
  }
}

/** Which values the cells of a plan can have before a step, if steps may be left out but never done out of turn. */
class ValuesBefore {
  readonly #plan: Plan;
  /** For each cell: where it is given which value. Work of a rework may come before anything. */
  readonly #given = new Map<number, { readonly from: number; readonly value: number }[]>();

  constructor(plan: Plan) {
    this.#plan = plan;
    plan.starts.forEach((value, cell) => void this.#give(cell, value, -1));
    const isInRework: boolean[] = [];
    for (const node of plan.nodes) {
      const around = plan.nodes[node.parent];
      const isRework =
        (isInRework[node.parent] ?? false) || around?.node === 'step' || around?.node === 'hold';
      isInRework[node.index] = isRework;
      if (node.node !== 'step') continue;
      for (const effect of node.effects)
        for (const value of 'to' in effect ? [effect.to] : effect.table)
          this.#give(effect.cell, value, isRework ? -1 : node.index);
    }
  }

  #give(cell: number, value: number, from: number): void {
    const given = this.#given.get(cell);
    if (given === undefined) this.#given.set(cell, [{ from, value }]);
    else given.push({ from, value });
  }

  /** Whether a guard can be found not to hold before the node of this number. */
  canFail({ test }: Guard, before: number): boolean {
    return this.#may(test, false, before);
  }

  #may(test: Test, wanted: boolean, before: number): boolean {
    if ('not' in test) return this.#may(test.not, !wanted, before);
    if ('all' in test)
      return wanted
        ? test.all.every((one) => this.#may(one, true, before))
        : test.all.some((one) => this.#may(one, false, before));
    if ('any' in test)
      return wanted
        ? test.any.some((one) => this.#may(one, true, before))
        : test.any.every((one) => this.#may(one, false, before));
    // Where the crankshaft stands is no matter of what was done before.
    if (this.#plan.cells[test.cell]?.cell !== 'state') return true;
    return (this.#given.get(test.cell) ?? []).some(
      ({ from, value }) => from < before && test.among.includes(value) === wanted,
    );
  }
}
