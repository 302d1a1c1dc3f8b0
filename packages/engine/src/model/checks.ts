import {
  evaluateAmount,
  expressionRemedy,
  lower,
  namesIn,
  type Scope,
  scopeOf,
  type Type,
  type TypedAmount,
  type TypedTruth,
  typeExpression,
  writeExpressionFault,
  writeFormula,
} from '../logic/index.ts';
import { type Limits, limitsOf, type Side, spanKind, type WrittenLimits } from '../measure/index.ts';
import {
  type Amount,
  baseUnit,
  type Kind,
  parseStatement,
  type Quantity,
  Rational,
  type Unit,
  valueIn,
  writeAmount,
  writeQuantity,
} from '../quantity/index.ts';
import type { ElapsedTimes } from './elapsed.ts';
import type { Entries } from './entries.ts';
import { bound, type Frame } from './frame.ts';
import type { Limit, Pack, Tolerance } from './generated/document.ts';
import type { PlanCondition, PlanExport, PlanTolerance } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readCapability, readRule } from './read-rule.ts';
import type { Report } from './report.ts';
import type { ExpressionRewriter } from './rewrite-expression.ts';
import { placed, type Tracked } from './tracked.ts';

/**
 * Tolerances and conditions of a plan. They are asked for while the steps are unrolled and made when every entry is
 * known, since a step may judge what another one reads.
 */
export class Checks {
  /** Each at the place that was given out for it: one that could not be made leaves its place empty. */
  readonly tolerances: (PlanTolerance | undefined)[] = [];
  readonly conditions: (PlanCondition | undefined)[] = [];
  readonly #tolerancesByName = new Map<string, number>();
  readonly #conditionsByKey = new Map<string, number>();
  readonly #pendingTolerances: (() => PlanTolerance | undefined)[] = [];
  readonly #pendingConditions: (() => PlanCondition | undefined)[] = [];
  readonly #pack: Pack;
  readonly #entries: Entries;
  readonly #tracked: Tracked;
  readonly #rewriter: ExpressionRewriter;
  readonly #report: Report;
  /** By tolerance: the steps that judge by it. */
  readonly #judging: Judging[][] = [];
  #elapsed: ElapsedTimes | undefined;
  #scope: Scope = scopeOf([]);

  constructor(pack: Pack, entries: Entries, tracked: Tracked, rewriter: ExpressionRewriter, report: Report) {
    this.#pack = pack;
    this.#entries = entries;
    this.#tracked = tracked;
    this.#rewriter = rewriter;
    this.#report = report;
  }

  /** The place of a tolerance in the plan, as it applies in a frame; `node` is the step that judges by it. */
  tolerance(id: string, frame: Frame, pointer: string, node?: number): number | undefined {
    const tolerances = frame.document.tolerances ?? {};
    const tolerance = Object.hasOwn(tolerances, id) ? tolerances[id] : undefined;
    if (tolerance === undefined) {
      this.#report.unknown('tolerance', id, Object.keys(tolerances), pointer);
      return undefined;
    }
    this.#report.use(`procedures/${frame.procedure}`, id);
    const where = pointerTo(frame.pointer, 'tolerances', id);
    const found = this.#rewriter.find(tolerance.of, frame, pointerTo(where, 'of'));
    if (found === undefined) return undefined;
    const name = frame.prefix + placed(id, ...found.at);
    const known = this.#tolerancesByName.get(name);
    const index = known ?? this.#tolerancesByName.size;
    const judging = this.#judging[index] ?? [];
    this.#judging[index] = judging;
    if (node !== undefined) judging.push({ node, frame, pointer });
    if (known !== undefined) return known;
    this.#tolerancesByName.set(name, index);
    this.#pendingTolerances.push(() => this.#makeTolerance(id, name, tolerance, frame, where, judging));
    return index;
  }

