import type { TypedAmount } from '../logic/index.ts';
import { spanKind } from '../measure/index.ts';
import { divideKinds, type Kind, kindName, multiplyKinds, writeQuantity } from '../quantity/index.ts';
import type { Checks } from './checks.ts';
import type { Entries } from './entries.ts';
import type { Frame } from './frame.ts';
import type { Pack, Select } from './generated/document.ts';
import type { PlanSelection, PlanTolerance } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readStock } from './read-stock.ts';
import type { Report } from './report.ts';

/**
 * Choices from stock. Like tolerances they are asked for while the steps are unrolled, and made when every entry is
 * known, since what they go by is read by other steps.
 */
export class Selections {
  /** Each at the place that was given out for it, as the tolerances are. */
  readonly list: (PlanSelection | undefined)[] = [];
  readonly #pending: (() => PlanSelection | undefined)[] = [];
  readonly #pack: Pack;
  readonly #entries: Entries;
  readonly #checks: Checks;
  readonly #report: Report;

  constructor(pack: Pack, entries: Entries, checks: Checks, report: Report) {
    this.#pack = pack;
    this.#entries = entries;
    this.#checks = checks;
    this.#report = report;
  }

  /** The place in the plan of what a step selects; `node` is the place of the step. */
  add(step: string, select: Select, node: number, frame: Frame, pointer: string): number | undefined {
    const tolerance = this.#checks.tolerance(select.for, frame, pointerTo(pointer, 'for'));
    if (tolerance === undefined) return undefined;
    const stock = readStock(select.from, this.#pack, pointerTo(pointer, 'from'), this.#report);
    this.#pending.push(() => {
      const aimed = this.#checks.tolerances[tolerance];
      if (aimed === undefined) return undefined;
      if (aimed.elapsed !== undefined)
        this.#report.add(
          'bad-expression',
          pointerTo(pointer, 'for'),
          `${aimed.of} counts the time since a step, and nothing can be chosen by that.`,
          { remedy: 'Choose by something that is measured.' },
        );
      this.#takenBefore(aimed, select, node, pointer);
      return stock && this.#make(step, select, { stock, tolerance, aimed }, node, frame, pointer);
    });
    return this.#pending.length - 1;
  }

  /** Makes everything that was asked for. Every tolerance has to be made by now. */
  finish(): void {
    for (const make of this.#pending) this.list.push(make());
  }

  #make(
    step: string,
    select: Select,
    { stock, tolerance, aimed }: Pick<PlanSelection, 'stock' | 'tolerance'> & { aimed: PlanTolerance },
    node: number,
    frame: Frame,
    pointer: string,
  ): PlanSelection | undefined {
    const value = spanKind(aimed.value.type.kind);
    const expected = divideKinds(value, stock.kind);
    const at = pointerTo(pointer, 'sensitivity');
    if (expected === undefined || multiplyKinds(expected, stock.kind) !== value) {
      this.#report.add(
        'wrong-quantity',
        at,
        `No ${kindName(value)} can be changed by ${kindName(stock.kind)}.`,
      );
      return undefined;
    }
    const sensitivity = this.#entries.quantity(select.sensitivity, expected, frame, at);
    const fitted = this.#fitted(select.fitted, stock.kind, node, frame, pointerTo(pointer, 'fitted'));
    if (sensitivity === undefined || fitted === undefined) return undefined;
    const { sign } = sensitivity.value;
    if (sign === 0) this.#report.add('wrong-value', at, 'What is chosen would change nothing.');
    else if (sign > 0 !== (select.more === 'raises'))
      this.#report.add(
        'moves-away',
        at,
        `more: ${select.more} is said, and by ${writeQuantity(sensitivity)} more of it ${sign > 0 ? 'raises' : 'lowers'} ${aimed.title}: every choice would move it away from its limits.`,
        {
          remedy: 'Look up which way it goes, and correct the sign or the word.',
          other: [{ pointer: pointerTo(pointer, 'more'), message: 'what the word says' }],
        },
      );
    const [, ...places] = aimed.name.split('@');
    return {
      name: [frame.prefix + step, ...places].join('@'),
      stock,
      tolerance,
      fitted: fitted.value,
      sensitivity,
      entries: [...new Set([...aimed.entries, ...fitted.entries])],
      pointer,
    };
  }

  /** The size that is fitted now: what a name stands for, or a size that is stated. */
  #fitted(
    written: string,
    kind: Kind,
    node: number,
    frame: Frame,
    pointer: string,
  ): { readonly value: TypedAmount; readonly entries: readonly number[] } | undefined {
    const text = frame.bindings.get(written) ?? written;
    if (!/^[a-z]/.test(text) || text.startsWith('variant.')) {
      const amount = this.#entries.quantity(text, kind, frame, pointer);
      if (amount !== undefined && amount.value.sign <= 0)
        this.#report.add('bad-stock', pointer, `${writeQuantity(amount)} is no size of a piece.`, {
          remedy: 'Write the size that is fitted.',
        });
      return amount && { value: { node: 'literal', type: { type: 'amount', kind }, amount }, entries: [] };
    }
    const found = this.#checks.amount(text, frame, pointer);
    if (found === undefined) return undefined;
    if (found.value.type.kind !== kind) {
      const is = kindName(found.value.type.kind);
      this.#report.add(
        'wrong-quantity',
        pointer,
        `${text} is ${is}, and the stock has sizes of ${kindName(kind)}.`,
      );
      return undefined;
    }
    for (const entry of found.entries) this.#before(entry, node, pointer);
    return found;
  }

  #takenBefore({ entries, of }: PlanTolerance, select: Select, node: number, pointer: string): void {
    const at = pointerTo(pointer, 'for');
    if (entries.length === 0)
      this.#report.add('never-taken', at, `${of}, which ${select.for} is about, depends on no reading.`, {
        remedy: 'Choose by something that is measured.',
      });
    for (const entry of entries) this.#before(entry, node, at);
  }

  /** What is chosen is shown before the work, so what it goes by has to be read in a step before. */
  #before(index: number, node: number, pointer: string): void {
    const entry = this.#entries.at(index);
    if (entry === undefined || entry.takers.some((taker) => taker < node)) return;
    this.#report.add(
      'never-taken',
      pointer,
      `${entry.name} is not taken before this step, and it chooses by it.`,
      {
        remedy: 'Read it in a step before.',
      },
    );
  }
}
