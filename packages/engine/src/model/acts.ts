import { Rational, writeQuantity } from '../quantity/index.ts';
import type { Entries } from './entries.ts';
import { fill } from './fill.ts';
import { type Frame, listOf } from './frame.ts';
import type { Pack, Step } from './generated/document.ts';
import { type Act, type Effect, type Guard, PART, partValues } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import { type ResolvedVariant, writeAngle } from './resolve-variant.ts';
import { Tightening } from './tightening.ts';
import type { Writing } from './writing.ts';

const CRANK = 0;
const verbs = [
  ...(['turn', 'turn-to', 'turn-until', 'tighten'] as const),
  ...(['remove', 'renew', 'select', 'wait', 'photograph', 'refer-to'] as const),
];

/** What a step does, and what that does to the cells. */
export interface Acted {
  readonly act?: Act;
  readonly effects: readonly Effect[];
  readonly guards: readonly Guard[];
}

/** Reads the main verb of a step. */
export class Acts {
  readonly #variant: ResolvedVariant;
  readonly #entries: Entries;
  readonly #report: Report;
  readonly #tightening: Tightening;
  readonly #pack: Pack;

  constructor(writing: Writing) {
    this.#variant = writing.variant;
    this.#entries = writing.entries;
    this.#report = writing.report;
    this.#tightening = new Tightening(writing);
    this.#pack = writing.pack;
  }

  of(step: Step, frame: Frame, pointer: string): Acted {
    const acted = this.#verb(step, frame, pointer);
    if (step['loses-crank'] === undefined) return acted;
    return { ...acted, effects: [...acted.effects, { cell: CRANK, to: 0 }] };
  }

