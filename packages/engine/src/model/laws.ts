import type { Frame } from './frame.ts';
import { listOf } from './frame.ts';
import type { Interlock, Pack, StateMap, Step } from './generated/document.ts';
import type { Effect, Guard, Test } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { Tracked } from './tracked.ts';

/** What a step is to the laws: its operations, the values that it gives to states, and the cells that it touches. */
export interface Deed {
  readonly operations: readonly string[];
  readonly entering: ReadonlyMap<string, string>;
  readonly effects: readonly Effect[];
}

/** One law at one bore: made once, since every step asks for it. */
interface LawHere {
  readonly before: ((deed: Deed) => Guard | undefined) | undefined;
  readonly after: { readonly guard: Guard; readonly cells: ReadonlySet<number> } | undefined;
}

export const TURN_CRANK = 'turn-crank';

/** The interlocks of a pack as guards of steps. A step cannot forget a law: it is found by what the step does. */
export class Laws {
  readonly #pack: Pack;
  readonly #tracked: Tracked;
  readonly #report: Report;
  readonly #here = new Map<number | undefined, readonly LawHere[]>();

  constructor(pack: Pack, tracked: Tracked, report: Report) {
    this.#pack = pack;
    this.#tracked = tracked;
    this.#report = report;
    const seen = new Set<string>();
    pack.interlocks?.forEach((law, number) => {
      const at = pointerTo('/interlocks', number);
      if (seen.has(law.law))
        report.add('duplicate-name', pointerTo(at, 'law'), `There is another law ${law.law}.`);
      seen.add(law.law);
      for (const operation of [...listOf(law.forbid), ...listOf(law.operation)]) {
        const key = law.forbid === undefined ? 'operation' : 'forbid';
        if (operation !== TURN_CRANK && !Object.hasOwn(pack.operations ?? {}, operation)) {
          report.unknown(
            'operation',
            operation,
            [TURN_CRANK, ...Object.keys(pack.operations ?? {})],
            pointerTo(at, key),
          );
        }
        report.use('operations', operation);
      }
      for (const [state, values] of Object.entries(law.entering ?? {}))
        this.#checkEntering(state, values, at);
    });
  }

  #checkEntering(state: string, values: unknown, at: string): void {
    const where = pointerTo(at, 'entering', state);
    const states = this.#pack.states ?? {};
    if (!Object.hasOwn(states, state))
      return this.#report.unknown('state', state, Object.keys(states), where);
    for (const value of listOf(values as string | readonly string[]))
      this.#tracked.value(state, value, where);
  }

  /** What must hold before a step acts, by the laws. */
  guards(deed: Deed, frame: Frame): readonly Guard[] {
    if (deed.operations.length === 0 && deed.entering.size === 0) return [];
    return this.#at(frame).flatMap(({ before }) => {
      const guard = before?.(deed);
      return guard === undefined ? [] : [guard];
    });
  }

  /** What must hold after a step has acted, by the laws. */
  invariants(deed: Deed, frame: Frame): readonly Guard[] {
    return this.#at(frame).flatMap(({ after }) =>
      after !== undefined && deed.effects.some((effect) => after.cells.has(effect.cell)) ? [after.guard] : [],
    );
  }

  /** The laws as they are at a bore, or outside every bore. */
  #at(frame: Frame): readonly LawHere[] {
    const known = this.#here.get(frame.bore);
    if (known !== undefined) return known;
    const made = (this.#pack.interlocks ?? []).map((law, number) => {
      const pointer = pointerTo('/interlocks', number);
      return { before: this.#before(law, frame, pointer), after: this.#after(law, frame, pointer) };
    });
    this.#here.set(frame.bore, made);
    return made;
  }

  #after(law: Interlock, frame: Frame, pointer: string): LawHere['after'] {
    if (law.never === undefined) return undefined;
    const test: Test = { not: this.#anywhere(law.never, frame, pointerTo(pointer, 'never')) };
    return { guard: guardOf(law, test, pointer), cells: new Set(cellsIn(test)) };
  }

  /** The test is made for the first step that the law is about: at a place where it is about none, nothing is wrong with it. */
  #before(law: Interlock, frame: Frame, pointer: string): LawHere['before'] {
    const { while: during, forbid, operation, entering } = law;
    const onlyWhile = law['only-while'];
    const once = (make: () => Test): (() => Guard) => {
      let guard: Guard | undefined;
      return () => {
        guard ??= guardOf(law, make(), pointer);
        return guard;
      };
    };
    if (during !== undefined) {
      const forbidden = listOf(forbid);
      const guard = once(() => ({ not: this.#anywhere(during, frame, pointerTo(pointer, 'while')) }));
      return (deed) => (deed.operations.some((one) => forbidden.includes(one)) ? guard() : undefined);
    }
    if (onlyWhile === undefined) return undefined;
    const guard = once(() => this.#tracked.test(onlyWhile, frame, pointerTo(pointer, 'only-while')));
    const entered = Object.entries(entering ?? {}).map(
      ([state, values]) => [state, listOf(values as string | readonly string[])] as const,
    );
    const isAbout = (deed: Deed): boolean =>
      (operation !== undefined && deed.operations.includes(operation)) ||
      entered.some(([state, values]) => values.includes(deed.entering.get(state) ?? ''));
    return (deed) => (isAbout(deed) ? guard() : undefined);
  }

  /** A per-bore state that is forbidden outside a bore is forbidden in any bore. */
  #anywhere(map: StateMap, frame: Frame, pointer: string): Test {
    const plain: [string, unknown][] = [];
    const perBore: [string, unknown][] = [];
    for (const [name, wanted] of Object.entries(map)) {
      const isPerBore = name === 'follower' || this.#pack.states?.[name]?.per === 'bore';
      (isPerBore && frame.bore === undefined ? perBore : plain).push([name, wanted]);
    }
    const whole = Object.fromEntries(
      perBore.length === 0 ? plain : [...plain, ['any-bore', Object.fromEntries(perBore)]],
    );
    return this.#tracked.test(whole as StateMap, frame, pointer);
  }
}

const guardOf = (law: Interlock, test: Test, pointer: string): Guard => ({
  test,
  because: { guard: 'interlock', law: law.law, says: law.says },
  pointer,
});

/** Every cell that a test reads. */
export function cellsIn(test: Test): readonly number[] {
  if ('cell' in test) return [test.cell];
  if ('not' in test) return cellsIn(test.not);
  return ('all' in test ? test.all : test.any).flatMap(cellsIn);
}

/** The operations that a step is to the laws. */
export function operationsOf(step: Step): readonly string[] {
  const turns = step.turn !== undefined || step['turn-to'] !== undefined || step['turn-until'] !== undefined;
  return [...(turns ? [TURN_CRANK] : []), ...listOf(step.operation)];
}