  /**
   * The limits of a tolerance in words, with what they are of, for a reading during which they have to hold: `Engine
   * speed: 1475 r/min to 1525 r/min`. Its own reading need not be taken by a step.
   */
  heldThroughout(id: string, frame: Frame, pointer: string): string | undefined {
    const tolerances = frame.document.tolerances ?? {};
    const tolerance = Object.hasOwn(tolerances, id) ? tolerances[id] : undefined;
    if (tolerance === undefined) {
      this.#report.unknown('tolerance', id, Object.keys(tolerances), pointer);
      return undefined;
    }
    this.#report.use(`procedures/${frame.procedure}`, id);
    const where = pointerTo(frame.pointer, 'tolerances', id);
    const found = this.#rewriter.find(tolerance.of, frame, pointerTo(where, 'of'));
    if (found === undefined) return undefined;
    if (found.declared.is !== 'reading' || isWorkedOut(tolerance)) {
      this.#report.add(
        'wrong-form',
        pointer,
        `${id} is worked out, and nobody can see while reading whether it holds.`,
        {
          remedy: 'Name a tolerance of one reading, with limits that are written out.',
        },
      );
      return undefined;
    }
    const { quantity, measurand } = found.declared.reading;
    const written = this.#limits(tolerance, quantity, where, frame);
    if (written === undefined) return undefined;
    if ('fault' in limitsOf(written)) {
      this.#reversed(tolerance, quantity, written, where, frame);
      return undefined;
    }
    return `${measurand}: ${saysLimits(written)}`;
  }

  /** What a name of a reading or a derived value stands for, and the entries in it. Every entry has to be known by now. */
  amount(
    name: string,
    frame: Frame,
    pointer: string,
  ): { readonly value: TypedAmount; readonly entries: readonly number[] } | undefined {
    const typed = this.#typed(this.#rewriter.rewrite({ var: name }, frame, pointer), pointer, undefined);
    if (typed === undefined) return undefined;
    if (typed.type.type === 'amount') return { value: typed as TypedAmount, entries: this.#entriesOf(typed) };
    this.#report.add('wrong-quantity', pointer, `${name} is not a quantity.`);
    return undefined;
  }

  /** What a job about the procedure of a frame hands on; not what lacks a reading that this variant never takes. */
  exported(frame: Frame, bores: readonly number[]): readonly PlanExport[] {
    const { derived = {}, readings = {} } = frame.document;
    return (frame.document.exports ?? []).flatMap((id) => {
      if (Object.hasOwn(readings, id)) return this.#exportedReading(id, frame);
      const declared = Object.hasOwn(derived, id) ? derived[id] : undefined;
      if (declared === undefined) return [];
      const per = [declared.per ?? []].flat();
      if (per.length === 0) return this.#exportedDerived(id, declared.title, frame);
      if (per.length > 1 || per[0] !== 'bore') return [];
      return bores.flatMap((bore) =>
        this.#exportedDerived(id, declared.title, bound(frame, [['bore', String(bore)]]), bore),
      );
    });
  }

  #exportedReading(id: string, { prefix }: Frame): readonly PlanExport[] {
    return this.#entries.list.flatMap((entry, index) => {
      const { name, title } = entry;
      const isIt = name === prefix + id || name.startsWith(`${prefix}${id}@`);
      if (entry.entry !== 'reading' || !isIt) return [];
      const type = { type: 'amount', kind: entry.kind } as const;
      return [{ name, title, value: { node: 'name', type, name }, unit: entry.unit, entries: [index] }];
    });
  }

  #exportedDerived(
    id: string,
    title: string | undefined,
    frame: Frame,
    ...place: readonly number[]
  ): readonly PlanExport[] {
    const pointer = pointerTo(frame.pointer, 'derived', id, 'is');
    let isTimed = false;
    const rewritten = this.#rewriter.rewrite({ var: id }, frame, pointer, () => {
      isTimed = true;
      return undefined;
    });
    // A time since a step goes on for as long as the job does, and is nothing to hand on.
    if (isTimed) return [];
    const tried = typeExpression(rewritten, this.#scope);
    if (!tried.ok && tried.faults.every((one) => one.code === 'undeclared-name')) return [];
    const value = this.#typed(rewritten, pointer, undefined);
    if (value?.type.type !== 'amount') return [];
    const { kind } = value.type;
    const entries = this.#entriesOf(value);
    const like = entries.flatMap((one) => {
      const entry = this.#entries.at(one);
      return entry?.entry === 'reading' && entry.kind === kind ? [entry.unit] : [];
    });
    return [
      {
        name: placed(id, ...place.map(String)),
        title: title ?? id.replaceAll('-', ' '),
        value: value as TypedAmount,
        unit: like[0] ?? baseUnit(kind),
        entries,
      },
    ];
  }

  /** The place of a condition over readings in the plan. The same condition is one, wherever it stands. */
  condition(json: unknown, frame: Frame, pointer: string): number {
    const rewritten = this.#rewriter.rewrite(json, frame, pointer);
    const key = JSON.stringify(rewritten);
    const known = this.#conditionsByKey.get(key);
    if (known !== undefined) return known;
    const index = this.#conditionsByKey.size;
    this.#conditionsByKey.set(key, index);
    this.#pendingConditions.push(() => this.#makeCondition(rewritten, index, pointer));
    return index;
  }

  /** Makes everything that was asked for. Every entry and every step has to be known by now. */
  finish(elapsed: ElapsedTimes): void {
    this.#elapsed = elapsed;
    this.#scope = this.#scopeOfEntries();
    for (const make of this.#pendingTolerances) this.tolerances.push(make());
    for (const make of this.#pendingConditions) this.conditions.push(make());
  }

  #scopeOfEntries(): Scope {
    const types = new Map<string, Type>([
      ['variant', { type: 'text', among: Object.keys(this.#pack.variants) }],
    ]);
    for (const entry of this.#entries.list) {
      if (entry.entry === 'reading') types.set(entry.name, { type: 'amount', kind: entry.kind });
      else if (entry.entry === 'observation')
        types.set(entry.name, { type: 'text', among: entry.answers.map((one) => one.id) });
      else types.set(entry.name, { type: 'text' });
    }
    return scopeOf(types, this.#rewriter.tables);
  }

  /** The times since steps are known to expressions as soon as one of them is asked for. */
  #scopeWithTimes(): Scope {
    const times = this.#elapsed?.list ?? [];
    if (times.length === 0) return this.#scope;
    const { lookup, ...rest } = this.#scope;
    const isTime = (name: string): boolean => times.some((one) => one.name === name);
    return { ...rest, lookup: (name) => (isTime(name) ? { type: 'amount', kind: 'time' } : lookup(name)) };
  }

  #typed(
    rewritten: unknown,
    pointer: string,
    expected: Type | undefined,
  ): TypedAmount | TypedTruth | undefined {
    const typed = typeExpression(rewritten, this.#scopeWithTimes(), expected);
    if (typed.ok) {
      const { expression } = typed;
      if (expression.type.type === 'text') {
        this.#report.add('wrong-quantity', pointer, 'A quantity is expected, and this is a text.');
        return undefined;
      }
      return expression as TypedAmount | TypedTruth;
    }
    for (const fault of typed.faults) {
      const { base, rest } = this.#rewriter.writtenAt(rewritten, pointer, fault.at);
      // A table that is not declared, or that has a fault of its own, has been reported there.
      if (fault.code === 'unknown-table') continue;
      const isUntaken = fault.code === 'undeclared-name';
      // A name that is not declared has been reported where it was looked up.
      if (isUntaken && (this.#report.hasErrorAt(pointer) || this.#report.hasErrorAt(base))) continue;
      if (isUntaken) {
        const name = /"(.*)"/.exec(fault.found)?.[1] ?? '';
        if (this.#hasFaultOfItsOwn(name)) continue;
        this.#report.add('never-taken', base + rest.replace(/\/var$/, ''), `No step takes ${fault.found}.`, {
          remedy: `Read it in a step before: ${this.#verbOf(name)}.`,
        });
      } else
        this.#report.add('bad-expression', base + rest, writeExpressionFault(fault), {
          remedy: expressionRemedy(fault),
        });
    }
    return undefined;
  }

  /** Whether a reading of a flat name was not made because of how it is declared. */
  #hasFaultOfItsOwn(name: string): boolean {
    const [path = ''] = name.split('@');
    const own = path.slice(path.lastIndexOf('.') + 1);
    return Object.entries(this.#pack.procedures).some(
      ([id, { readings = {} }]) =>
        Object.hasOwn(readings, own) &&
        this.#report.hasErrorAt(pointerTo('/procedures', id, 'readings', own)),
    );
  }

  /** How a step takes the entry of a flat name: `read: gap` for `baseline.gap@2`. */
  #verbOf(name: string): string {
    const [path = ''] = name.split('@');
    const own = path.slice(path.lastIndexOf('.') + 1);
    const isRead = Object.values(this.#pack.procedures).some((one) => Object.hasOwn(one.readings ?? {}, own));
    return `${isRead ? 'read' : 'observe'}: ${own}`;
  }

  #entriesOf(typed: TypedAmount | TypedTruth): readonly number[] {
    return [...namesIn(typed)].flatMap((name) => this.#entries.index(name) ?? []);
  }

  #makeTolerance(
    id: string,
    name: string,
    tolerance: Tolerance,
    frame: Frame,
    where: string,
    judging: readonly Judging[],
  ): PlanTolerance | undefined {
    const found = this.#rewriter.find(tolerance.of, frame, pointerTo(where, 'of'));
    if (found === undefined) return undefined;
    const isDerived = found.declared.is === 'derived';
    const place = isDerived
      ? pointerTo(found.frame.pointer, 'derived', found.name, 'is')
      : pointerTo(where, 'of');
    const valueAt = (at: Judging | undefined): unknown =>
      this.#rewriter.rewrite(
        { var: tolerance.of },
        at?.frame ?? frame,
        pointerTo(where, 'of'),
        at && this.#elapsed?.timerAt(at.node),
      );
    const rewritten = valueAt(judging[0]);
    const typed = this.#typed(rewritten, isDerived ? place : pointerTo(where, 'of'), undefined);
    if (typed === undefined) return undefined;
    if (typed.type.type !== 'amount') {
      this.#report.add('wrong-quantity', pointerTo(where, 'of'), `${tolerance.of} is not a quantity.`);
      return undefined;
    }
    const value = typed as TypedAmount;
    const kind = value.type.kind;
    const elapsed = namesIn(value)
      .flatMap((one) => this.#elapsed?.index(one) ?? [])
      .filter((one) => one >= 0);
    if (elapsed.length > 0) {
      // Several steps judge by one tolerance: the time has to be the same for all of them.
      for (const other of judging.slice(1))
        if (JSON.stringify(valueAt(other)) !== JSON.stringify(rewritten))
          this.#report.add(
            'not-surely-done',
            other.pointer,
            `${tolerance.of} counts from another step here than where it is judged before.`,
            {
              remedy: `Write per: the name of the loop under ${tolerance.of}, or give each of them a name of its own.`,
            },
          );
    }
    const base = {
      name,
      title: tolerance.title ?? id.replaceAll('-', ' '),
      of: tolerance.of,
      value,
      rule: readRule(tolerance, where, this.#report),
      capability: readCapability(tolerance, where, this.#report),
      source: tolerance.source,
      pointer: where,
      ...this.#circleOf(value),
      ...(elapsed.length === 0 ? {} : { elapsed }),
    };
    if (isWorkedOut(tolerance)) {
      const limits = this.#workedOut(tolerance, kind, where, frame);
      return (
        limits && {
          ...base,
          ...limits,
          entries: [...new Set([...this.#entriesOf(value), ...limits.entries])],
        }
      );
    }
    const written = this.#limits(tolerance, kind, where, frame);
    if (written === undefined) return undefined;
    const limits = limitsOf(written);
    if ('fault' in limits) {
      this.#reversed(tolerance, kind, written, where, frame);
      return undefined;
    }
    const shown = shownIn(written);
    return {
      ...base,
      entries: this.#entriesOf(value),
      limits,
      unit: shown?.unit ?? baseUnit(kind),
      decimals: shown?.decimals ?? 0,
      says: saysLimits(written),
      sides: sidesOf(limits),
    };
  }

  /** The circle on which what is judged lies, where it is the reading itself. */
  #circleOf(value: TypedAmount): Pick<PlanTolerance, 'circle'> {
    const entry = this.#entries.at(value.node === 'name' ? (this.#entries.index(value.name) ?? -1) : -1);
    return entry?.entry === 'reading' && entry.circle !== undefined ? { circle: entry.circle } : {};
  }

  /** Limits of which at least one is an expression: as they are, or as expressions where they depend on readings. */
  #workedOut(
    tolerance: Tolerance,
    kind: Kind,
    where: string,
    frame: Frame,
  ):
    | Pick<PlanTolerance, 'limits' | 'limitsFrom' | 'entries' | 'unit' | 'decimals' | 'says' | 'sides'>
    | undefined {
    this.#strayKeys(tolerance, where);
    const span = spanKind(kind);
    const part = (limit: Limit | undefined, of: Kind, ...keys: (string | number)[]): unknown => {
      if (limit === undefined) return undefined;
      const at = pointerTo(where, ...keys);
      if (typeof limit !== 'string') return this.#rewriter.rewrite(limit, frame, at);
      const quantity = this.#entries.quantity(limit, of, frame, at);
      return quantity && writeQuantity(quantity);
    };
    const { nominal, deviation, plus, minus, between } = tolerance;
    const middle = part(nominal, kind, 'nominal');
    const up = part(deviation ?? plus, span, deviation === undefined ? 'plus' : 'deviation');
    const down = part(deviation ?? minus, span, deviation === undefined ? 'minus' : 'deviation');
    const low = between
      ? part(between[0], kind, 'between', 0)
      : middle === undefined
        ? part(tolerance['at-least'], kind, 'at-least')
        : { '-': [middle, down] };
    const high = between
      ? part(between[1], kind, 'between', 1)
      : middle === undefined
        ? part(tolerance['at-most'], kind, 'at-most')
        : { '+': [middle, up] };
    const typed = (json: unknown, ...keys: (string | number)[]): TypedAmount | undefined | 'faulty' => {
      if (json === undefined) return undefined;
      const found = this.#typed(json, pointerTo(where, ...keys), { type: 'amount', kind });
      return found === undefined || found.type.type === 'truth' ? 'faulty' : (found as TypedAmount);
    };
    const isPaired = between !== undefined;
    const lowest = typed(
      low,
      ...(isPaired ? ['between', 0] : [middle === undefined ? 'at-least' : 'nominal']),
    );
    const highest = typed(
      high,
      ...(isPaired ? ['between', 1] : [middle === undefined ? 'at-most' : 'nominal']),
    );
    const centre = typed(middle, 'nominal');
    if (lowest === 'faulty' || highest === 'faulty' || centre === 'faulty') return undefined;
    if (lowest === undefined && highest === undefined) return undefined;
    const all = [lowest, highest, centre].flatMap((one) => one ?? []);
    const entries = all.flatMap((one) => this.#entriesOf(one));
    const alike = all.flatMap(literalsIn).filter((one) => one.unit.kind === kind || one.unit.kind === span);
    const unit = alike.find((one) => one.unit.kind === kind)?.unit ?? baseUnit(kind);
    if (all.every((one) => namesIn(one).length === 0))
      return this.#constant(lowest, highest, centre, where, unit);
    const limitsFrom = {
      ...(lowest === undefined ? {} : { low: lowest }),
      ...(highest === undefined ? {} : { high: highest }),
      ...(centre === undefined ? {} : { nominal: centre }),
    };
    const says = [
      ...(lowest === undefined ? [] : [`at least ${writeFormula(lowest)}`]),
      ...(highest === undefined ? [] : [`at most ${writeFormula(highest)}`]),
    ].join(', ');
    const sides = [
      ...(highest === undefined ? [] : (['high'] as const)),
      ...(lowest === undefined ? [] : (['low'] as const)),
    ];
    return {
      limits: {},
      limitsFrom,
      entries,
      unit,
      decimals: Math.max(0, ...alike.map((one) => one.decimals)),
      says,
      sides,
    };
  }

  /** Limits that are worked out of facts alone: they are the same in every job. */
  #constant(
    lowest: TypedAmount | undefined,
    highest: TypedAmount | undefined,
    centre: TypedAmount | undefined,
    where: string,
    unit: Unit,
  ): Pick<PlanTolerance, 'limits' | 'entries' | 'unit' | 'decimals' | 'says' | 'sides'> | undefined {
    const amountOf = (typed: TypedAmount | undefined): Amount | undefined => {
      const answer = typed && evaluateAmount(typed, () => undefined);
      if (answer !== undefined && !('amount' in answer))
        this.#report.add('bad-expression', where, 'A limit has no value: it divides by zero.');
      return answer !== undefined && 'amount' in answer ? answer.amount : undefined;
    };
    const [low, high, nominal] = [amountOf(lowest), amountOf(highest), amountOf(centre)];
    if (low === undefined && high === undefined) return undefined;
    if (low !== undefined && high !== undefined && low.value.compare(high.value) > 0) {
      this.#report.add('reversed-pair', where, 'The lower limit comes out above the upper one.');
      return undefined;
    }
    const limits: Limits = {
      ...(low === undefined ? {} : { low }),
      ...(high === undefined ? {} : { high }),
      ...(nominal === undefined ? {} : { nominal }),
    };
    const decimals = shortest([low, high], unit);
    const text = (amount: Amount | undefined): string =>
      amount === undefined ? '' : writeAmount(amount, unit, decimals);
    const says =
      low === undefined
        ? `at most ${text(high)}`
        : high === undefined
          ? `at least ${text(low)}`
          : `${text(low)} to ${text(high)}`;
    return { limits, entries: [], unit, decimals, says, sides: sidesOf(limits) };
  }

  /** Limits that are exchanged: in the facts of one variant, if they are not in those of the others. */
  #reversed(tolerance: Tolerance, kind: Kind, written: WrittenLimits, where: string, frame: Frame): void {
    const { between } = tolerance;
    if (between === undefined || written.form !== 'between')
      return this.#report.add(
        'reversed-pair',
        pointerTo(where, 'nominal'),
        'Nominal and deviation have no sum.',
      );
    const at = pointerTo(where, 'between');
    const [low, high] = between.map((text, number) =>
      typeof text === 'string' ? this.#entries.stated(text, frame, pointerTo(at, number)) : undefined,
    );
    const says = `${writeQuantity(written.low)} lies above ${writeQuantity(written.high)}`;
    const isRightElsewhere = Object.values(this.#pack.variants).some(({ facts = {} }) => {
      const [one, other] = [low, high].map((limit) =>
        parseStatement(facts[limit?.fact?.name ?? ''] ?? '', kind),
      );
      return (
        one !== undefined &&
        other !== undefined &&
        'original' in one &&
        'original' in other &&
        one.original.value.compare(other.original.value) <= 0
      );
    });
    if (low?.fact !== undefined && high?.fact !== undefined && isRightElsewhere)
      return this.#report.add('reversed-pair', low.pointer, `${says}, in the facts of ${low.fact.of}.`, {
        remedy: 'Exchange the two, or correct the one that is wrong.',
        other: [{ pointer: at, message: 'the limits' }],
      });
    this.#report.add('reversed-pair', at, `The lower limit ${says}.`, {
      remedy: 'Write the lower limit first, and look whether both are meant.',
    });
  }

  /** A key of another form beside the one that is taken: the engine would pass it over. */
  #strayKeys(tolerance: Tolerance, where: string): void {
    const main = forms.find((one) => tolerance[one] !== undefined);
    const strays =
      main !== undefined
        ? (['nominal', 'deviation', 'plus', 'minus'] as const)
        : tolerance.deviation !== undefined
          ? (['plus', 'minus'] as const)
          : [];
    for (const key of strays) {
      if (tolerance[key] === undefined) continue;
      this.#report.add(
        'wrong-form',
        pointerTo(where, key),
        `${key} has no place beside ${main ?? 'deviation'}: limits are written in one form.`,
        { marks: 'key', remedy: 'Keep the one that is meant.' },
      );
    }
  }

  #limits(tolerance: Tolerance, kind: Kind, where: string, frame: Frame): WrittenLimits | undefined {
    const span = spanKind(kind);
    const read = (limit: Limit, of: Kind, ...keys: (string | number)[]): Quantity | undefined =>
      typeof limit === 'string'
        ? this.#entries.quantity(limit, of, frame, pointerTo(where, ...keys))
        : undefined;
    const { nominal, deviation, plus, minus, between } = tolerance;
    this.#strayKeys(tolerance, where);
    if (nominal !== undefined && !forms.some((one) => tolerance[one] !== undefined)) {
      const middle = read(nominal, kind, 'nominal');
      const up =
        deviation === undefined ? plus && read(plus, span, 'plus') : read(deviation, span, 'deviation');
      const down = deviation === undefined ? minus && read(minus, span, 'minus') : up;
      if (middle === undefined || !up || !down) return undefined;
      if (up.value.sign < 0 || down.value.sign < 0) {
        const key = deviation !== undefined ? 'deviation' : up.value.sign < 0 ? 'plus' : 'minus';
        this.#report.add('reversed-pair', pointerTo(where, key), 'A deviation has no sign of its own.');
        return undefined;
      }
      return { form: 'deviation', nominal: middle, plus: up, minus: down };
    }
    if (between !== undefined) {
      const low = read(between[0] ?? '', kind, 'between', 0);
      const high = read(between[1] ?? '', kind, 'between', 1);
      return low === undefined || high === undefined ? undefined : { form: 'between', low, high };
    }
    if (tolerance['at-least'] !== undefined) {
      const low = read(tolerance['at-least'], kind, 'at-least');
      return low === undefined ? undefined : { form: 'at-least', low };
    }
    const high = read(tolerance['at-most'] ?? '', kind, 'at-most');
    return high === undefined ? undefined : { form: 'at-most', high };
  }

  #makeCondition(rewritten: unknown, index: number, pointer: string): PlanCondition | undefined {
    const typed = this.#typed(rewritten, pointer, { type: 'truth' });
    if (typed === undefined || typed.type.type !== 'truth') return undefined;
    const says = JSON.stringify(rewritten);
    return {
      says,
      lowered: lower(typed as TypedTruth),
      entries: this.#entriesOf(typed),
      cell: this.#tracked.truth(says, index),
      pointer,
    };
  }
}

