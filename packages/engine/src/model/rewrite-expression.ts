import type { Table } from '../logic/index.ts';
import { factNamed, unknownFact } from './facts.ts';
import { boundTo } from './fill.ts';
import { type Declared, declaredIn, type Frame, listOf, namesDeclaredIn } from './frame.ts';
import type { Pack } from './generated/document.ts';
import { pointerTo, valueAt } from './pointer.ts';
import { readTables } from './read-tables.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';
import { placed } from './tracked.ts';

const namedForms = [
  'difference',
  'change',
  'spread',
  'share',
  'lowest',
  'highest',
  'mean',
  'around',
  'table',
];

/** Says under which name an expression reads the time since a step; undefined, with a diagnostic, where it cannot. */
export type Timer = (
  written: { readonly since?: unknown; readonly until?: unknown },
  frame: Frame,
  pointer: string,
) => string | undefined;

/** A name as it is written in an expression, found: what it declares, and in which frame. */
export interface Found {
  readonly frame: Frame;
  readonly name: string;
  readonly declared: Declared;
  /** Values of the loop names that the instance belongs to. */
  readonly at: readonly string[];
}

/**
 * Rewrites an expression of a pack into one over flat names: names of readings become the instances that are meant,
 * derived values are written out, facts of the variant and bound names become literals, and quantified names become
 * lists. What is wrong is reported at its pointer.
 */
export class ExpressionRewriter {
  readonly #pack: Pack;
  readonly #variant: ResolvedVariant;
  readonly #report: Report;
  /** The tables that expressions look things up in. */
  readonly tables: ReadonlyMap<string, Table>;
  /** Where the expression of a derived value stands that was written out. */
  readonly #written = new WeakMap<object, string>();
  /** Derived values that are being written out, to see circles. */
  readonly #open: string[] = [];
  #timer: Timer | undefined;

  constructor(pack: Pack, variant: ResolvedVariant, report: Report) {
    this.#pack = pack;
    this.#variant = variant;
    this.#report = report;
    this.tables = readTables(pack, variant, report);
  }

  /** `timer` is there only for what a tolerance judges: nothing else may read the time since a step. */
  rewrite(json: unknown, frame: Frame, pointer: string, timer?: Timer): unknown {
    this.#timer = timer;
    return this.#walk(json, frame, pointer, false, 0);
  }

  /**
   * Where a place in a rewritten expression was written: `rest` inside the derived value that was written out there, or
   * inside the expression itself, which stands at `pointer`.
   */
  writtenAt(
    rewritten: unknown,
    pointer: string,
    at: string,
  ): { readonly base: string; readonly rest: string } {
    let found = { base: pointer, rest: at };
    let value = rewritten;
    let rest = at;
    for (;;) {
      if (typeof value !== 'object' || value === null) return found;
      const base = this.#written.get(value);
      if (base !== undefined) found = { base, rest };
      const [, key, after] = /^\/([^/]*)(.*)$/.exec(rest) ?? [];
      if (key === undefined) return found;
      value = valueAt(value, `/${key}`);
      rest = after ?? '';
    }
  }

