import { length, limits, packOf, type Written } from '../small-pack.ts';

/** A number below `count`, as the test drew it. */
export type Draw = (count: number) => number;

const letters = ['a', 'b'] as const;
const values = ['one', 'two', 'three'];
const sections: Written = {
  states: Object.fromEntries(letters.map((id) => [id, { is: values, starts: 'one', ends: ['one', 'two'] }])),
  operations: { hammer: { title: 'Hammering' } },
  joints: { nut: { title: 'Nut' } },
  instruments: {
    wrench: { title: 'Wrench', quantity: 'torque', range: ['1 N·m', '50 N·m'], resolution: '1 N·m' },
  },
  parts: { seal: { title: 'Seal', 'single-use': 'yes' }, pump: { title: 'Pump', identity: 'A9' } },
  hazards: { heat: { signal: 'danger', text: 'Hot.', acknowledge: 'yes' } },
  interlocks: [
    { law: 'first', says: 'First.', while: { a: 'three' }, forbid: 'hammer' },
    { law: 'second', says: 'Second.', entering: { b: 'two' }, 'only-while': { a: ['one', 'two'] } },
    { law: 'third', says: 'Third.', never: { a: 'two', b: 'three' } },
  ],
  holds: {
    plain: { text: 't', release: [{ concession: 'lead' }] },
    back: {
      text: 't',
      release: [
        { concession: 'lead' },
        { rework: [{ step: 'on-the-way-back', do: 'x' }], 'resume-at': 'begin', times: '1' },
      ],
    },
    point: { text: 't', release: [{ witness: 'lead' }] },
  },
};

/** A small procedure as the draws make it: steps, blocks, choices, reworks and holds over two states and a few entries. */
class Author {
  readonly #draw: Draw;
  readonly #isRich: boolean;
  readonly #taken = new Set<string>();
  #count = 0;
  #isTimed = false;

  constructor(draw: Draw, isRich: boolean) {
    this.#draw = draw;
    this.#isRich = isRich;
  }

