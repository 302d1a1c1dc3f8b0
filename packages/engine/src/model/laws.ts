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

interface LawsHere {
  readonly before: {
    readonly byOperation: ReadonlyMap<string, readonly Before[]>;
    readonly byState: ReadonlyMap<string, readonly Entered[]>;
  };
  readonly after: readonly After[];
}

interface Before {
  /** Its place among the laws. */
  readonly number: number;
  guard(): Guard;
}

/** A law about entering some values of a state. */
interface Entered {
  readonly law: Before;
  readonly values: readonly string[];
}

interface After {
  readonly guard: Guard;
  readonly cells: ReadonlySet<number>;
}

const TURN_CRANK = 'turn-crank';
type LawKey = 'while' | 'forbid' | 'operation' | 'entering' | 'only-while' | 'never';
const forms: readonly (readonly LawKey[])[] = [
  ['while', 'forbid'],
  ['operation', 'only-while'],
  ['entering', 'only-while'],
  ['never'],
];

/** The interlocks of a pack as guards of steps. A step cannot forget a law: it is found by what the step does. */
export class Laws {
  readonly #pack: Pack;
  readonly #tracked: Tracked;
  readonly #report: Report;
  readonly #here = new Map<number | undefined, LawsHere>();

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
      this.#strayKeys(law, at);
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

  /** A key of another form beside the one that is taken: the law would pass it over. */
  #strayKeys(law: Interlock, at: string): void {
    const form = forms.find((one) => one.every((key) => law[key] !== undefined));
    for (const key of new Set(forms.flat())) {
      if (form === undefined || form.includes(key) || law[key] === undefined) continue;
      this.#report.add(
        'wrong-form',
        pointerTo(at, key),
        `${key} has no place beside ${form.join(' with ')}: a law is written in one form.`,
        { marks: 'key', remedy: 'Make two laws of it, or take it out.' },
      );
    }
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
    const { before } = this.#at(frame);
    if (deed.operations.length === 0 && deed.entering.size === 0) return [];
    const found = new Set<Before>();
    for (const operation of deed.operations)
      for (const law of before.byOperation.get(operation) ?? []) found.add(law);
    for (const [state, value] of deed.entering)
      for (const { law, values } of before.byState.get(state) ?? [])
        if (values.includes(value)) found.add(law);
    return [...found].sort((a, b) => a.number - b.number).map((law) => law.guard());
  }

  /** What must hold after a step has acted, by the laws. */
  invariants(deed: Deed, frame: Frame): readonly Guard[] {
    const { after } = this.#at(frame);
    if (deed.effects.length === 0) return [];
    return after
      .filter((law) => deed.effects.some((effect) => law.cells.has(effect.cell)))
      .map((law) => law.guard);
  }

  /** The laws as they are at a bore, or outside every bore: made once, since every step asks for them. */
  #at(frame: Frame): LawsHere {
    const known = this.#here.get(frame.bore);
    if (known !== undefined) return known;
    const before = { byOperation: new Map<string, Before[]>(), byState: new Map<string, Entered[]>() };
    const after: After[] = [];
    this.#pack.interlocks?.forEach((law, number) => {
      const pointer = pointerTo('/interlocks', number);
      const guard = this.#before(law, frame, pointer);
      if (guard !== undefined) {
        const { operations, entering } = aboutOf(law);
        const guarding = { number, guard: once(guard) };
        for (const operation of operations) put(before.byOperation, operation, guarding);
        for (const [state, values] of entering) put(before.byState, state, { law: guarding, values });
      }
      if (law.never !== undefined) {
        const test: Test = { not: this.#anywhere(law.never, frame, pointerTo(pointer, 'never')) };
        after.push({ guard: guardOf(law, test, pointer), cells: new Set(cellsIn(test)) });
      }
    });
    const made = { before, after };
    this.#here.set(frame.bore, made);
    return made;
  }

  /** What makes the guard: only for the first step that the law is about, since where it is about none, nothing is wrong with it. */
  #before(law: Interlock, frame: Frame, pointer: string): (() => Guard) | undefined {
    const { while: during, 'only-while': onlyWhile } = law;
    if (during !== undefined) {
      return () => {
        const test: Test = { not: this.#anywhere(during, frame, pointerTo(pointer, 'while')) };
        return guardOf(law, test, pointer);
      };
    }
    if (onlyWhile === undefined) return undefined;
    return () =>
      guardOf(law, this.#tracked.test(onlyWhile, frame, pointerTo(pointer, 'only-while')), pointer);
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

/** The operations that a law is about, and the values of states that may not be entered against it. */
function aboutOf(law: Interlock): {
  readonly operations: readonly string[];
  readonly entering: readonly (readonly [state: string, values: readonly string[]])[];
} {
  if (law.while !== undefined) return { operations: listOf(law.forbid), entering: [] };
  const entering = Object.entries(law.entering ?? {}).map(
    ([state, values]) => [state, listOf(values as string | readonly string[])] as const,
  );
  return { operations: listOf(law.operation), entering };
}

function put<T>(lists: Map<string, T[]>, key: string, item: T): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [item]);
  else list.push(item);
}

function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

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