/** A step that judges by a tolerance. */
interface Judging {
  readonly node: number;
  readonly frame: Frame;
  readonly pointer: string;
}

/** Whether a limit is an expression. */
const isWorkedOut = (tolerance: Tolerance): boolean =>
  [tolerance.nominal, tolerance.deviation, tolerance.plus, tolerance.minus]
    .concat(tolerance.between ?? [], tolerance['at-least'], tolerance['at-most'])
    .some((one) => typeof one === 'object');

const MOST_DECIMALS = 6;

/** As few decimals as show every amount exactly in a unit; six where there is no end. */
function shortest(amounts: readonly (Amount | undefined)[], unit: Unit): number {
  for (let decimals = 0; decimals < MOST_DECIMALS; decimals++) {
    const isExact = amounts.every((amount) => {
      const value = amount && valueIn(amount, unit);
      return value === undefined || Rational.parse(value.toDecimal(decimals))?.equals(value) === true;
    });
    if (isExact) return decimals;
  }
  return MOST_DECIMALS;
}

/** The literals of an amount. */
function literalsIn(typed: TypedAmount): readonly Quantity[] {
  switch (typed.node) {
    case 'name':
      return [];
    case 'literal':
      return [typed.amount];
    case 'if':
      return [...literalsIn(typed.then), ...literalsIn(typed.otherwise)];
    case 'calculation':
      return typed.operands.flatMap(literalsIn);
  }
}

