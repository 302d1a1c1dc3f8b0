import { spanKind } from '../measure/index.ts';
import {
  baseUnit,
  findUnit,
  type Kind,
  kindName,
  type Quantity,
  type Rational,
  type Unit,
  writeQuantity,
} from '../quantity/index.ts';
import { factNamed, stated } from './facts.ts';
import { fill, knownIn } from './fill.ts';
import { type Frame, listOf } from './frame.ts';
import type { Observation, Pack, Reading } from './generated/document.ts';
import type { CardItem, Entry, Guard, PlanCarry, PlanRepeats } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readStated } from './read-quantity.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';
import { readShape } from './shape.ts';
import type { Stated } from './stated.ts';
import { placed, Tracked } from './tracked.ts';

type Mutable<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer I)[] ? I[] : T[K] };
/** A name of something that is known of a bound one: `stop.rotation`. */
const DOTTED = /^[a-z][a-z0-9-]*(?:\.[a-z][a-z0-9-]*)+$/;

/** An entry whose lists are still being filled. */
export type OpenEntry = Entry &
  Pick<Mutable<Entry>, 'takers' | 'judgedBy' | 'decides' | 'usedBy' | 'truths' | 'guards'>;

const openLists = () => ({
  takers: [] as number[],
  judgedBy: [] as number[],
  decides: [] as number[],
  usedBy: [] as number[],
  truths: [] as number[],
});

/** The entries of a plan, made when the first step takes them. */
export class Entries {
  readonly list: OpenEntry[] = [];
  readonly #byName = new Map<string, number>();
  readonly #pack: Pack;
  readonly #variant: ResolvedVariant;
  readonly #tracked: Tracked;
  readonly #report: Report;

  constructor(pack: Pack, variant: ResolvedVariant, tracked: Tracked, report: Report) {
    this.#pack = pack;
    this.#variant = variant;
    this.#tracked = tracked;
    this.#report = report;
  }

  index(name: string): number | undefined {
    return this.#byName.get(name);
  }

  at(index: number): OpenEntry | undefined {
    return this.list[index];
  }

