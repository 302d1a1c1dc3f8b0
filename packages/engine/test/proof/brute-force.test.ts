import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Control, failing, type Plan, resolve } from '../../src/index.ts';
import { actFaults } from '../../src/job/advance.ts';
import { advance, PHASE, progressOf, startControl, waysOn } from '../../src/job/index.ts';
import { explore } from '../../src/proof/index.ts';
import { validate } from '../../src/validate.ts';
import { length, limits, packOf, type Written } from '../small-pack.ts';

/** A number below `count`, as the test drew it. */
type Draw = (count: number) => number;

const letters = ['a', 'b'] as const;
const values = ['one', 'two', 'three'];
const sections: Written = {
  states: Object.fromEntries(letters.map((id) => [id, { is: values, starts: 'one', ends: ['one', 'two'] }])),
  operations: { hammer: { title: 'Hammering' } },
  parts: { seal: { title: 'Seal', 'single-use': 'yes' }, pump: { title: 'Pump', identity: 'A9' } },
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
  readonly #taken = new Set<string>();
  #count = 0;

  constructor(draw: Draw) {
    this.#draw = draw;
  }

  procedure(): Written {
    const count = 2 + this.#draw(4);
    const steps = [
      { step: 'begin', do: 'x' },
      ...Array.from({ length: count }, () => this.#node(2, 'begin')),
    ];
    return packOf(
      {
        readings: { r: length(), s: length({ requires: { a: ['one', 'two'] } }) },
        observations: {
          o: { text: 't', answers: { yes: 'Y', no: 'N' }, conforming: ['yes'] },
          p: { text: 't', answers: { yes: 'Y', no: 'N' } },
        },
        tolerances: { 'r-fit': limits('r'), 's-fit': { of: 's', 'at-most': '2 mm', source: 's' } },
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
    return { step: id, ...only, ...this.#step(kind, id, first) };
  }

  #step(kind: number, id: string, first?: string): Written {
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

  #remedy(id: string, first?: string): Written {
    if (this.#draw(2) === 0) return { hold: this.#of(['plain', 'back']) };
    return {
      rework: [{ step: `${id}-undo`, ...this.#step(this.#draw(2) === 0 ? 7 : 5, id) }],
      'resume-at': first !== undefined && this.#draw(2) === 0 ? first : id,
      attempts: String(1 + this.#draw(3)),
      exhausted: this.#of(['plain', 'back']),
    };
  }
}

interface Found {
  readonly nodes: ReadonlySet<number>;
  readonly faults: ReadonlySet<string>;
  readonly reachesEnd: boolean;
}

const MOST = 20_000;

/** Every control, with all of its bytes and counters, that `advance` can lead to; undefined when there are too many. */
function bruteForce(plan: Plan): Found | undefined {
  const seen = new Set<string>();
  const nodes = new Set<number>();
  const faults = new Set<string>();
  let reachesEnd = false;
  const waiting: Control[] = [startControl(plan)];
  for (let control = waiting.pop(); control !== undefined; control = waiting.pop()) {
    const key = `${control.at} ${control.hold} ${control.closed ?? ''} ${control.bytes}`;
    if (seen.has(key)) continue;
    if (seen.size >= MOST) return undefined;
    seen.add(key);
    nodes.add(control.at);
    if (control.closed !== undefined) continue;
    const ways = waysOn(plan, control);
    const node = plan.nodes[control.at];
    if (node === undefined) {
      reachesEnd = true;
      for (const guard of failing(plan.ends, control.bytes)) faults.add(`ends ${guard.because.says}`);
    } else if (control.hold < 0 && ways.every((way) => way.signal === 'omitted')) {
      const isAct = node.node === 'step' && progressOf(plan, control, control.at) === PHASE.act;
      const open =
        node.node !== 'step'
          ? []
          : isAct
            ? actFaults(node, control.bytes)
            : node.entries.flatMap((entry) => failing(plan.entries[entry]?.guards ?? [], control.bytes));
      for (const guard of open) faults.add(`law ${node.path} ${guard.because.says}`);
      if (open.length === 0) faults.add(`goes-on ${node.path}`);
    }
    for (const way of ways) waiting.push(advance(plan, control, way));
  }
  return { nodes, faults, reachesEnd };
}

function explored(plan: Plan): Found {
  const nodes = new Set<number>();
  const { refutations, reachesEnd, cutShort } = explore(plan, undefined, (control) => nodes.add(control.at));
  expect(cutShort).toBe(false);
  const faults = refutations.map((one) =>
    one.property === 'goes-on'
      ? `goes-on ${one.node}`
      : one.property === 'ends'
        ? `ends ${one.guard.because.says}`
        : `law ${one.node} ${one.guard.because.says}`,
  );
  return { nodes, faults: new Set(faults), reachesEnd };
}

test('on random small procedures the exploration finds all that going everywhere finds', () => {
  let whole = 0;
  let faulty = 0;
  let counted = 0;
  fc.assert(
    fc.property(fc.gen(), (gen) => {
      const document = new Author((count) => gen(fc.nat, { max: count - 1 })).procedure();
      const { pack } = validate(document);
      fc.pre(pack !== undefined);
      const { plan } = resolve(pack, { procedure: 'main', variant: 'small' });
      fc.pre(plan !== undefined);
      const all = bruteForce(plan);
      fc.pre(all !== undefined);
      const found = explored(plan);
      whole += 1;
      if (all.faults.size > 0) faulty += 1;
      const lost = [...all.faults].filter((one) => !found.faults.has(one));
      expect(lost).toEqual([]);
      expect([...all.nodes].filter((one) => !found.nodes.has(one))).toEqual([]);
      if (all.reachesEnd) expect(found.reachesEnd).toBe(true);
      // Only how often a way may be gone is left open by the exploration; without that it finds nothing more.
      if (plan.cells.some((one) => one.cell === 'counter')) return;
      counted += 1;
      expect([...found.faults].filter((one) => !all.faults.has(one))).toEqual([]);
      expect(found.nodes).toEqual(all.nodes);
      expect(found.reachesEnd).toBe(all.reachesEnd);
    }),
    { numRuns: 800, seed: 20270104, maxSkipsPerRun: 100 },
  );
  // The procedures are worth the trouble: many can go wrong, many cannot.
  expect(whole).toBeGreaterThanOrEqual(400);
  expect(faulty).toBeGreaterThan(whole / 10);
  expect(whole - faulty).toBeGreaterThan(whole / 20);
  expect(counted).toBeGreaterThan(whole / 20);
});