/** The forms of limits that have one key. */
const forms = ['between', 'at-least', 'at-most'] as const;

const sidesOf = (limits: Limits): readonly Side[] => [
  ...(limits.high === undefined ? [] : (['high'] as const)),
  ...(limits.low === undefined ? [] : (['low'] as const)),
];

function shownIn(written: WrittenLimits): { unit: Unit; decimals: number } | undefined {
  const all =
    written.form === 'deviation'
      ? [written.nominal, written.plus, written.minus]
      : written.form === 'between'
        ? [written.low, written.high]
        : [written.form === 'at-least' ? written.low : written.high];
  const [first] = all;
  return first === undefined
    ? undefined
    : { unit: first.unit, decimals: Math.max(...all.map((one) => one.decimals)) };
}

function saysLimits(written: WrittenLimits): string {
  switch (written.form) {
    case 'deviation': {
      const { nominal, plus, minus } = written;
      if (plus.value.equals(minus.value)) return `${writeQuantity(nominal)} ± ${writeQuantity(plus)}`;
      return `${writeQuantity(nominal)} + ${writeQuantity(plus)} − ${writeQuantity(minus)}`;
    }
    case 'between':
      return `${writeQuantity(written.low)} to ${writeQuantity(written.high)}`;
    case 'at-least':
      return `at least ${writeQuantity(written.low)}`;
    case 'at-most':
      return `at most ${writeQuantity(written.high)}`;
  }
}
