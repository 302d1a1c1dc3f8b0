import { Acts } from './acts.ts';
import type { Checks } from './checks.ts';
import type { Entries } from './entries.ts';
import { fill } from './fill.ts';
import { bound, type Frame, listOf } from './frame.ts';
import type {
  Block,
  Choose,
  Condition,
  Each,
  Hold,
  HoldPoint,
  Node,
  Outcome,
  Pack,
  Perform,
  Procedure,
  Step,
  Remedy as WrittenRemedy,
} from './generated/document.ts';
import { cellsIn, type Laws, operationsOf } from './laws.ts';
import type {
  BlockNode,
  Check,
  ChooseNode,
  Decision,
  Effect,
  Guard,
  HoldNode,
  PlanHold,
  PlanNode,
  PlanRelease,
  Remedy,
  StepNode,
  Test,
} from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import { type ResolvedVariant, writeAngle } from './resolve-variant.ts';
import { placed, Tracked } from './tracked.ts';

/** More steps than any workshop procedure has; keeps a pack from exhausting memory. */
export const MOST_NODES = 50_000;
const MOST_CHOICES = 250;

type Open<T> = { -readonly [K in keyof T]: T[K] };
type OpenNode = Open<BlockNode> | Open<StepNode> | Open<ChooseNode> | Open<HoldNode>;

const always: Test = { all: [] };

/** What the changes of a step come to. */
interface Changed {
  readonly effects: readonly Effect[];
  readonly guards: readonly Guard[];
  readonly entering: ReadonlyMap<string, string>;
}

const unchanged: Changed = { effects: [], guards: [], entering: new Map() };

/** The keys of a step by which it does, takes or judges something. */
const keysThatDo = [
  ...['turn', 'turn-to', 'tighten', 'remove', 'renew', 'wait', 'photograph'],
  ...['identify', 'fill-in', 'observe', 'read', 'judge'],
] as readonly (keyof Step)[];

/** Writes the steps of a procedure out for one variant: the nodes of a plan, in the order of writing. */
export class Unroll {
  readonly nodes: OpenNode[] = [];
  readonly holds: Open<PlanHold>[] = [];
  readonly #pack: Pack;
  readonly #variant: ResolvedVariant;
  readonly #tracked: Tracked;
  readonly #entries: Entries;
  readonly #checks: Checks;
  readonly #laws: Laws;
  readonly #acts: Acts;
  readonly #report: Report;
  readonly #holdPlaces = new Map<string, number>();
  #full = false;

  constructor(parts: {
    readonly pack: Pack;
    readonly variant: ResolvedVariant;
    readonly tracked: Tracked;
    readonly entries: Entries;
    readonly checks: Checks;
    readonly laws: Laws;
    readonly report: Report;
  }) {
    this.#pack = parts.pack;
    this.#variant = parts.variant;
    this.#tracked = parts.tracked;
    this.#entries = parts.entries;
    this.#checks = parts.checks;
    this.#laws = parts.laws;
    this.#report = parts.report;
    this.#acts = new Acts(parts.pack, parts.variant, parts.entries, parts.report);
    // Every plan has this hold: see the strikes in `advance`.
    this.holds.push({
      id: 'struck-entry',
      text: 'An entry was struck, and the present states do not let it be taken again. What relied on it is not proved.',
      safety: true,
      node: -1,
      releases: [],
      pointer: '',
    });
  }

