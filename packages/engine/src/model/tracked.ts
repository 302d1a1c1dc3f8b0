import { nearest } from '../logic/index.ts';
import type { Pack, StateMap } from './generated/document.ts';
import { type Cell, type Entry, entryValues, partValues, type Test, truthValues } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';

/** What a map of states means at one place: the bore that is meant, if any. */
export interface Place {
  readonly bore?: number;
  /** What bound names stand for: a value of a state may be written `{name}`. */
  readonly bindings?: ReadonlyMap<string, string>;
}

const CRANK = 0;
const quantifiers = ['every-bore', 'any-bore', 'no-bore'] as const;

/** The cells of a plan: made as they are needed, found again by name. The crank is cell 0. */
export class Tracked {
  readonly cells: Cell[] = [];
  readonly starts: number[] = [];
  readonly #byName = new Map<string, number>();
  readonly #pack: Pack;
  readonly #variant: ResolvedVariant;
  readonly #report: Report;

  constructor(pack: Pack, variant: ResolvedVariant, report: Report) {
    this.#pack = pack;
    this.#variant = variant;
    this.#report = report;
    const positions = variant.crank.positions.map((one) => one.title);
    this.#add({ cell: 'crank', name: 'crank', values: ['unknown', ...positions] }, 0);
    for (const [state, declared] of Object.entries(pack.states ?? {})) {
      for (const bore of declared.per === undefined ? [undefined] : variant.bores) {
        this.#add(
          { cell: 'state', name: placed(state, bore), state, values: declared.is },
          Math.max(0, declared.is.indexOf(declared.starts)),
        );
      }
    }
  }

  #add(cell: Cell, start = 0): number {
    const index = this.cells.length;
    this.cells.push(cell);
    this.starts.push(start);
    this.#byName.set(`${cell.cell} ${cell.name}`, index);
    return index;
  }

  counter(name: string, most: number): number {
    return this.#add({ cell: 'counter', name: `${name} #${this.cells.length}`, most });
  }

  truth(name: string, condition: number): number {
    return this.#add({ cell: 'truth', name, condition, values: truthValues });
  }

  entry(name: string, entry: number, answers?: Extract<Entry, { entry: 'observation' }>['answers']): number {
    const values = answers === undefined ? entryValues : [entryValues[0], ...answers.map((one) => one.id)];
    return this.#add({ cell: 'entry', name, entry, values });
  }

  /** The cell that keeps that a reading was disturbed, made at first use. */
  disturbed(reading: string): number {
    const name = `${reading} disturbed`;
    return (
      this.#byName.get(`disturbed ${name}`) ?? this.#add({ cell: 'disturbed', name, values: ['no', 'yes'] })
    );
  }

  /** The cell of a part at its place, made at first use. */
  part(part: string, place: string): number {
    return (
      this.#byName.get(`part ${place}`) ?? this.#add({ cell: 'part', name: place, part, values: partValues })
    );
  }

  /** The cell of a state at a place, or undefined with a diagnostic. */
  state(name: string, place: Place, pointer: string): number | undefined {
    const declared = this.#pack.states?.[name];
    if (declared === undefined || !Object.hasOwn(this.#pack.states ?? {}, name)) {
      this.#report.unknown('state', name, this.#stateNames(), pointer);
      return undefined;
    }
    this.#report.use('states', name);
    if (declared.per !== undefined && place.bore === undefined) {
      this.#report.add('needs-bore', pointer, `${name} is tracked per bore, and no bore is meant here.`, {
        remedy: 'Put it inside each: bore, or quantify it: every-bore, any-bore or no-bore.',
      });
      return undefined;
    }
    return this.#byName.get(`state ${placed(name, declared.per === undefined ? undefined : place.bore)}`);
  }

  /** What may stand as a key in a map of states. */
  #stateNames(): readonly string[] {
    return [...Object.keys(this.#pack.states ?? {}), 'crank', 'follower', ...quantifiers];
  }

  /** The number of a value of a state, or undefined with a diagnostic. */
  value(state: string, value: string, pointer: string): number | undefined {
    const values = this.#pack.states?.[state]?.is ?? [];
    const index = values.indexOf(value);
    if (index >= 0) return index;
    const meant = nearest(value, values);
    this.#report.add('wrong-value', pointer, `${state} is never ${value}.`, {
      remedy: meant === undefined ? `It is ${values.join(', ')}.` : `Did you mean ${meant}?`,
    });
    return undefined;
  }

  /** A map of states as a test over cells. What is wrong in it is reported, and left out. */
  test(map: StateMap, place: Place, pointer: string): Test {
    const all: Test[] = [];
    for (const [name, wanted] of Object.entries(map)) {
      const at = pointerTo(pointer, name);
      if (isQuantifier(name)) {
        if (typeof wanted === 'string' || Array.isArray(wanted)) {
          this.#report.add('wrong-form', at, `${name} takes a map of per-bore states.`);
          continue;
        }
        this.#checkPerBore(name, wanted as StateMap, at);
        const tests = this.#variant.bores.map((bore) =>
          this.test(wanted as StateMap, { ...place, bore }, at),
        );
        if (tests.length === 0) this.#report.add('needs-bore', at, `This variant has no bores for ${name}.`);
        all.push(
          name === 'every-bore'
            ? { all: tests }
            : name === 'any-bore'
              ? { any: tests }
              : { not: { any: tests } },
        );
        continue;
      }
      if (typeof wanted !== 'string' && !Array.isArray(wanted)) {
        const isState =
          Object.hasOwn(this.#pack.states ?? {}, name) || name === 'crank' || name === 'follower';
        if (isState) this.#report.add('wrong-form', at, `${name} takes a value or a list of values.`);
        else this.#report.unknown('state', name, this.#stateNames(), at);
        continue;
      }
      const values = typeof wanted === 'string' ? [wanted] : (wanted as readonly string[]);
      const test = this.#single(name, values, place, at, Array.isArray(wanted));
      if (test !== undefined) all.push(test);
    }
    const [only] = all;
    return only !== undefined && all.length === 1 ? only : { all };
  }

  /** States of the whole engine under a quantifier, which says of every bore what there is but once. */
  #checkPerBore(quantifier: string, map: StateMap, pointer: string): void {
    for (const name of Object.keys(map)) {
      const declared = Object.hasOwn(this.#pack.states ?? {}, name) ? this.#pack.states?.[name] : undefined;
      if (declared === undefined || declared.per !== undefined) continue;
      const message = `${name} is not tracked per bore, and stands under ${quantifier} here.`;
      this.#report.add('needs-bore', pointerTo(pointer, name), message, {
        remedy: `Declare it per: bore, or write it beside ${quantifier}.`,
        other: [{ pointer: pointerTo('/states', name), message: `where ${name} is declared` }],
        marks: 'key',
      });
    }
  }

  #single(
    name: string,
    written: readonly string[],
    place: Place,
    at: string,
    isList: boolean,
  ): Test | undefined {
    const where = (number: number): string => (isList ? pointerTo(at, number) : at);
    const values: string[] = [];
    for (const [number, value] of written.entries()) {
      const [, name] = /^\{(.+)\}$/.exec(value) ?? [];
      const is = name === undefined ? value : place.bindings?.get(name);
      if (is === undefined) {
        this.#report.unknownPlaceHolder(name ?? '', [...(place.bindings?.keys() ?? [])], where(number));
        return undefined;
      }
      values.push(is);
    }
    if (name === 'crank') {
      const among = values.flatMap((value, i) => this.#crankValues(value, where(i)));
      return { cell: CRANK, among };
    }
    if (name === 'follower') return this.#follower(values, place, at, where);
    const cell = this.state(name, place, at);
    if (cell === undefined) return undefined;
    return { cell, among: values.flatMap((value, i) => this.value(name, value, where(i)) ?? []) };
  }

  #crankValues(value: string, pointer: string): readonly number[] {
    const { positions } = this.#variant.crank;
    if (value === 'unknown') return [0];
    if (value === 'known') return positions.map((_, index) => index + 1);
    const index = positions.findIndex((one) => one.mark === value);
    if (index >= 0) return [index + 1];
    this.#report.unknown(
      'mark',
      value,
      ['known', 'unknown', ...positions.flatMap((one) => one.mark ?? [])],
      pointer,
    );
    return [];
  }

  #follower(
    values: readonly string[],
    place: Place,
    at: string,
    where: (i: number) => string,
  ): Test | undefined {
    if (place.bore === undefined) {
      this.#report.add('needs-bore', at, 'follower is known per bore, and no bore is meant here.', {
        remedy: 'Put it inside each: bore, or quantify it: every-bore, any-bore or no-bore.',
      });
      return undefined;
    }
    const among: number[] = [];
    values.forEach((value, i) => {
      const known = ['on-base-circle', 'on-lobe', 'unknown'];
      if (!known.includes(value)) this.#report.unknown('value of follower', value, known, where(i));
      if (value === 'unknown') among.push(0);
      this.#variant.crank.positions.forEach((position, index) => {
        const onBase = this.#variant.isOnBaseCircle(place.bore ?? 0, position.at);
        if (onBase === undefined && !this.#report.hasErrorAt(`${this.#variant.pointer}/`))
          this.#report.add(
            'no-crank',
            at,
            'This variant does not say where its followers are off the base circle.',
          );
        if (value === (onBase === true ? 'on-base-circle' : 'on-lobe')) among.push(index + 1);
      });
    });
    return { cell: CRANK, among };
  }

  /** The words of a map of states: `timing-pin: withdrawn, pump: clamped or absent`. */
  static says(map: StateMap): string {
    return Object.entries(map)
      .map(([name, wanted]) => {
        if (typeof wanted === 'string') return `${name}: ${wanted}`;
        if (Array.isArray(wanted)) return `${name}: ${wanted.join(' or ')}`;
        return `${name.replace('-', ' ')} (${Tracked.says(wanted as StateMap)})`;
      })
      .join(', ');
  }
}

const isQuantifier = (name: string): name is (typeof quantifiers)[number] =>
  (quantifiers as readonly string[]).includes(name);

/** A name with its place: `rack-shift@3`. */
export const placed = (name: string, ...at: readonly (string | number | undefined)[]): string => {
  const known = at.filter((one) => one !== undefined);
  return known.length === 0 ? name : `${name}@${known.join('@')}`;
};