  #add(name: string, make: (index: number) => OpenEntry): number {
    const known = this.#byName.get(name);
    if (known !== undefined) return known;
    const index = this.list.length;
    this.#byName.set(name, index);
    this.list.push(make(index));
    return index;
  }

  /** The values of the loop names that an entry is taken per, or undefined with a diagnostic. */
  #places(
    per: string | readonly string[] | undefined,
    frame: Frame,
    pointer: string,
    name: string,
  ): readonly string[] | undefined {
    const at: string[] = [];
    for (const one of listOf(per)) {
      const value = frame.bindings.get(one);
      if (value === undefined) {
        this.#report.add(
          'needs-bore',
          pointer,
          `${name} is taken per ${one}, and this step is not inside one.`,
          {
            remedy: `Put the step inside each: ${one}.`,
          },
        );
        return undefined;
      }
      at.push(value);
    }
    return at;
  }

  reading(
    id: string,
    frame: Frame,
    pointer: string,
    held: (tolerance: string, pointer: string) => string | undefined,
  ): number | undefined {
    const readings = frame.document.readings ?? {};
    const reading = Object.hasOwn(readings, id) ? readings[id] : undefined;
    if (reading === undefined) {
      this.#report.unknown('reading', id, Object.keys(readings), pointer);
      return undefined;
    }
    this.#report.use(`procedures/${frame.procedure}`, id);
    const at = this.#places(reading.per, frame, pointer, id);
    if (at === undefined) return undefined;
    const where = pointerTo(frame.pointer, 'readings', id);
    const kind: Kind = reading.quantity;
    const unit = unitOf(reading.unit, kind);
    if (unit === undefined || unit.kind !== kind) {
      this.#wrongUnit(reading, kind, where);
      return undefined;
    }
    const plausible = this.#pair(reading.plausible, kind, pointerTo(where, 'plausible'), frame);
    if (plausible === undefined) return undefined;
    const circle = this.#circle(reading, kind, where, frame);
    const repeats = this.#repeats(reading, kind, where, frame);
    const carry = this.#carry(reading, at, where, frame);
    if (reading.instrument !== undefined)
      this.#instrument(reading.instrument, kind, pointerTo(where, 'instrument'));
    const name = frame.prefix + placed(id, ...at);
    const throughout = this.#throughout(id, reading, where, held);
    return this.#add(name, (index) => ({
      entry: 'reading',
      name,
      title: fill(reading.measurand, frame, this.#variant, pointerTo(where, 'measurand'), this.#report),
      cell: this.#tracked.entry(name, index),
      ...openLists(),
      guards: this.#guards(reading.requires, frame, pointerTo(where, 'requires'), id),
      ...boreOf(frame),
      ...columnOf(reading.when ?? frame.when),
      ...cardOf(reading),
      pointer: where,
      kind,
      unit,
      plausible,
      ...(reading.instrument === undefined ? {} : { instrument: reading.instrument }),
      ...(circle === undefined ? {} : { circle }),
      ...(repeats === undefined ? {} : { repeats }),
      ...(throughout.length === 0 ? {} : { throughout }),
      ...(carry === undefined ? {} : { carry }),
    }));
  }

  /** What has to hold during the whole of a reading: limits of others, since its own are held against it afterwards. */
  #throughout(
    id: string,
    { throughout = [] }: Reading,
    where: string,
    held: (tolerance: string, pointer: string) => string | undefined,
  ): readonly string[] {
    return throughout.flatMap((tolerance, number) => {
      const at = pointerTo(where, 'throughout', number);
      if (this.#pack.procedures[where.split('/')[2] ?? '']?.tolerances?.[tolerance]?.of === id) {
        this.#report.add('wrong-form', at, `${tolerance} is about ${id} itself.`, {
          remedy: 'Name limits of another reading; judge this one by its own.',
        });
        return [];
      }
      return held(tolerance, at) ?? [];
    });
  }

  /** The whole turn of an angle that lies on a circle. */
  #circle({ circle, quantity }: Reading, kind: Kind, where: string, frame: Frame): Rational | undefined {
    if (circle === undefined) return undefined;
    const at = pointerTo(where, 'circle');
    if (kind !== 'angle') {
      this.#report.add('bad-circle', at, `Only angles lie on a circle, and this is ${quantity}.`, {
        remedy: 'Take circle out, or correct the quantity.',
      });
      return undefined;
    }
    const turn = this.quantity(circle, kind, frame, at)?.value;
    if (turn === undefined || turn.sign > 0) return turn;
    this.#report.add('bad-circle', at, `A whole turn is more than ${circle}.`, {
      remedy: 'Write the angle after which the reading begins anew: 360° or 720°.',
    });
    return undefined;
  }

  #repeats({ repeats }: Reading, kind: Kind, where: string, frame: Frame): PlanRepeats | undefined {
    if (repeats === undefined) return undefined;
    const at = (key?: keyof typeof repeats): string => pointerTo(where, 'repeats', ...(key ? [key] : []));
    const bad = (key: keyof typeof repeats | undefined, message: string, remedy: string): undefined => {
      this.#report.add('bad-repeats', at(key), message, { remedy });
      return undefined;
    };
    const { 'agree-within': within, take = 'mean' } = repeats;
    if (kind === 'count')
      return bad(undefined, 'A count is not taken several times.', 'Take repeats out; count once, and well.');
    const times = Number(repeats.times);
    if (times < 2) return bad('times', 'Taken once is not repeated.', 'Say 2 or more, or take repeats out.');
    const most = Number(repeats.most ?? times + (within === undefined ? 0 : 2));
    if (most < times)
      return bad('most', `${most} is less than times: ${times}.`, 'Say the smaller number under times.');
    if (within === undefined)
      return most === times
        ? { times, most, take }
        : bad(
            'most',
            'Without agree-within nothing asks for more than times.',
            'Say how far the indications may lie apart, or take most out.',
          );
    const agreeWithin = this.quantity(within, spanKind(kind), frame, at('agree-within'));
    if (agreeWithin === undefined) return undefined;
    if (agreeWithin.value.sign > 0) return { times, agreeWithin, most, take };
    return bad(
      'agree-within',
      `No two readings are sure to agree within ${writeQuantity(agreeWithin)}.`,
      'Say how far apart the highest and the lowest may lie.',
    );
  }

  /** From where the value of a reading may be taken over. What stands in other packs is not known here. */
  #carry({ carry }: Reading, place: readonly string[], where: string, frame: Frame): PlanCarry | undefined {
    if (carry === undefined) return undefined;
    const at = (key: keyof typeof carry): string => pointerTo(where, 'carry', key);
    const { from: pack, procedure, 'of-engine': field } = carry;
    const fields = Object.keys(this.#pack.fields ?? {});
    if (!fields.includes(field)) this.#report.unknown('field', field, fields, at('of-engine'));
    this.#report.use('fields', field);
    const validFor = this.quantity(carry['valid-for'], 'time', frame, at('valid-for'));
    if (validFor === undefined) return undefined;
    if (validFor.value.sign <= 0) {
      const message = `Nothing is younger than ${carry['valid-for']}.`;
      this.#report.add('wrong-value', at('valid-for'), message, { remedy: 'Write a time, such as 30 d.' });
    }
    const value = carry.value.includes('@') ? carry.value : placed(carry.value, ...place);
    if (pack === this.#pack.pack) this.#carryHere(carry, at);
    return { pack, procedure, value, validFor, field };
  }

  /** What is carried inside one pack is known. */
  #carryHere(
    { procedure, value }: NonNullable<Reading['carry']>,
    at: (key: 'procedure' | 'value') => string,
  ): void {
    const { procedures } = this.#pack;
    const origin = Object.hasOwn(procedures, procedure) ? procedures[procedure] : undefined;
    const exported = origin?.exports ?? [];
    if (origin === undefined)
      this.#report.unknown('procedure', procedure, Object.keys(procedures), at('procedure'));
    else if (!exported.includes(value.split('@')[0] ?? ''))
      this.#report.unknown('exported value', value, exported, at('value'));
  }

  /** That a step writes the number of the engine down before a value of that engine is taken over. */
  reportCarried(): void {
    for (const entry of this.list) {
      if (entry.entry !== 'reading' || entry.carry === undefined) continue;
      const { field } = entry.carry;
      const filled = this.list[this.#byName.get(field) ?? -1]?.takers ?? [];
      const first = Math.min(...filled);
      if (first < Math.min(...entry.takers) || !Object.hasOwn(this.#pack.fields ?? {}, field)) continue;
      this.#report.add(
        'never-taken',
        pointerTo(entry.pointer, 'carry', 'of-engine'),
        `No step fills in ${field} before a value of that engine is taken over.`,
        { remedy: `Add a step before it: fill-in: ${field}.` },
      );
    }
  }

  /** A unit of another kind: where the instrument measures that kind, it is the kind that is wrong. */
  #wrongUnit({ unit, instrument, quantity }: Reading, kind: Kind, where: string): void {
    const other = unit === undefined ? undefined : findUnit(unit)?.kind;
    const measured = this.#pack.instruments?.[instrument ?? '']?.quantity;
    if (other !== undefined && other === measured)
      return this.#report.add(
        'wrong-quantity',
        pointerTo(where, 'quantity'),
        `${quantity} is not what ${instrument} measures in ${unit}.`,
        { remedy: `Write quantity: ${other}, or correct unit and instrument.` },
      );
    this.#report.add(
      'wrong-quantity',
      unit === undefined ? where : pointerTo(where, 'unit'),
      `${unit ?? 'Nothing'} is no unit of ${kindName(kind)}.`,
      { remedy: `Write unit: ${baseUnit(kind).symbol}, or another unit of ${kindName(kind)}.` },
    );
  }

  #instrument(id: string, kind: Kind, pointer: string): void {
    const declared = this.#pack.instruments ?? {};
    const instrument = Object.hasOwn(declared, id) ? declared[id] : undefined;
    if (instrument === undefined) this.#report.unknown('instrument', id, Object.keys(declared), pointer);
    else if (instrument.quantity !== kind) {
      this.#report.add(
        'wrong-quantity',
        pointer,
        `${id} measures ${instrument.quantity}, and the reading is ${kind}.`,
      );
    }
    this.#report.use('instruments', id);
  }

  /** Two values that a pack states as lowest and highest. Facts of the variant may stand for them. */
  #pair(
    texts: readonly string[],
    kind: Kind,
    pointer: string,
    frame: Frame,
  ): readonly [Quantity, Quantity] | undefined {
    const read = (index: number): Quantity | undefined =>
      this.quantity(texts[index] ?? '', kind, frame, pointerTo(pointer, index));
    const low = read(0);
    const high = read(1);
    if (low === undefined || high === undefined) return undefined;
    if (low.value.compare(high.value) >= 0) {
      this.#report.add('reversed-pair', pointer, 'The lowest value must stand before the highest.', {
        remedy: 'Look whether the two are exchanged, or a minus was lost.',
      });
      return undefined;
    }
    return [low, high];
  }

  /** A text, what it is bound to, or the fact of the variant that it names; undefined with a diagnostic if there is none. */
  stated(text: string, frame: Frame, pointer: string): Stated | undefined {
    const given = frame.bindings.get(text);
    if (given === undefined && DOTTED.test(text) && factNamed(text) === undefined) {
      this.#report.unknown('name', text, knownIn(frame, this.#variant), pointer);
      return undefined;
    }
    return stated(given ?? text, this.#variant, this.#pack, pointer, this.#report);
  }

  /** The quantity that a text states, by itself or by what it names. */
  quantity(text: string, kind: Kind, frame: Frame, pointer: string): Quantity | undefined {
    const found = this.stated(text, frame, pointer);
    return found === undefined ? undefined : readStated(found, kind, this.#report);
  }

  #guards(
    requires: Parameters<Tracked['test']>[0] | undefined,
    frame: Frame,
    pointer: string,
    name: string,
  ): Guard[] {
    if (requires === undefined) return [];
    const test = this.#tracked.test(requires, frame, pointer);
    const says = Tracked.says(requires).replace(
      /\{([^{}]+)\}/g,
      (all, bound: string) => frame.bindings.get(bound) ?? all,
    );
    return [{ test, because: { guard: 'requirement', says: `${name} needs ${says}.` }, pointer }];
  }

  observation(id: string, frame: Frame, pointer: string): number | undefined {
    const observations = frame.document.observations ?? {};
    const observation = Object.hasOwn(observations, id) ? observations[id] : undefined;
    if (observation === undefined) {
      this.#report.unknown('observation', id, Object.keys(observations), pointer);
      return undefined;
    }
    this.#report.use(`procedures/${frame.procedure}`, id);
    const at = this.#places(observation.per, frame, pointer, id);
    if (at === undefined) return undefined;
    const where = pointerTo(frame.pointer, 'observations', id);
    const ids = shownInOrder(observation);
    observation.order?.forEach((answer, number) => {
      if (!ids.includes(answer))
        this.#report.unknown('answer', answer, ids, pointerTo(where, 'order', number));
    });
    observation.conforming?.forEach((answer, number) => {
      if (!ids.includes(answer))
        this.#report.unknown('answer', answer, ids, pointerTo(where, 'conforming', number));
    });
    if (observation.conforming !== undefined && ids.every((one) => observation.conforming?.includes(one)))
      this.#report.add(
        'cannot-fail',
        pointerTo(where, 'conforming'),
        `Every answer of ${id} conforms: ${ids.join(', ')}.`,
        {
          severity: 'warning',
          remedy: 'List only the answers that are good, or leave conforming out where nothing is judged.',
        },
      );
    const name = frame.prefix + placed(id, ...at);
    return this.#add(name, (index) => {
      const answers = ids.map((answer) => ({
        id: answer,
        text: fill(
          observation.answers[answer] ?? '',
          frame,
          this.#variant,
          pointerTo(where, 'answers', answer),
          this.#report,
        ),
        conforming: observation.conforming === undefined || observation.conforming.includes(answer),
      }));
      return {
        entry: 'observation',
        name,
        title: fill(observation.text, frame, this.#variant, pointerTo(where, 'text'), this.#report),
        cell: this.#tracked.entry(name, index, answers),
        ...openLists(),
        guards: this.#guards(observation.requires, frame, pointerTo(where, 'requires'), id),
        ...boreOf(frame),
        ...columnOf(observation.when ?? frame.when),
        ...cardOf(observation),
        pointer: where,
        answers,
      };
    });
  }

  field(id: string, pointer: string): number | undefined {
    const fields = this.#pack.fields ?? {};
    const field = Object.hasOwn(fields, id) ? fields[id] : undefined;
    if (field === undefined) {
      this.#report.unknown('field', id, Object.keys(fields), pointer);
      return undefined;
    }
    this.#report.use('fields', id);
    const where = pointerTo('/fields', id);
    const shape = field.shape === undefined ? undefined : readShape(field.shape);
    if (field.shape !== undefined && shape === undefined)
      this.#report.add('bad-shape', pointerTo(where, 'shape'), 'A quote is not closed.');
    return this.#add(id, (index) => ({
      entry: 'field',
      name: id,
      title: field.title,
      cell: this.#tracked.entry(id, index),
      ...openLists(),
      guards: [],
      ...cardOf(field),
      pointer: where,
      ...(shape === undefined ? {} : { shape }),
      longest: Number(field.longest ?? 500),
    }));
  }

  identity(
    id: string,
    as: 'found' | 'fitted',
    acceptNew: boolean,
    frame: Frame,
    pointer: string,
  ): number | undefined {
    const part = this.part(id, frame, pointerTo(pointer, 'part'));
    if (part === undefined) return undefined;
    this.#report.use('identities', id);
    const where = pointerTo('/parts', id);
    const { identity } = part.declared;
    const shape = identity === undefined ? undefined : readShape(identity);
    if (shape === undefined) {
      const other = [{ pointer, message: 'where it is identified' }];
      if (identity === undefined)
        this.#report.add('no-identity', where, `${id} is identified, and carries no serial number.`, {
          marks: 'key',
          remedy: 'Add identity: with the shape of its number, or take out the steps that identify it.',
          other,
        });
      else
        this.#report.add('bad-shape', pointerTo(where, 'identity'), `A quote in ${identity} is not closed.`, {
          remedy: 'Close it behind the signs that stand for themselves: "MP"-9999.',
          other,
        });
      return undefined;
    }
    const named = (part.declared['matched-with'] ?? []).map((other, number) => ({
      other,
      at: pointerTo(where, 'matched-with', number),
    }));
    // A set is matched in both directions, whichever part says so.
    const naming = Object.entries(this.#pack.parts ?? {}).flatMap(([other, declared]) =>
      (declared['matched-with'] ?? []).includes(id) ? [{ other, at: pointerTo('/parts', other) }] : [],
    );
    const cells = [...named, ...naming].flatMap(({ other, at }) => this.part(other, frame, at)?.cell ?? []);
    const matched = [...new Set(cells)];
    const name = `${part.place}.${as}`;
    return this.#add(name, (index) => ({
      entry: 'identity',
      name,
      title: `${part.declared.title}${frame.bore === undefined ? '' : `, bore ${frame.bore}`}`,
      cell: this.#tracked.entry(name, index),
      ...openLists(),
      guards: [],
      ...boreOf(frame),
      pointer: where,
      as,
      part: id,
      place: part.place,
      partCell: part.cell,
      shape,
      acceptNew,
      matched,
    }));
  }

  /** A part at the place that a frame means, or undefined with a diagnostic. */
  part(id: string, frame: Frame, pointer: string) {
    const parts = this.#pack.parts ?? {};
    const declared = Object.hasOwn(parts, id) ? parts[id] : undefined;
    if (declared === undefined) {
      this.#report.unknown('part', id, Object.keys(parts), pointer);
      return undefined;
    }
    this.#report.use('parts', id);
    if (declared.per !== undefined && frame.bore === undefined) {
      this.#report.add('needs-bore', pointer, `There is one ${id} per bore, and no bore is meant here.`, {
        remedy: 'Put the step inside each: bore.',
      });
      return undefined;
    }
    const place = placed(id, declared.per === undefined ? undefined : frame.bore);
    return { declared, place, cell: this.#tracked.part(id, place) };
  }
}

/** The unit of a reading. A count or a ratio may have none. */
function unitOf(written: string | undefined, kind: Kind): Unit | undefined {
  if (written !== undefined && written !== '1') return findUnit(written, kind);
  return kind === 'count' || kind === 'ratio' ? baseUnit(kind) : undefined;
}

const columnOf = (when: Frame['when']): { readonly column?: NonNullable<Frame['when']> } =>
  when === undefined ? {} : { column: when };

const cardOf = ({ card }: { readonly card?: CardItem }): { readonly card?: CardItem } =>
  card === undefined ? {} : { card };

const boreOf = (frame: Frame): { readonly bore?: number } =>
  frame.bore === undefined ? {} : { bore: frame.bore };

/** The answers as people are asked: those that the order names first, then the others as they are written. */
function shownInOrder({ answers, order = [] }: Observation): readonly string[] {
  return [...new Set([...order.filter((one) => Object.hasOwn(answers, one)), ...Object.keys(answers)])];
}