  /** The whole job: preliminary requirements, the steps, and what is confirmed afterwards. */
  procedure(frame: Frame): void {
    const { document, pointer } = frame;
    this.#block(
      -1,
      'procedure',
      '',
      frame,
      pointer,
      (block) => {
        this.#preliminary(block, frame);
        this.#body(block, document.steps, '', frame, pointerTo(pointer, 'steps'));
        this.#afterwards(block, frame);
      },
      document.title,
    );
  }

  // Nodes

  #add(node: OpenNode, frame: Frame): boolean {
    if (frame.bore !== undefined) node.bore = frame.bore;
    if (this.nodes.length >= MOST_NODES) {
      if (!this.#full)
        this.#report.add(
          'too-many-steps',
          node.pointer,
          `Written out, the procedure has more than ${MOST_NODES} steps.`,
        );
      this.#full = true;
      return false;
    }
    this.nodes.push(node);
    return true;
  }

  /** What every kind of node has. It is spread last: after a spread, V8 adds each further property slowly. */
  #base(parent: number, id: string, path: string, pointer: string) {
    return {
      index: this.nodes.length,
      end: this.nodes.length + 1,
      parent,
      next: -1,
      id,
      path,
      pointer,
    };
  }

  #block(
    parent: number,
    id: string,
    path: string,
    frame: Frame,
    pointer: string,
    fillIn: (index: number) => void,
    title?: string,
  ): number {
    const node: Open<BlockNode> = {
      node: 'block',
      first: -1,
      counters: [],
      ...this.#base(parent, id, path, pointer),
    };
    if (title !== undefined) node.title = this.#fill(title, frame, pointerTo(pointer, 'title'));
    if (!this.#add(node, frame)) return -1;
    fillIn(node.index);
    node.end = this.nodes.length;
    const children = this.#children(node.index);
    node.first = children[0] ?? -1;
    return node.index;
  }

  /** The direct children of a node that have been added so far, in order. */
  #children(parent: number): readonly number[] {
    const found: number[] = [];
    const until = this.nodes.length;
    for (let index = parent + 1; index < until; index = this.nodes[index]?.end ?? until) {
      if (this.nodes[index]?.parent === parent) found.push(index);
    }
    return found;
  }

  #fill(text: string, frame: Frame, pointer: string): string {
    return fill(text, frame, this.#variant, pointer, this.#report);
  }

  #body(parent: number, nodes: readonly Node[], path: string, frame: Frame, pointer: string): void {
    const seen = new Map<string, number>();
    let before = this.#children(parent).at(-1);
    nodes.forEach((written, number) => {
      if (this.#full) return;
      const at = pointerTo(pointer, number);
      const index = this.#node(parent, written, path, frame, at);
      const node = index === undefined ? undefined : this.nodes[index];
      if (node === undefined) return;
      const first = seen.get(node.id);
      if (first !== undefined) {
        this.#report.add(
          'duplicate-name',
          pointerTo(at, keyOf(written)),
          `There is another ${node.id} beside this one.`,
          {
            remedy: 'each' in written ? 'Give one of them an id.' : 'Give one of them another name.',
            other: [{ pointer: pointerTo(pointer, first), message: 'the other one' }],
          },
        );
      }
      seen.set(node.id, number);
      const earlier = before === undefined ? undefined : this.nodes[before];
      if (earlier !== undefined) earlier.next = node.index;
      before = node.index;
    });
  }

  #node(parent: number, written: Node, path: string, frame: Frame, pointer: string): number | undefined {
    const only =
      'only-if' in written && written['only-if'] !== undefined
        ? this.#decision(written['only-if'], frame, pointerTo(pointer, 'only-if'))
        : undefined;
    if (only === false) return undefined;
    const made = this.#made(parent, written, path, frame, pointer);
    const node = made === undefined ? undefined : this.nodes[made];
    if (node !== undefined && only !== undefined && only !== true) node.onlyIf = only;
    return made;
  }

  #made(parent: number, written: Node, path: string, frame: Frame, pointer: string): number | undefined {
    if ('perform' in written) return this.#perform(parent, written, path, frame, pointer);
    if ('choose' in written) return this.#choose(parent, written, path, frame, pointer);
    if ('each' in written) return this.#each(parent, written, path, frame, pointer);
    if ('block' in written) return this.#written(parent, written, path, frame, pointer);
    if ('hold' in written) return this.#holdPoint(parent, written, path, frame, pointer);
    return this.#step(parent, written, path, frame, pointer);
  }

  #written(parent: number, written: Block, path: string, frame: Frame, pointer: string): number {
    const inside = join(path, written.block);
    return this.#block(
      parent,
      written.block,
      inside,
      frame,
      pointer,
      (block) => this.#body(block, written.steps, inside, frame, pointerTo(pointer, 'steps')),
      written.title,
    );
  }

  // Loops

  #each(parent: number, written: Each, path: string, frame: Frame, pointer: string): number | undefined {
    const items = this.#items(written, frame, pointerTo(pointer, 'of'));
    if (items.length === 0) return undefined;
    const id = written.id ?? written.each;
    const inside = join(path, id);
    return this.#block(parent, id, inside, frame, pointer, (outer) => {
      let before: OpenNode | undefined;
      for (const item of items) {
        const within = bound(frame, item.bindings);
        const one = `${written.each}=${item.label}`;
        const onePath = path === '' ? one : `${path}/${one}`;
        const label = written.id === undefined ? onePath : join(path, `${written.id}.${one}`);
        const index = this.#block(
          outer,
          one,
          label,
          within,
          pointer,
          (block) => this.#body(block, written.steps, label, within, pointerTo(pointer, 'steps')),
          written.title,
        );
        const node = this.nodes[index];
        if (node === undefined) return;
        if (before !== undefined) before.next = index;
        before = node;
      }
    });
  }

  #items(
    written: Each,
    frame: Frame,
    pointer: string,
  ): readonly { label: string; bindings: readonly (readonly [string, string])[] }[] {
    const plain = (values: readonly (string | number)[]) =>
      values.map((value) => ({ label: String(value), bindings: [[written.each, String(value)]] as const }));
    if (typeof written.of !== 'string') return plain(written.of as readonly string[]);
    const { bores } = this.#variant;
    if (written.of === 'bores') return this.#some(plain(bores), pointer);
    if (written.of === 'bores-rear-to-front') return this.#some(plain([...bores].reverse()), pointer);
    if (written.of === 'plan.stops') return this.#stops(written.each, pointer);
    const listed = frame.bindings.get(written.of);
    if (listed !== undefined) return plain(listed.split(' '));
    const known = [
      'bores',
      'bores-rear-to-front',
      'plan.stops',
      ...[...frame.bindings.keys()].filter((key) => key.endsWith('.bores')),
    ];
    this.#report.unknown('list', written.of, known, pointer);
    return [];
  }

  #some<T>(items: readonly T[], pointer: string): readonly T[] {
    if (items.length === 0)
      this.#report.add('no-crank', pointer, `${this.#variant.title} does not say how many cylinders it has.`);
    return items;
  }

  #stops(name: string, pointer: string) {
    const { rotation, positions } = this.#variant.crank;
    if (rotation === undefined) {
      this.#report.add('no-rotation-plan', pointer, `${this.#variant.title} has no rotation plan.`);
      return [];
    }
    return rotation.stops.map((stop, number) => ({
      label: String(number + 1),
      bindings: [
        [name, String(number + 1)],
        [`${name}.rotation`, writeAngle(stop.rotation)],
        [`${name}.position`, writeAngle(stop.position)],
        [`${name}.held-by`, positions.find((one) => one.at.equals(stop.position))?.heldBy ?? ''],
        [`${name}.bores`, stop.bores.join(' ')],
      ] as const,
    }));
  }

  // Procedures performed

  #perform(
    parent: number,
    written: Perform,
    path: string,
    frame: Frame,
    pointer: string,
  ): number | undefined {
    const { procedures } = this.#pack;
    const document = Object.hasOwn(procedures, written.perform) ? procedures[written.perform] : undefined;
    if (document === undefined) {
      this.#report.unknown(
        'procedure',
        written.perform,
        Object.keys(procedures),
        pointerTo(pointer, 'perform'),
      );
      return undefined;
    }
    this.#report.use('procedures', written.perform);
    for (let outer: Frame | undefined = frame; outer !== undefined; outer = outer.outer) {
      if (outer.procedure !== written.perform) continue;
      this.#report.add(
        'recursive-procedure',
        pointerTo(pointer, 'perform'),
        `${written.perform} performs itself.`,
      );
      return undefined;
    }
    const as = written.as ?? written.perform;
    const inside = join(path, as);
    const bindings = this.#given(written, document, frame, pointer);
    const when = written.when ?? frame.when;
    const inner = bound(
      {
        procedure: written.perform,
        document,
        pointer: pointerTo('/procedures', written.perform),
        prefix: `${frame.prefix}${as}.`,
        bindings: new Map(),
        outer: frame,
        ...(when === undefined ? {} : { when }),
      },
      bindings,
    );
    return this.#block(parent, as, inside, inner, pointer, (block) =>
      this.#body(block, document.steps, inside, inner, pointerTo(inner.pointer, 'steps')),
    );
  }

  #given(
    written: Perform,
    document: Procedure,
    frame: Frame,
    pointer: string,
  ): readonly (readonly [string, string])[] {
    const takes = document.takes ?? [];
    const given = written.given ?? {};
    for (const name of takes) {
      if (!Object.hasOwn(given, name)) {
        this.#report.add('missing-key', pointer, `${written.perform} takes ${name}, and it is not given.`, {
          remedy: `given: { ${name}: … }`,
        });
      }
    }
    return Object.entries(given).map(([name, value]) => {
      if (!takes.includes(name))
        this.#report.unknown('name that it takes', name, takes, pointerTo(pointer, 'given', name));
      return [
        name,
        frame.bindings.get(value) ?? this.#fill(value, frame, pointerTo(pointer, 'given', name)),
      ] as const;
    });
  }

  // Choices and conditions

  #choose(parent: number, written: Choose, path: string, frame: Frame, pointer: string): number | undefined {
    const inside = join(path, written.choose);
    const node: Open<ChooseNode> = {
      node: 'choose',
      cases: [],
      otherwise: -1,
      ...this.#base(parent, written.choose, inside, pointer),
    };
    if (!this.#add(node, frame)) return undefined;
    const cases: Open<ChooseNode['cases'][number]>[] = [];
    written.cases.slice(0, MOST_CHOICES).forEach((one, number) => {
      const at = pointerTo(pointer, 'cases', number);
      const when = this.#decision(one.when, frame, pointerTo(at, 'when'));
      if (when === false) return;
      const label = `case-${number + 1}`;
      const path = join(inside, label);
      const body = this.#block(node.index, label, path, frame, at, (block) =>
        this.#body(block, one.steps, path, frame, pointerTo(at, 'steps')),
      );
      cases.push({
        when: when === true ? { by: 'test', test: always } : when,
        says: saysCondition(one.when),
        body,
      });
    });
    node.cases = cases;
    if (written.otherwise !== undefined) {
      const path = join(inside, 'otherwise');
      const steps = written.otherwise;
      node.otherwise = this.#block(node.index, 'otherwise', path, frame, pointer, (block) =>
        this.#body(block, steps, path, frame, pointerTo(pointer, 'otherwise')),
      );
    }
    node.end = this.nodes.length;
    return node.index;
  }

  /** A condition as a decision; true or false where it is known already. */
  #decision(condition: Condition, frame: Frame, pointer: string): Decision | boolean {
    if ('variant' in condition) {
      condition.variant.forEach((variant, number) => {
        if (!Object.hasOwn(this.#pack.variants, variant)) {
          this.#report.unknown(
            'variant',
            variant,
            Object.keys(this.#pack.variants),
            pointerTo(pointer, 'variant', number),
          );
        }
      });
      return condition.variant.includes(this.#variant.id);
    }
    if ('given' in condition) {
      return Object.entries(condition.given).every(([name, value]) => {
        const is = frame.bindings.get(name);
        if (is === undefined)
          this.#report.unknown('given name', name, frame.bindings.keys(), pointerTo(pointer, 'given', name));
        return is === value;
      });
    }
    if ('state' in condition) {
      return { by: 'test', test: this.#tracked.test(condition.state, frame, pointerTo(pointer, 'state')) };
    }
    if ('observed' in condition)
      return this.#observed(condition.observed, frame, pointerTo(pointer, 'observed'));
    return {
      by: 'condition',
      condition: this.#checks.condition(condition.logic, frame, pointerTo(pointer, 'logic')),
    };
  }

  #observed(
    observed: Readonly<Record<string, string | readonly string[]>>,
    frame: Frame,
    pointer: string,
  ): Decision {
    const all: Test[] = [];
    const needs: number[] = [];
    for (const [name, wanted] of Object.entries(observed)) {
      const at = pointerTo(pointer, name);
      const full = this.#entryName(name, frame, at);
      const index = full === undefined ? undefined : this.#entries.index(full);
      const entry = index === undefined ? undefined : this.#entries.at(index);
      if (full !== undefined && entry === undefined) {
        this.#report.add('never-taken', at, `${name} has not been observed before this point.`);
      }
      if (entry === undefined) continue;
      if (entry.entry !== 'observation') {
        this.#report.add('wrong-form', at, `${name} is not an observation.`);
        continue;
      }
      const among = listOf(wanted).flatMap((answer) => {
        const place = entry.answers.findIndex((one) => one.id === answer);
        if (place < 0)
          this.#report.unknown(
            'answer',
            answer,
            entry.answers.map((one) => one.id),
            at,
          );
        return place < 0 ? [] : [place + 1];
      });
      all.push({ cell: entry.cell, among });
      needs.push(entry.cell);
    }
    return { by: 'test', test: { all }, needs };
  }

  /** The full name of an observation that a condition names: of this procedure or of one around it. */
  #entryName(name: string, frame: Frame, pointer: string): string | undefined {
    const names: string[] = [];
    for (let one: Frame | undefined = frame; one !== undefined; one = one.outer) {
      const per = one.document.observations?.[name.split('@')[0] ?? '']?.per;
      const at = name.includes('@') ? [] : listOf(per).map((bind) => frame.bindings.get(bind));
      names.push(one.prefix + placed(name, ...at));
      if (
        one.document.observations !== undefined &&
        Object.hasOwn(one.document.observations, name.split('@')[0] ?? '')
      ) {
        return one.prefix + placed(name, ...at);
      }
    }
    // `removal.rocker-assembly`: of a procedure that was performed before.
    const dotted = names.find((full) => this.#entries.index(full) !== undefined);
    if (dotted !== undefined) return dotted;
    this.#report.unknown('observation', name, Object.keys(frame.document.observations ?? {}), pointer);
    return undefined;
  }

  // Steps

  #step(parent: number, written: Step, path: string, frame: Frame, pointer: string): number | undefined {
    const where = join(path, written.step);
    const acted = this.#acts.of(written, frame, pointer);
    const changes = this.#changes(written, frame, pointer);
    const operations = operationsOf(written);
    for (const operation of listOf(written.operation)) {
      if (!Object.hasOwn(this.#pack.operations ?? {}, operation)) {
        this.#report.unknown(
          'operation',
          operation,
          Object.keys(this.#pack.operations ?? {}),
          pointerTo(pointer, 'operation'),
        );
      }
      this.#report.use('operations', operation);
    }
    const effects = [...acted.effects, ...changes.effects];
    const deed = { operations, entering: changes.entering, effects };
    const act =
      acted.act ??
      (effects.length > 0 || operations.length > 0
        ? ({ act: 'do', says: written.title ?? written.step } as const)
        : undefined);
    const requires = this.#requires(written, frame, pointer);
    const entries = this.#taken(written, frame, pointer);
    if (act === undefined && !keysThatDo.some((key) => written[key] !== undefined)) {
      this.#report.add(
        'no-verb',
        pointer,
        `${written.step} does nothing: it has no verb, reads nothing and judges nothing.`,
      );
    }
    const hazards =
      written.hazards === undefined ? [] : this.#hazards(written.hazards, pointerTo(pointer, 'hazards'));
    if (written.with !== undefined) this.#uses(written.with, pointerTo(pointer, 'with'));
    for (const key of ['witness', 'together-with', 'not-applicable'] as const)
      if (written[key] !== undefined) this.#role(written[key], pointerTo(pointer, key));
    const node: Open<StepNode> = {
      node: 'step',
      hazards,
      acknowledge: hazards.some((id) => this.#pack.hazards?.[id]?.acknowledge !== undefined),
      guards: [
        ...this.#laws.guards(deed, frame),
        ...(act === undefined ? [] : requires),
        ...acted.guards,
        ...changes.guards,
      ],
      effects,
      invariants: this.#laws.invariants(deed, frame),
      operations,
      uses: written.with ?? [],
      entries,
      disturbs: this.#disturbs(written, frame, pointer),
      ...this.#base(parent, written.step, where, pointer),
    };
    // What a step may lack comes last, so that all steps have one layout: jobs and proofs read them very often.
    if (act !== undefined) node.act = act;
    if (written.title !== undefined)
      node.title = this.#fill(written.title, frame, pointerTo(pointer, 'title'));
    if (written.witness !== undefined) node.witness = written.witness;
    if (written['together-with'] !== undefined) node.together = written['together-with'];
    if (written['not-applicable'] !== undefined) node.notApplicable = written['not-applicable'];
    if (!this.#add(node, frame)) return undefined;
    for (const index of entries) {
      const entry = this.#entries.at(index);
      if (entry === undefined) continue;
      entry.takers.push(node.index);
      if (act === undefined) entry.guards.push(...requires);
    }
    const check = this.#check(written, node, frame, pointer);
    if (check !== undefined) node.check = check;
    if (written['if-struck'] !== undefined) {
      const struck = this.#remedy(
        written['if-struck'],
        node,
        'if-struck',
        frame,
        pointerTo(pointer, 'if-struck'),
      );
      if (struck !== undefined) {
        node.struck = struck;
        this.#noConcession(struck, pointerTo(pointer, 'if-struck'));
      }
    }
    node.end = this.nodes.length;
    return node.index;
  }

  /** What was struck is missing: there is no result that anyone could accept. */
  #noConcession(struck: Remedy, pointer: string): void {
    const [hold, key] =
      struck.remedy === 'hold'
        ? ([struck.hold, 'hold'] as const)
        : ([struck.exhausted, 'exhausted'] as const);
    if (this.holds[hold]?.releases.some((release) => release.by === 'concession') !== true) return;
    this.#report.add(
      'wrong-form',
      pointerTo(pointer, key),
      'What was struck has no result that a concession could accept.',
      { remedy: 'Name a hold that is released by rework.' },
    );
  }

  #requires(written: Step, frame: Frame, pointer: string): readonly Guard[] {
    if (written.requires === undefined) return [];
    const at = pointerTo(pointer, 'requires');
    const test = this.#tracked.test(written.requires, frame, at);
    return [
      {
        test,
        because: { guard: 'requirement', says: `${written.step} needs ${Tracked.says(written.requires)}.` },
        pointer: at,
      },
    ];
  }

  #changes(written: Step, frame: Frame, pointer: string): Changed {
    if (written.changes === undefined) return unchanged;
    const effects: Effect[] = [];
    const guards: Guard[] = [];
    const entering = new Map<string, string>();
    for (const [state, change] of Object.entries(written.changes)) {
      const at = pointerTo(pointer, 'changes', state);
      const cell = this.#tracked.state(state, frame, at);
      const from = listOf(change[0]);
      const to = listOf(change[1])[0] ?? '';
      if (cell === undefined) continue;
      if (Array.isArray(change[1]))
        this.#report.add('wrong-form', pointerTo(at, 1), 'A state changes to one value.');
      const values = from.flatMap((value) => this.#tracked.value(state, value, pointerTo(at, 0)) ?? []);
      const target = this.#tracked.value(state, to, pointerTo(at, 1));
      if (target === undefined) continue;
      if (values.length > 0 && values.every((value) => value === target)) {
        this.#report.add('wrong-value', at, `${state} would stay ${to}: that is no change.`);
      }
      entering.set(state, to);
      effects.push({ cell, to: target });
      guards.push({
        test: { cell, among: values },
        because: {
          guard: 'change-from',
          says: `${placed(state, frame.bore)} has to be ${from.join(' or ')} before ${written.step}.`,
        },
        pointer: at,
      });
    }
    return { effects, guards, entering };
  }

  #taken(written: Step, frame: Frame, pointer: string): readonly number[] {
    const found: (number | undefined)[] = [];
    if (written.identify !== undefined) {
      const { part, as } = written.identify;
      found.push(
        this.#entries.identity(
          part,
          as,
          written.identify['accept-new'] !== undefined,
          frame,
          pointerTo(pointer, 'identify'),
        ),
      );
    }
    if (written['fill-in'] !== undefined)
      found.push(this.#entries.field(written['fill-in'], pointerTo(pointer, 'fill-in')));
    if (written.observe !== undefined)
      found.push(this.#entries.observation(written.observe, frame, pointerTo(pointer, 'observe')));
    listOf(written.read).forEach((id, number) => {
      const at = Array.isArray(written.read)
        ? pointerTo(pointer, 'read', number)
        : pointerTo(pointer, 'read');
      found.push(this.#entries.reading(id, frame, at));
    });
    return found.flatMap((index) => index ?? []);
  }

  #hazards(ids: readonly string[], pointer: string): readonly string[] {
    const hazards = this.#pack.hazards ?? {};
    ids.forEach((id, number) => {
      if (!Object.hasOwn(hazards, id))
        this.#report.unknown('hazard', id, Object.keys(hazards), pointerTo(pointer, number));
      this.#report.use('hazards', id);
    });
    return ids;
  }

  #uses(ids: readonly string[], pointer: string): void {
    const declared = [this.#pack.equipment ?? {}, this.#pack.supplies ?? {}, this.#pack.instruments ?? {}];
    ids.forEach((id, number) => {
      const known = declared.find((one) => Object.hasOwn(one, id));
      if (known === undefined)
        this.#report.unknown(
          'equipment or supply',
          id,
          declared.flatMap((one) => Object.keys(one)),
          pointerTo(pointer, number),
        );
      for (const section of ['equipment', 'supplies', 'instruments']) this.#report.use(section, id);
    });
  }

  #role(role: string | undefined, pointer: string): void {
    if (role === undefined) return;
    const roles = this.#pack.roles ?? {};
    if (!Object.hasOwn(roles, role)) this.#report.unknown('role', role, Object.keys(roles), pointer);
    this.#report.use('roles', role);
  }

  #disturbs(written: Step, frame: Frame, pointer: string): readonly number[] {
    return listOf(written.disturbs).flatMap((name) => {
      const index = this.#entries.index(frame.prefix + placed(name, ...this.#at(name, frame)));
      const entry = this.#entries.at(index ?? -1);
      if (entry === undefined) {
        this.#report.add(
          'never-taken',
          pointerTo(pointer, 'disturbs'),
          `${name} has not been taken before this step, so it cannot be disturbed.`,
        );
      } else if (entry.entry !== 'reading') {
        this.#report.add('wrong-form', pointerTo(pointer, 'disturbs'), `${name} is not a reading.`);
      }
      return entry?.cell ?? [];
    });
  }

  #at(name: string, frame: Frame): readonly (string | undefined)[] {
    return listOf(frame.document.readings?.[name]?.per).map((one) => frame.bindings.get(one));
  }

  // Checks and remedies

  #check(written: Step, node: Open<StepNode>, frame: Frame, pointer: string): Check | undefined {
    const observed = node.entries.find((index) => this.#isJudged(index));
    const outcome = written['if-nonconforming'];
    if (written.judge !== undefined && observed !== undefined) {
      this.#report.add(
        'several-checks',
        pointerTo(pointer, 'judge'),
        'One step has one verdict; this one judges an answer or a serial number as well.',
        {
          remedy: 'Make two steps of it.',
        },
      );
    }
    const judged = node.entries.filter((index) => this.#isJudged(index));
    if (judged.length > 1)
      this.#report.add('several-checks', pointer, 'One step has one verdict.', {
        remedy: 'Make two steps of it.',
      });
    if (written.judge === undefined && observed === undefined) {
      const isBroken = this.#report.hasErrorAt(pointerTo(pointer, 'observe'));
      for (const key of ['if-nonconforming', 'if-inconclusive'] as const) {
        if (written[key] !== undefined && !isBroken)
          this.#report.add('needless-remedy', pointerTo(pointer, key), 'Nothing is judged in this step.');
      }
      return undefined;
    }
    if (outcome === undefined) {
      this.#report.add(
        'no-remedy',
        pointer,
        `${written.step} is judged, and it is not said what follows when it does not conform.`,
        {
          remedy: 'Add if-nonconforming: a rework or a hold.',
        },
      );
    }
    if (written.judge !== undefined)
      return this.#toleranceCheck(written, written.judge, node, frame, pointer);
    if (observed === undefined) return undefined;
    const nonconforming =
      outcome === undefined
        ? undefined
        : this.#plainOutcome(outcome, node, frame, pointerTo(pointer, 'if-nonconforming'));
    const entry = this.#entries.at(observed);
    entry?.judgedBy.push(node.index);
    return {
      check: entry?.entry === 'identity' ? 'identity' : 'observation',
      entry: observed,
      ...(nonconforming === undefined ? {} : { nonconforming }),
    };
  }

  #isJudged(index: number): boolean {
    const entry = this.#entries.at(index);
    if (entry?.entry === 'observation') return entry.answers.some((one) => !one.conforming);
    return entry?.entry === 'identity' && entry.as === 'fitted';
  }

  #toleranceCheck(
    written: Step,
    id: string,
    node: Open<StepNode>,
    frame: Frame,
    pointer: string,
  ): Check | undefined {
    const tolerance = this.#checks.tolerance(id, frame, pointerTo(pointer, 'judge'));
    if (tolerance === undefined) return undefined;
    const outcome = written['if-nonconforming'];
    const at = pointerTo(pointer, 'if-nonconforming');
    const sided = outcome !== undefined && 'when-high' in outcome;
    const one = outcome === undefined || sided ? undefined : this.#plainOutcome(outcome, node, frame, at);
    const high = sided
      ? this.#remedy(outcome['when-high'], node, 'when-high', frame, pointerTo(at, 'when-high'))
      : one;
    const low = sided
      ? this.#remedy(outcome['when-low'], node, 'when-low', frame, pointerTo(at, 'when-low'))
      : one;
    const unsure = written['if-inconclusive'];
    const inconclusive =
      unsure === undefined
        ? undefined
        : this.#remedy(unsure, node, 'if-inconclusive', frame, pointerTo(pointer, 'if-inconclusive'));
    return {
      check: 'tolerance',
      tolerance,
      ...(high === undefined ? {} : { high }),
      ...(low === undefined ? {} : { low }),
      ...(inconclusive === undefined ? {} : { inconclusive }),
    };
  }

  #plainOutcome(outcome: Outcome, node: Open<StepNode>, frame: Frame, pointer: string): Remedy | undefined {
    if ('when-high' in outcome) {
      this.#report.add('wrong-form', pointer, 'Only a tolerance is missed on a side.');
      return undefined;
    }
    return this.#remedy(outcome, node, 'if-nonconforming', frame, pointer);
  }

  #remedy(
    written: WrittenRemedy,
    node: Open<StepNode>,
    label: string,
    frame: Frame,
    pointer: string,
  ): Remedy | undefined {
    if ('hold' in written) {
      const hold = this.#hold(written.hold, node, frame, pointerTo(pointer, 'hold'), false);
      return hold === undefined ? undefined : { remedy: 'hold', hold };
    }
    const target = this.#sibling(node, written['resume-at']);
    if (target === undefined) {
      const parent = this.nodes[node.parent];
      const known =
        parent === undefined ? [] : this.#children(parent.index).map((one) => this.nodes[one]?.id ?? '');
      this.#report.add(
        'resume-at',
        pointerTo(pointer, 'resume-at'),
        `${written['resume-at']} is not an earlier step of the same block, nor the step itself.`,
        {
          remedy: `It can resume at ${[...new Set([...known, node.id])].join(', ')}.`,
        },
      );
    }
    const exhausted = this.#hold(written.exhausted, node, frame, pointerTo(pointer, 'exhausted'), false);
    const attempts = this.#count(written.attempts, pointerTo(pointer, 'attempts'));
    const counter = this.#tracked.counter(`${node.path} ${label}`, attempts);
    const parent = this.nodes[node.parent];
    if (parent?.node === 'block') parent.counters = [...parent.counters, counter];
    const body = this.#reworkBody(
      node.index,
      label,
      written.rework,
      node.path,
      frame,
      pointerTo(pointer, 'rework'),
      target,
    );
    if (target === undefined || exhausted === undefined || body < 0) return undefined;
    return { remedy: 'rework', body, counter, attempts, exhausted };
  }

  #count(written: string, pointer: string): number {
    const count = Number(written);
    if (count <= 200) return count;
    this.#report.add('wrong-value', pointer, 'At most 200 times.');
    return 200;
  }

  /** The body of a rework: its end leads to the target, and everything from there to the end of that body is open again. */
  #reworkBody(
    owner: number,
    label: string,
    steps: readonly Node[],
    path: string,
    frame: Frame,
    pointer: string,
    target: number | undefined,
  ): number {
    const inside = join(path, label);
    const body = this.#block(owner, label, inside, frame, pointer, (block) =>
      this.#body(block, steps, inside, frame, pointer),
    );
    const node = this.nodes[body];
    if (node?.node === 'block' && target !== undefined) {
      // Where that body ends is not known until it is written out; `finish` sets it.
      node.resumes = { at: target, until: -1 };
    }
    return body;
  }

  /** An earlier node beside this one, or this one. */
  #sibling(node: OpenNode, id: string): number | undefined {
    if (node.id === id) return node.index;
    return this.#children(node.parent).find((index) => this.nodes[index]?.id === id && index <= node.index);
  }

  // Holds

  #holdPoint(
    parent: number,
    written: HoldPoint,
    path: string,
    frame: Frame,
    pointer: string,
  ): number | undefined {
    const node: Open<HoldNode> = {
      node: 'hold',
      hold: -1,
      ...this.#base(parent, written.hold, join(path, written.hold), pointer),
    };
    if (!this.#add(node, frame)) return undefined;
    const hold = this.#hold(written.hold, node, frame, pointerTo(pointer, 'hold'), true);
    node.hold = hold ?? 0;
    node.end = this.nodes.length;
    return node.index;
  }

  /** A hold at one place, with the rework that releases it written out there. */
  #hold(id: string, node: OpenNode, frame: Frame, pointer: string, isPoint: boolean): number | undefined {
    const known = this.#holdPlaces.get(`${node.index} ${id}`);
    if (known !== undefined) return known;
    const found = this.#declaredHold(id, frame);
    if (found === undefined) {
      const all = new Set([
        ...Object.keys(this.#pack.holds ?? {}),
        ...Object.keys(frame.document.holds ?? {}),
      ]);
      this.#report.unknown('hold', id, all, pointer);
      return undefined;
    }
    const { hold, where } = found;
    const index = this.holds.length;
    this.#holdPlaces.set(`${node.index} ${id}`, index);
    const made: Open<PlanHold> = {
      id,
      text: this.#fill(hold.text, frame, pointerTo(where, 'text')),
      safety: hold.safety !== undefined,
      node: node.index,
      releases: [],
      pointer: where,
    };
    this.holds.push(made);
    const releases: PlanRelease[] = [];
    hold.release.forEach((release, number) => {
      const at = pointerTo(where, 'release', number);
      if ('concession' in release) {
        this.#role(release.concession, pointerTo(at, 'concession'));
        if (made.safety) {
          this.#report.add(
            'safety-concession',
            pointerTo(at, 'concession'),
            `${id} is marked as safety, and safety has no concession.`,
            {
              remedy: 'Release it by rework only.',
            },
          );
        }
        if (isPoint)
          this.#report.add(
            'wrong-form',
            pointerTo(at, 'concession'),
            'A hold point has no result that a concession could accept.',
            { remedy: 'Release it by witness.' },
          );
        releases.push({ by: 'concession', role: release.concession });
        return;
      }
      if ('witness' in release) {
        this.#role(release.witness, pointerTo(at, 'witness'));
        if (!isPoint)
          this.#report.add('wrong-form', pointerTo(at, 'witness'), 'A witness does not put a result right.', {
            remedy: 'Release it by concession or by rework.',
          });
        releases.push({ by: 'witness', role: release.witness });
        return;
      }
      this.#role(release.by, pointerTo(at, 'by'));
      const target = this.#outward(node, release['resume-at']);
      if (target === undefined) {
        this.#report.add(
          'resume-at',
          pointerTo(at, 'resume-at'),
          `${release['resume-at']} is neither before ${node.id} in its block nor before a block around it.`,
          {
            other: [{ pointer, message: 'where the hold is used' }],
          },
        );
        return;
      }
      const times = this.#count(release.times, pointerTo(at, 'times'));
      const counter = this.#tracked.counter(`${node.path} ${id}`, times);
      const around = this.nodes[this.nodes[target]?.parent ?? -1];
      if (around?.node === 'block') around.counters = [...around.counters, counter];
      const label = `${id}-${number + 1}`;
      const body = this.#reworkBody(
        node.index,
        label,
        release.rework,
        node.path,
        frame,
        pointerTo(at, 'rework'),
        target,
      );
      if (body < 0) return;
      releases.push({
        by: 'rework',
        ...(release.by === undefined ? {} : { role: release.by }),
        body,
        counter,
        times,
      });
    });
    made.releases = releases;
    return index;
  }

  #declaredHold(id: string, frame: Frame): { hold: Hold; where: string } | undefined {
    for (let one: Frame | undefined = frame; one !== undefined; one = one.outer) {
      const own = one.document.holds;
      const hold = own !== undefined && Object.hasOwn(own, id) ? own[id] : undefined;
      if (hold !== undefined) {
        this.#report.use(`procedures/${one.procedure}/holds`, id);
        return { hold, where: pointerTo(one.pointer, 'holds', id) };
      }
    }
    const hold = Object.hasOwn(this.#pack.holds ?? {}, id) ? this.#pack.holds?.[id] : undefined;
    if (hold === undefined) return undefined;
    this.#report.use('holds', id);
    return { hold, where: pointerTo('/holds', id) };
  }

  /** A node of this id beside the node or, further out, beside a block around it, and not after it. */
  #outward(node: OpenNode, id: string): number | undefined {
    for (
      let inner: OpenNode | undefined = node;
      inner !== undefined && inner.parent >= 0;
      inner = this.nodes[inner.parent]
    ) {
      const found = this.#sibling(inner, id);
      if (found !== undefined) return found;
    }
    return undefined;
  }

  // Before and after

  #preliminary(parent: number, frame: Frame): void {
    const { preliminary } = frame.document;
    if (preliminary === undefined) return;
    const pointer = pointerTo(frame.pointer, 'preliminary');
    this.#block(
      parent,
      'preliminary',
      'preliminary',
      frame,
      pointer,
      (block) => {
        const confirm = (id: string, says: string, at: string, hazards: readonly string[] = []): void => {
          const before = this.#children(block).at(-1);
          const node = this.#confirmation(block, id, `preliminary/${id}`, says, frame, at, hazards);
          const earlier = before === undefined ? undefined : this.nodes[before];
          if (earlier !== undefined && node !== undefined) earlier.next = node;
        };
        const safety = this.#hazards(preliminary.safety, pointerTo(pointer, 'safety'));
        if (safety.length > 0)
          confirm(
            'safety',
            'The hazards of this work are read and understood.',
            pointerTo(pointer, 'safety'),
            safety,
          );
        for (const { id, text, at } of this.#conditions(
          preliminary.conditions,
          pointerTo(pointer, 'conditions'),
        )) {
          confirm(id, text, at);
        }
        for (const [key, words] of lists) {
          const titles = this.#titles(key, preliminary[key], pointerTo(pointer, key));
          if (titles.length > 0) confirm(key, `${words}: ${titles.join('; ')}.`, pointerTo(pointer, key));
        }
      },
      'Preliminary requirements',
    );
    this.#link(parent);
  }

  #afterwards(parent: number, frame: Frame): void {
    const ids = frame.document.afterwards ?? [];
    if (ids.length === 0) return;
    const pointer = pointerTo(frame.pointer, 'afterwards');
    this.#block(
      parent,
      'afterwards',
      'afterwards',
      frame,
      pointer,
      (block) => {
        let before: OpenNode | undefined;
        for (const { id, text, at } of this.#conditions(ids, pointer)) {
          const node = this.#confirmation(block, id, `afterwards/${id}`, text, frame, at, []);
          if (before !== undefined && node !== undefined) before.next = node;
          before = this.nodes[node ?? -1];
        }
      },
      'Requirements after job completion',
    );
    this.#link(parent);
  }

  /** Joins the children of a block into a sequence. */
  #link(parent: number): void {
    const children = this.#children(parent);
    children.forEach((index, place) => {
      const node = this.nodes[index];
      const next = children[place + 1];
      if (node !== undefined && next !== undefined) node.next = next;
    });
  }

  #confirmation(
    parent: number,
    id: string,
    path: string,
    says: string,
    frame: Frame,
    pointer: string,
    hazards: readonly string[],
  ): number | undefined {
    const node: Open<StepNode> = {
      node: 'step',
      hazards,
      acknowledge: hazards.length > 0,
      guards: [],
      effects: [],
      invariants: [],
      operations: [],
      uses: [],
      entries: [],
      disturbs: [],
      ...this.#base(parent, id, path, pointer),
    };
    if (hazards.length > 0) node.title = says;
    else node.act = { act: 'do', says };
    return this.#add(node, frame) ? node.index : undefined;
  }

  #conditions(ids: readonly string[], pointer: string) {
    const declared = this.#pack.conditions ?? {};
    return ids.flatMap((id, number) => {
      const at = pointerTo(pointer, number);
      const condition = Object.hasOwn(declared, id) ? declared[id] : undefined;
      if (condition === undefined) this.#report.unknown('condition', id, Object.keys(declared), at);
      this.#report.use('conditions', id);
      return condition === undefined ? [] : [{ id, text: condition.text, at }];
    });
  }

  #titles(
    key: 'equipment' | 'supplies' | 'spares',
    ids: readonly string[],
    pointer: string,
  ): readonly string[] {
    const { equipment = {}, instruments = {}, supplies = {}, parts = {} } = this.#pack;
    const sections: readonly Readonly<Record<string, { readonly title: string }>>[] =
      key === 'equipment' ? [equipment, instruments] : key === 'supplies' ? [supplies] : [parts];
    return ids.flatMap((id, number) => {
      const section = sections.find((one) => Object.hasOwn(one, id));
      if (section === undefined) {
        this.#report.unknown(
          key === 'spares' ? 'part' : key,
          id,
          sections.flatMap((one) => Object.keys(one)),
          pointerTo(pointer, number),
        );
        return [];
      }
      for (const name of ['equipment', 'instruments', 'supplies', 'parts']) this.#report.use(name, id);
      const title = section[id]?.title ?? id;
      const each = key === 'spares' && parts[id]?.per === 'bore' ? ` (${this.#variant.bores.length})` : '';
      return [title + each];
    });
  }

  /** The outermost block around a node, or the body of the rework that it is in. */
  #bodyAround(index: number): { readonly end: number } {
    let around = this.nodes[this.nodes[index]?.parent ?? -1];
    for (; around !== undefined; around = this.nodes[around.parent]) {
      if (around.parent < 0 || (around.node === 'block' && around.resumes !== undefined)) return around;
    }
    return { end: this.nodes.length };
  }

  /** Sets what could not be known before everything was written out. */
  finish(): readonly PlanNode[] {
    for (const node of this.nodes) {
      if (node.node !== 'block' || node.resumes === undefined) continue;
      node.resumes = { at: node.resumes.at, until: this.#bodyAround(node.resumes.at).end };
    }
    // What a choice or a passed-over node relies on is decided again when it is struck.
    const entryOf = new Map(this.#entries.list.map((entry, index) => [entry.cell, index]));
    for (const node of this.nodes) {
      const decisions = [node.onlyIf, ...(node.node === 'choose' ? node.cases.map((one) => one.when) : [])];
      const reliedOn = decisions.flatMap((one) =>
        one?.by === 'test'
          ? cellsIn(one.test).flatMap((cell) => entryOf.get(cell) ?? [])
          : one?.by === 'condition'
            ? (this.#checks.conditions[one.condition]?.entries ?? [])
            : [],
      );
      if (reliedOn.length > 0)
        for (const index of new Set(reliedOn)) this.#entries.at(index)?.decides.push(node.index);
      if (node.node === 'step' && node.check?.check === 'tolerance') {
        for (const index of this.#checks.tolerances[node.check.tolerance]?.entries ?? [])
          this.#entries.at(index)?.judgedBy.push(node.index);
      }
    }
    // What is fitted is compared with what was found at that place.
    for (const found of this.#entries.list) {
      if (found.entry !== 'identity' || found.as !== 'found') continue;
      for (const fitted of this.#entries.list) {
        if (fitted.entry === 'identity' && fitted.as === 'fitted' && fitted.partCell === found.partCell)
          found.judgedBy.push(...fitted.takers);
      }
    }
    for (const condition of this.#checks.conditions) {
      for (const index of condition.entries) this.#entries.at(index)?.truths.push(condition.cell);
    }
    return this.nodes;
  }
}

const lists = [
  ['equipment', 'In hand and fit for use'],
  ['supplies', 'In hand'],
  ['spares', 'In hand before stripping'],
] as const;

const join = (path: string, id: string): string => (path === '' ? id : `${path}/${id}`);

const keyOf = (node: Node): string =>
  ['perform', 'choose', 'each', 'block', 'hold', 'step'].find((key) => key in node) ?? 'step';

function saysCondition(condition: Condition): string {
  if ('state' in condition) return Tracked.says(condition.state);
  if ('variant' in condition) return `variant: ${condition.variant.join(' or ')}`;
  if ('logic' in condition) return JSON.stringify(condition.logic);
  const map = 'given' in condition ? condition.given : condition.observed;
  return Object.entries(map)
    .map(([name, value]) => `${name}: ${listOf(value as string | readonly string[]).join(' or ')}`)
    .join(', ');
}