  procedure(): Written {
    const count = 2 + this.#draw(4);
    // Some procedures count the time since their first step, or up to the second one.
    this.#isTimed = this.#draw(3) === 0;
    const steps = [
      { step: 'begin', do: 'x' },
      ...(this.#isTimed
        ? [this.#draw(2) === 0 ? { step: 'second', do: 'x' } : { step: 'second', read: 'u' }]
        : []),
      ...Array.from({ length: count }, () => this.#node(2, 'begin')),
    ];
    return packOf(
      {
        readings: {
          r: length(),
          u: length(),
          s: length({ requires: { a: ['one', 'two'] } }),
          t: { measurand: 'Running torque', quantity: 'torque', unit: 'N·m', plausible: ['0 N·m', '5 N·m'] },
        },
        observations: {
          o: { text: 't', answers: { yes: 'Y', no: 'N' }, conforming: ['yes'] },
          p: { text: 't', answers: { yes: 'Y', no: 'N' } },
        },
        derived: {
          age: { is: { elapsed: { since: 'begin' } } },
          read: { is: { elapsed: { since: 'second' } } },
          span: { is: { elapsed: { since: 'begin', until: 'second' } } },
        },
        tolerances: {
          'r-fit': limits('r'),
          's-fit': { of: 's', 'at-most': '2 mm', source: 's' },
          'age-fit': { of: 'age', between: ['5 min', '20 min'], source: 's' },
          'read-fit': { of: 'read', 'at-most': '20 min', source: 's' },
          'span-fit': { of: 'span', 'at-most': '10 min', source: 's' },
        },
        steps,
      },
      sections,
    );
  }

  #id(): string {
    return `n${this.#count++}`;
  }

  #of<T>(list: readonly T[]): T {
    const one = list[this.#draw(list.length)];
    if (one === undefined) throw new RangeError('nothing to choose from');
    return one;
  }

  #body(depth: number, count: number): readonly Written[] {
    return Array.from({ length: count }, () => this.#node(depth));
  }

  #condition(): Written {
    const kinds = [
      'state',
      ...(this.#taken.has('o') || this.#taken.has('p') ? ['observed'] : []),
      ...(this.#taken.has('r') ? ['logic'] : []),
    ];
    switch (this.#of(kinds)) {
      case 'observed':
        return {
          observed: { [this.#of(['o', 'p'].filter((one) => this.#taken.has(one)))]: this.#of(['yes', 'no']) },
        };
      case 'logic':
        return { logic: { [this.#of(['>', '<'])]: [{ var: 'r' }, this.#of(['1 mm', '3 mm'])] } };
      default:
        return { state: { [this.#of(letters)]: this.#of(values) } };
    }
  }

  /** `first` is a step further up beside this node, to which a rework may go back. */
  #node(depth: number, first?: string): Written {
    const only = this.#draw(5) === 0 ? { 'only-if': this.#condition() } : {};
    const kind = this.#draw(depth > 0 ? 12 : 9);
    const id = this.#id();
    if (kind === 9) return { block: id, ...only, steps: this.#body(depth - 1, 1 + this.#draw(3)) };
    if (kind === 10) {
      const cases = Array.from({ length: 1 + this.#draw(2) }, () => ({
        when: this.#condition(),
        steps: this.#body(depth - 1, 1),
      }));
      return { choose: id, cases, ...(this.#draw(3) > 0 ? { otherwise: this.#body(depth - 1, 1) } : {}) };
    }
    if (kind === 11) return { hold: 'point', ...only };
    return { step: id, ...only, ...this.#step(kind, id, first), ...this.#more(id, first) };
  }

  /** What a step may have besides: hazards, a witness, requirements, a way back when it is struck. */
  #more(id: string, first?: string): Written {
    if (!this.#isRich) return {};
    return {
      ...(this.#draw(6) === 0 ? { hazards: ['heat'] } : {}),
      ...(this.#draw(8) === 0 ? { witness: 'lead' } : {}),
      ...(this.#draw(8) === 0 ? { requires: { [this.#of(letters)]: this.#of(values) } } : {}),
      ...(this.#draw(8) === 0 ? { 'not-applicable': 'lead' } : {}),
      ...(this.#draw(4) === 0 ? { 'if-struck': this.#remedy(`${id}-struck`, first ?? id, id) } : {}),
    };
  }

  #step(kind: number, id: string, first?: string): Written {
    if (this.#isRich && this.#draw(8) === 0) {
      const as = this.#taken.has('pump') && this.#draw(3) > 0 ? 'fitted' : 'found';
      this.#taken.add('pump');
      if (as === 'found') return { identify: { part: 'pump', as } };
      const renewed = this.#draw(2) === 0 ? { 'accept-new': 'yes' } : {};
      return { identify: { part: 'pump', as, ...renewed }, 'if-nonconforming': this.#remedy(id, first) };
    }
    if (this.#draw(10) === 0) return this.#tightening();
    if (this.#isTimed && this.#draw(4) === 0)
      return {
        judge: this.#of(['age-fit', 'read-fit', 'span-fit']),
        ...(this.#draw(3) === 0 ? { do: 'x', changes: { a: [values, 'two'] } } : {}),
        'if-nonconforming': this.#remedy(id, first),
      };
    switch (kind) {
      case 0:
        this.#taken.add('p');
        return { observe: 'p' };
      case 1:
        this.#taken.add('o');
        return { observe: 'o', 'if-nonconforming': this.#remedy(id, first) };
      case 2:
        this.#taken.add('r');
        return {
          read: 'r',
          ...(this.#draw(2) === 0 ? {} : { judge: 'r-fit', 'if-nonconforming': this.#remedy(id, first) }),
        };
      case 3:
        if (this.#taken.has('r') && this.#draw(2) === 0)
          return { judge: 'r-fit', 'if-nonconforming': this.#remedy(id, first) };
        return { read: 's', judge: 's-fit', 'if-nonconforming': this.#remedy(id, first) };
      case 4:
        return { do: 'x', operation: 'hammer', ...(this.#draw(3) === 0 ? { 'not-applicable': 'lead' } : {}) };
      case 5: {
        const disturbed = this.#taken.has('r') ? { disturbs: 'r' } : {};
        return { do: 'x', ...disturbed };
      }
      case 6:
        return { [this.#of(['remove', 'renew'])]: 'seal' };
      default: {
        const from = this.#draw(3);
        const to = (from + 1 + this.#draw(2)) % 3;
        const many = this.#draw(2) === 0 ? values.filter((_, place) => place !== to) : (values[from] ?? '');
        return { do: 'x', changes: { [this.#of(letters)]: [many, values[to]] } };
      }
    }
  }

  /** A running torque, and then work that is done by it; often it changes no state. */
  #tightening(): Written {
    if (!this.#taken.has('t') || this.#draw(4) === 0) {
      this.#taken.add('t');
      return { read: 't' };
    }
    const tighten = { joint: 'nut', stages: ['10 N·m'], with: 'wrench', 'running-torque': 't' };
    if (this.#draw(3) === 0) return { tighten, disturbs: 't' };
    return this.#draw(2) === 0 ? { tighten } : { tighten, changes: { a: [values, 'two'] } };
  }

  #remedy(id: string, first?: string, back = id): Written {
    if (this.#draw(2) === 0) return { hold: this.#of(['plain', 'back']) };
    return {
      rework: [{ step: `${id}-undo`, ...this.#step(this.#draw(2) === 0 ? 7 : 5, id) }],
      'resume-at': first !== undefined && this.#draw(2) === 0 ? first : back,
      attempts: String(1 + this.#draw(3)),
      exhausted: this.#of(['plain', 'back']),
    };
  }
}

/** A pack with one small procedure, `main`, as the draws make it; a rich one has more kinds of steps. It may have faults. */
export const randomProcedure = (draw: Draw, isRich = false): Written => new Author(draw, isRich).procedure();