  #verb(step: Step, frame: Frame, pointer: string): Acted {
    const found = verbs.filter((verb) => step[verb] !== undefined);
    const [verb, second] = found;
    if (second !== undefined) {
      this.#report.add(
        'several-verbs',
        pointerTo(pointer, second),
        `A step has one main verb; this one has ${found.join(' and ')}.`,
        {
          remedy: 'Make two steps of it.',
        },
      );
    }
    const says =
      step.do === undefined
        ? undefined
        : fill(step.do, frame, this.#variant, pointerTo(pointer, 'do'), this.#report);
    switch (verb) {
      case undefined: {
        const told =
          says ?? (step.changes === undefined && step.operation === undefined ? undefined : step.title);
        if (told === undefined && (step.changes !== undefined || step.operation !== undefined)) {
          this.#report.add(
            'change-without-act',
            pointer,
            'Nothing is done in this step, and yet a state changes.',
            {
              remedy: 'Say with do: what the technician does.',
            },
          );
        }
        return told === undefined ? none : only({ act: 'do', says: told });
      }
      case 'turn':
        return this.#turn(step.turn ?? '', says, frame, pointerTo(pointer, 'turn'));
      case 'turn-to':
        return this.#turnTo(step['turn-to'], says, frame, pointerTo(pointer, 'turn-to'));
      case 'turn-until': {
        const until = fill(
          step['turn-until'] ?? '',
          frame,
          this.#variant,
          pointerTo(pointer, 'turn-until'),
          this.#report,
        );
        return {
          act: { act: 'turn-until', says: says === undefined ? until : `${says} Until: ${until}` },
          effects: [{ cell: CRANK, to: 0 }],
          guards: [],
        };
      }
      case 'tighten':
        return step.tighten === undefined
          ? none
          : this.#tightening.of(step.tighten, says, frame, pointerTo(pointer, 'tighten'));
      case 'remove':
      case 'renew':
        return this.#part(verb, listOf(step[verb]), says, frame, pointerTo(pointer, verb));
      case 'select': {
        const id = step.select?.from ?? '';
        const title = this.#pack.stock?.[id]?.title ?? id;
        return only({ act: 'select', says: says ?? `Choose from stock: ${title}.` });
      }
      case 'wait': {
        const at = pointerTo(pointer, 'wait');
        const time = this.#entries.quantity(step.wait ?? '', 'time', frame, at);
        if (time !== undefined && time.value.sign <= 0)
          this.#report.add('wrong-value', at, `A time to wait is longer than none; this is ${step.wait}.`);
        return time === undefined
          ? none
          : only({ act: 'wait', says: says ?? `Wait ${writeQuantity(time)}.`, time });
      }
      case 'photograph': {
        const what = fill(
          step.photograph ?? '',
          frame,
          this.#variant,
          pointerTo(pointer, 'photograph'),
          this.#report,
        );
        return only({ act: 'photograph', says: says === undefined ? what : `${says} ${what}` });
      }
      case 'refer-to':
        return this.#referTo(step['refer-to'], says, frame, pointerTo(pointer, 'refer-to'));
      default:
        return none;
    }
  }

  #referTo(to: Step['refer-to'], says: string | undefined, frame: Frame, pointer: string): Acted {
    if (to === undefined) return none;
    const { pack, procedure } = to;
    // What stands in other packs is not known here.
    if (pack === this.#pack.pack && !Object.hasOwn(this.#pack.procedures, procedure)) {
      const known = Object.keys(this.#pack.procedures);
      this.#report.unknown('procedure', procedure, known, pointerTo(pointer, 'procedure'));
    }
    const title = fill(to.title, frame, this.#variant, pointerTo(pointer, 'title'), this.#report);
    const next = `Next: ${title} (pack ${pack}).`;
    return only({
      act: 'refer-to',
      says: says === undefined ? next : `${says} ${next}`,
      pack,
      procedure,
      title,
    });
  }

  #turn(written: string, says: string | undefined, frame: Frame, pointer: string): Acted {
    const angle = this.#entries.quantity(written, 'angle', frame, pointer);
    if (angle === undefined) return { effects: [], guards: [] };
    if (angle.value.sign <= 0)
      this.#report.add(
        'wrong-value',
        pointer,
        `A turn is in the running direction, and longer than none; this is ${writeQuantity(angle)}.`,
        { remedy: 'Write the value that is meant.' },
      );
    const { positions } = this.#variant.crank;
    const cycle = this.#variant.phasing?.cycle ?? Rational.of(720);
    // Where the turn does not end at a known position, the position is unknown afterwards.
    const table = [
      0,
      ...positions.map((from) => {
        const to = from.at.plus(angle.value).mod(cycle);
        return positions.findIndex((one) => one.at.equals(to)) + 1;
      }),
    ];
    const degrees = writeAngle(angle.value);
    const by = `by ${degrees} in the running direction.`;
    const told =
      says === undefined
        ? `Turn the crankshaft ${by}`
        : says.includes(`by ${degrees}`)
          ? says
          : `${says} Turn ${by}`;
    return { act: { act: 'turn', says: told, by: angle }, effects: [{ cell: CRANK, table }], guards: [] };
  }

  #turnTo(turnTo: Step['turn-to'], says: string | undefined, frame: Frame, pointer: string): Acted {
    if (turnTo === undefined) return { effects: [], guards: [] };
    const { positions } = this.#variant.crank;
    const index = positions.findIndex((one) => one.mark === turnTo.mark);
    const mark = positions[index];
    if (mark === undefined) {
      this.#report.unknown(
        'mark',
        turnTo.mark,
        positions.flatMap((one) => one.mark ?? []),
        pointerTo(pointer, 'mark'),
      );
      return { effects: [], guards: [] };
    }
    const provedBy = fill(
      turnTo['proved-by'],
      frame,
      this.#variant,
      pointerTo(pointer, 'proved-by'),
      this.#report,
    );
    return {
      act: {
        act: 'turn-to',
        says:
          says === undefined
            ? `Turn the crankshaft in the running direction to ${mark.title}.`
            : `${says} To: ${mark.title}.`,
        provedBy,
      },
      effects: [{ cell: CRANK, to: index + 1 }],
      guards: [],
    };
  }

  #part(
    verb: 'remove' | 'renew',
    ids: readonly string[],
    says: string | undefined,
    frame: Frame,
    pointer: string,
  ): Acted {
    const effects: Effect[] = [];
    const guards: Guard[] = [];
    const titles: string[] = [];
    ids.forEach((id, number) => {
      const at = ids.length > 1 ? pointerTo(pointer, number) : pointer;
      const part = this.#entries.part(
        frame.bindings.get(id) ?? fill(id, frame, this.#variant, at, this.#report),
        frame,
        at,
      );
      if (part === undefined) return;
      const title = part.declared.title.toLowerCase();
      titles.push(title);
      const removed: number[] = [PART.removed];
      const others = partValues.flatMap((_, value) => (value === PART.removed ? [] : [value]));
      effects.push({ cell: part.cell, to: verb === 'remove' ? PART.removed : PART.renewed });
      guards.push({
        test: { cell: part.cell, among: verb === 'renew' ? removed : others },
        because: {
          guard: 'requirement',
          says:
            verb === 'renew'
              ? `The old ${title} has to be off before a new one goes on.`
              : `The ${title} is off already.`,
        },
        pointer: at,
      });
    });
    const told = says ?? `${verb === 'remove' ? 'Remove and discard' : 'Fit new'}: ${titles.join(', ')}.`;
    return { act: { act: verb, says: told, parts: ids }, effects, guards };
  }
}

const none: Acted = { effects: [], guards: [] };

/** An act that changes no cell and has no guard. */
const only = (act: Act): Acted => ({ act, effects: [], guards: [] });