  #walk(json: unknown, frame: Frame, pointer: string, isBare: boolean, depth: number): unknown {
    // The typing says what is wrong with an expression that is too deep; here it only must not overflow.
    if (depth > 100) return json;
    if (typeof json === 'string') {
      if (!isBare) return json;
      const literal = boundTo(json, frame, this.#variant, this.#report);
      if (literal !== undefined) return literal;
      if (this.#isUnknownFact(json, pointer)) return json;
      // What does not start like a quantity is meant as a name, also where nothing is declared by it.
      const isName = this.#knows(json, frame) || !/^[\s\d.,+\-−]/.test(json);
      return isName ? this.#named(json, frame, pointer) : json;
    }
    if (Array.isArray(json)) {
      return json.map((item, index) => this.#walk(item, frame, pointerTo(pointer, index), isBare, depth + 1));
    }
    if (typeof json !== 'object' || json === null) return json;
    const entries = Object.entries(json);
    const [first] = entries;
    if (first === undefined || entries.length !== 1) return json;
    const [key, value] = first;
    const at = pointerTo(pointer, key);
    if (key === 'var') return typeof value === 'string' ? this.#variable(value, frame, at) : json;
    if (key === 'every-bore') return typeof value === 'string' ? this.#everyBore(value, frame, at) : json;
    if (key === 'elapsed') return { var: this.#elapsed(value, frame, at) };
    const isNamed = namedForms.includes(key) && typeof value === 'object' && value !== null;
    if (isNamed && !Array.isArray(value) && !('every-bore' in value)) {
      return {
        [key]: Object.fromEntries(
          Object.entries(value).map(([name, item]) => [
            name,
            key === 'table' && name === 'of'
              ? this.#table(item, pointerTo(at, name))
              : this.#walk(item, frame, pointerTo(at, name), true, depth + 1),
          ]),
        ),
      };
    }
    return { [key]: this.#walk(value, frame, at, namedForms.includes(key), depth + 1) };
  }

  #variable(name: string, frame: Frame, pointer: string): unknown {
    if (name === 'variant') return { var: 'variant' };
    const literal = boundTo(name, frame, this.#variant, this.#report);
    if (literal !== undefined) return literal;
    if (this.#isUnknownFact(name, pointer)) return { var: name };
    return this.#named(name, frame, pointer);
  }

  #elapsed(written: unknown, frame: Frame, pointer: string): string {
    const timer = this.#timer;
    if (timer === undefined)
      this.#report.add(
        'bad-expression',
        pointer,
        'The time since a step can only be judged, in the value of a tolerance.',
        {
          remedy:
            'Make it a derived value, and judge that by a tolerance: if-nonconforming says what follows.',
        },
      );
    const isMap = typeof written === 'object' && written !== null && !Array.isArray(written);
    if (!isMap)
      this.#report.add(
        'bad-expression',
        pointer,
        'elapsed takes the name of the step from which the time counts.',
        {
          remedy: 'Write { elapsed: { since: that-step } }.',
        },
      );
    return (isMap ? timer?.(written, frame, pointer) : undefined) ?? 'elapsed';
  }

  #table(name: unknown, pointer: string): unknown {
    if (typeof name !== 'string') return name;
    const declared = this.#pack.tables ?? {};
    if (!Object.hasOwn(declared, name)) this.#report.unknown('table', name, Object.keys(declared), pointer);
    this.#report.use('tables', name);
    return name;
  }

  #isUnknownFact(name: string, pointer: string): boolean {
    const fact = factNamed(name);
    if (fact === undefined) return false;
    unknownFact(fact, this.#variant, this.#pack, pointer, this.#report);
    return true;
  }

  #everyBore(name: string, frame: Frame, pointer: string): unknown {
    return this.#variant.bores.map((bore) =>
      this.#named(
        name,
        { ...frame, bore, bindings: new Map([...frame.bindings, ['bore', String(bore)]]) },
        pointer,
      ),
    );
  }

  #knows(name: string, frame: Frame): boolean {
    if (this.#search(name, frame) !== undefined) return true;
    // A value of a performed procedure that it does not export is looked up too, so that this is said.
    return performedIn(frame.document).some((one) => name.startsWith(`${one.as}.`));
  }

  /** A name as an expression: an instance, or a derived value written out. */
  #named(name: string, frame: Frame, pointer: string): unknown {
    const found = this.find(name, frame, pointer);
    if (found === undefined) return { var: name };
    if (found.declared.is !== 'derived') return { var: found.frame.prefix + placed(found.name, ...found.at) };
    const key = `${found.frame.prefix}${placed(found.name, ...found.at)}`;
    if (this.#open.includes(key)) {
      this.#report.add('bad-expression', pointer, `${name} is derived from itself.`);
      return { var: key };
    }
    this.#open.push(key);
    const inside = this.#inside(found);
    const where = pointerTo(found.frame.pointer, 'derived', found.name, 'is');
    const written = this.#walk(found.declared.derived.is, inside, where, false, 0);
    this.#open.pop();
    // A derived value that is only another one written out is written where that one is.
    if (typeof written === 'object' && written !== null && !this.#written.has(written))
      this.#written.set(written, where);
    return written;
  }

  #inside(found: Found): Frame {
    const { declared } = found;
    const per = listOf(declared.is === 'derived' ? declared.derived.per : undefined);
    const bindings = new Map(found.frame.bindings);
    for (const [index, name] of per.entries()) bindings.set(name, found.at[index] ?? '');
    const bore = bindings.get('bore');
    return { ...found.frame, bindings, ...(bore === undefined ? {} : { bore: Number(bore) }) };
  }

  /** What a written name means; a diagnostic and undefined when nothing, or when its bore is not said. */
  find(name: string, frame: Frame, pointer: string): Found | undefined {
    const found = this.#search(name, frame);
    if (found === undefined) {
      const [path] = name.split('@');
      const performs = performedIn(frame.document);
      const [as, inner] = (path ?? '').split('.');
      const performed = performs.find((one) => one.as === as);
      if (inner !== undefined && performed !== undefined) {
        const document = this.#pack.procedures[performed.procedure];
        const exports = document?.exports ?? [];
        if (document !== undefined && declaredIn(document, inner) !== undefined) {
          this.#report.add(
            'not-exported',
            pointer,
            `${performed.procedure} has ${inner} but does not export it.`,
            {
              remedy: `Add it to exports: of ${performed.procedure}.`,
            },
          );
        } else
          this.#report.unknown(
            'reading',
            name,
            exports.map((one) => `${as}.${one}`),
            pointer,
          );
        return undefined;
      }
      const declared = [
        ...namesDeclaredIn(frame.document),
        ...performs.flatMap((one) =>
          (this.#pack.procedures[one.procedure]?.exports ?? []).map((item) => `${one.as}.${item}`),
        ),
      ];
      this.#report.unknown('reading, observation or derived value', name, declared, pointer);
      return undefined;
    }
    const { declared } = found;
    const per = listOf(
      declared.is === 'reading'
        ? declared.reading.per
        : declared.is === 'observation'
          ? declared.observation.per
          : declared.derived.per,
    );
    const written = name.split('@').slice(1);
    if (written.length > 0 && written.length === per.length) return { ...found, at: written };
    const at: string[] = [];
    for (const one of per) {
      const value = frame.bindings.get(one);
      if (value === undefined) {
        this.#report.add(
          'needs-bore',
          pointer,
          `${name} is taken per ${one}, and it is not said which ${one} is meant here.`,
          {
            remedy:
              one === 'bore'
                ? `Write ${name}@1, put it inside each: bore, or quantify it: {every-bore: ${name}}.`
                : `Put it inside each: ${one}.`,
          },
        );
        return undefined;
      }
      at.push(value);
    }
    return { ...found, at };
  }

  #search(name: string, frame: Frame): Omit<Found, 'at'> | undefined {
    const path = name.split('@')[0] ?? '';
    const declared = declaredIn(frame.document, path);
    if (declared !== undefined) {
      this.#report.use(`procedures/${frame.procedure}`, path);
      return { frame, name: path, declared };
    }
    const [as, inner, more] = path.split('.');
    if (as === undefined || inner === undefined || more !== undefined) return undefined;
    const performed = performedIn(frame.document).find((one) => one.as === as);
    const document = performed === undefined ? undefined : this.#pack.procedures[performed.procedure];
    if (performed === undefined || document === undefined || !(document.exports ?? []).includes(inner))
      return undefined;
    const within = declaredIn(document, inner);
    if (within === undefined) return undefined;
    this.#report.use(`procedures/${performed.procedure}`, inner);
    return {
      frame: {
        ...frame,
        procedure: performed.procedure,
        document,
        pointer: pointerTo('/procedures', performed.procedure),
        prefix: `${frame.prefix}${as}.`,
        outer: frame,
      },
      name: inner,
      declared: within,
    };
  }
}

/** The procedures that a procedure performs, wherever in it, with the names that they are known by. */
function performedIn(
  document: Frame['document'],
): readonly { readonly as: string; readonly procedure: string }[] {
  const known = performed.get(document);
  if (known !== undefined) return known;
  const found: { as: string; procedure: string }[] = [];
  const waiting: unknown[] = [document.steps];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (Array.isArray(next)) for (const inside of next) waiting.push(inside);
    else if (typeof next === 'object' && next !== null) {
      if ('perform' in next && typeof next.perform === 'string') {
        found.push({
          as: 'as' in next && typeof next.as === 'string' ? next.as : next.perform,
          procedure: next.perform,
        });
      }
      for (const inside of Object.values(next)) waiting.push(inside);
    }
  }
  performed.set(document, found);
  return found;
}

const performed = new WeakMap<Frame['document'], readonly { as: string; procedure: string }[]>();
