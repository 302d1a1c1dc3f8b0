import { type Adapter, adapterRatio, exactSetting } from '../measure/index.ts';
import { parseStatement, type Quantity, Rational, storedQuantity, writeQuantity } from '../quantity/index.ts';
import type { Frame } from './frame.ts';
import type { Instrument, Tighten } from './generated/document.ts';
import { type Act, ENTRY, type Entry, type Guard, type Stage } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readPackQuantity, readStated } from './read-quantity.ts';
import { placed } from './tracked.ts';
import type { Writing } from './writing.ts';

/** The act of a step that tightens, and what has to hold for it. It changes no state by itself. */
interface Tightened {
  readonly act: Act;
  readonly effects: readonly never[];
  readonly guards: readonly Guard[];
}

/** Reads what a step tightens: stages, wrench, adapter, running torque and pattern. */
export class Tightening {
  readonly #writing: Writing;

  constructor(writing: Writing) {
    this.#writing = writing;
  }

  of(tighten: Tighten, says: string | undefined, frame: Frame, pointer: string): Tightened {
    const { pack, report } = this.#writing;
    const joints = pack.joints ?? {};
    const joint = Object.hasOwn(joints, tighten.joint) ? joints[tighten.joint] : undefined;
    if (joint === undefined)
      report.unknown('joint', tighten.joint, Object.keys(joints), pointerTo(pointer, 'joint'));
    report.use('joints', tighten.joint);
    const stages = tighten.stages.flatMap(
      (text, number) => this.#stage(text, frame, pointerTo(pointer, 'stages', number)) ?? [],
    );
    const adapter = this.#adapter(tighten, frame, pointer);
    const running = this.#running(tighten['running-torque'], frame, pointerTo(pointer, 'running-torque'));
    const pattern = tighten.pattern?.map(Number);
    this.#wrench(tighten, stages, { adapter, running: running?.entry }, pointer);
    const title = (joint?.title ?? tighten.joint).toLowerCase();
    const inStages = capital(stages.map(saysStage).join(', then '));
    const more = [
      pattern === undefined
        ? ''
        : ` In the order ${pattern.join(', ')}, each stage over all of them before the next.`,
      running === undefined ? '' : ' The running torque is added to each torque.',
      adapter === undefined ? '' : ` With an adapter of ${saysAdapter(adapter)}.`,
    ].join('');
    return {
      act: {
        act: 'tighten',
        says: `${says === undefined ? '' : `${says} `}${inStages}: ${title}.${more}`,
        ...(says === undefined ? {} : { asked: `${asked(says, inStages)}${more}` }),
        joint: tighten.joint,
        stages,
        ...(tighten.with === undefined ? {} : { wrench: tighten.with }),
        ...(adapter === undefined ? {} : { adapter }),
        ...(running === undefined ? {} : { running: running.index }),
        ...(pattern === undefined ? {} : { pattern }),
      },
      effects: [],
      guards: running === undefined ? [] : [running.guard],
    };
  }

  #stage(text: string, frame: Frame, pointer: string): Stage | undefined {
    const { entries, report } = this.#writing;
    const found = entries.stated(text, frame, pointer);
    if (found === undefined) return undefined;
    const { text: written } = found;
    if (written === 'slacken') return { stage: 'slacken' };
    const further = /^(?:slacken|\+)\s*(.*)$/.exec(written);
    if (further !== null) {
      const angle = readStated({ ...found, text: further[1] ?? '' }, 'angle', report);
      if (angle === undefined || this.#isNothing(angle, pointer, STAGE)) return undefined;
      return written.startsWith('+') ? { stage: 'angle', angle } : { stage: 'slacken', angle };
    }
    const torque = readStated(found, 'torque', report);
    return torque === undefined || this.#isNothing(torque, pointer, STAGE)
      ? undefined
      : { stage: 'torque', torque };
  }

  /** Whether a value is none, or backwards; that is reported. */
  #isNothing(value: Quantity, pointer: string, expected: string): boolean {
    if (value.value.sign > 0) return false;
    this.#writing.report.add('wrong-value', pointer, `${expected}; this is ${writeQuantity(value)}.`, {
      remedy: 'Write the value that is meant.',
    });
    return true;
  }

  #adapter({ adapter }: Tighten, frame: Frame, pointer: string): Adapter | undefined {
    if (adapter === undefined) return undefined;
    const { entries } = this.#writing;
    const at = pointerTo(pointer, 'adapter');
    const length = entries.quantity(adapter.length, 'length', frame, pointerTo(at, 'length'));
    const angle =
      adapter.angle === undefined
        ? storedQuantity('0', '°', 'angle')
        : entries.quantity(adapter.angle, 'angle', frame, pointerTo(at, 'angle'));
    if (length === undefined || angle === undefined) return undefined;
    if (this.#isNothing(length, pointerTo(at, 'length'), 'An adapter has a length above nothing'))
      return undefined;
    return { length, angle };
  }

  /** The reading of the running torque, which has to be taken before and still to count. */
  #running(
    name: string | undefined,
    frame: Frame,
    pointer: string,
  ): { readonly index: number; readonly entry: Entry; readonly guard: Guard } | undefined {
    if (name === undefined) return undefined;
    const { entries, rewriter, report } = this.#writing;
    const found = rewriter.find(name, frame, pointer);
    if (found === undefined) return undefined;
    const { declared } = found;
    if (declared.is !== 'reading') {
      report.add('wrong-form', pointer, `${name} is no reading.`, {
        remedy: 'Name the reading that is taken.',
      });
      return undefined;
    }
    const { quantity } = declared.reading;
    if (quantity !== 'torque') {
      report.add('wrong-quantity', pointer, `${name} is ${quantity}, and a running torque is a torque.`);
      return undefined;
    }
    const index = entries.index(found.frame.prefix + placed(found.name, ...found.at));
    const entry = entries.at(index ?? -1);
    if (entry?.entry === 'reading' && entry.plausible[0].value.sign < 0)
      report.add(
        'wrong-value',
        pointerTo(entry.pointer, 'plausible', 0),
        `${writeQuantity(entry.plausible[0])} is no plausible running torque: it is never below zero, and would lower what is set.`,
        { remedy: 'Begin at 0 or above.' },
      );
    if (index === undefined || entry === undefined) {
      report.add('never-taken', pointer, `${name} has not been taken before this step.`, {
        remedy: 'Read it in a step before.',
      });
      return undefined;
    }
    const says = `${entry.name} has to be taken before, and must not have been struck or disturbed since.`;
    return {
      index,
      entry,
      guard: {
        test: { cell: entry.cell, among: [ENTRY.held] },
        because: { guard: 'requirement', says },
        pointer,
      },
    };
  }

  #wrench(
    tighten: Tighten,
    stages: readonly Stage[],
    by: { readonly adapter: Adapter | undefined; readonly running: Entry | undefined },
    pointer: string,
  ): void {
    const { pack, report } = this.#writing;
    const instruments = pack.instruments ?? {};
    const torques = stages.flatMap((stage) => (stage.stage === 'torque' ? [stage.torque] : []));
    if (tighten.with === undefined) {
      if (torques.length > 0) {
        report.add('missing-key', pointer, 'The key with is missing here: a torque needs a wrench.', {
          remedy: `with: ${Object.keys(instruments).find((id) => instruments[id]?.quantity === 'torque') ?? 'torque-wrench'}`,
        });
      }
      return;
    }
    const where = pointerTo(pointer, 'with');
    const wrench = Object.hasOwn(instruments, tighten.with) ? instruments[tighten.with] : undefined;
    report.use('instruments', tighten.with);
    if (wrench === undefined)
      return report.unknown('instrument', tighten.with, Object.keys(instruments), where);
    if (wrench.quantity !== 'torque')
      return report.add('wrong-quantity', where, `${tighten.with} measures ${wrench.quantity}, not torque.`);
    const at = pointerTo('/instruments', tighten.with, 'range');
    for (const [place, text] of wrench.range.entries())
      readPackQuantity(text, 'torque', pointerTo(at, place), report);
    for (const torque of torques) {
      if (gives(wrench, torque, by) !== false) continue;
      const set = by.adapter === undefined && by.running === undefined ? '' : 'What has to be set for ';
      report.add(
        'beyond-instrument',
        where,
        `${set}${writeQuantity(torque)} is beyond the range of ${tighten.with}, ${wrench.range.join(' to ')}.`,
        {
          remedy: this.#otherWrench(torque, by),
          other: [{ pointer: at, message: `its range: ${wrench.range.join(' to ')}` }],
        },
      );
    }
  }

  /** What to do about a torque that the wrench cannot give: the wrenches of the pack that can. */
  #otherWrench(torque: Quantity, by: Parameters<typeof gives>[2]): string {
    const able = Object.entries(this.#writing.pack.instruments ?? {}).flatMap(([id, wrench]) =>
      wrench.quantity === 'torque' && gives(wrench, torque, by) === true ? [id] : [],
    );
    return able.length === 0
      ? 'Correct the torque, or declare a wrench that gives it.'
      : `Write with: ${able.join(' or ')}, or correct the torque.`;
  }
}

/**
 * Whether wrenches of a kind can be set for a torque, whatever the running torque is; undefined where that depends on it, or
 * on a length that is not stated.
 */
function gives(
  wrench: Instrument,
  torque: Quantity,
  { adapter, running }: { readonly adapter: Adapter | undefined; readonly running: Entry | undefined },
): boolean | undefined {
  const [low, high] = wrench.range.map((text) => stated(text, 'torque'));
  const length = adapter === undefined ? undefined : stated(wrench.length ?? '', 'length');
  const ratio =
    adapter === undefined ? Rational.one : length === undefined ? undefined : adapterRatio(length, adapter);
  if (low === undefined || high === undefined || ratio === undefined) return undefined;
  const [least, most] = (running?.entry === 'reading' ? running.plausible : [undefined, undefined]).map(
    (one) => exactSetting(torque, one, ratio),
  );
  if (least === undefined || most === undefined) return undefined;
  if (most.compare(low.value) < 0 || least.compare(high.value) > 0) return false;
  return least.compare(low.value) >= 0 && most.compare(high.value) <= 0 ? true : undefined;
}

function stated(text: string, kind: 'torque' | 'length'): Quantity | undefined {
  const read = parseStatement(text, kind);
  return 'original' in read ? read.original : undefined;
}

const STAGE = 'A stage has a torque or an angle above nothing';
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What is asked for at a joint that the author's words name: of what is only loosened they say all. */
const asked = (says: string, inStages: string): string =>
  inStages === 'Slacken' ? says : `${says} ${inStages}.`;

/** An adapter in words: `45 mm`, or `45 mm at 90°`. */
const saysAdapter = ({ length, angle }: Adapter): string =>
  `${writeQuantity(length)}${angle.value.sign === 0 ? '' : ` at ${writeQuantity(angle)}`}`;

function saysStage(stage: Stage): string {
  switch (stage.stage) {
    case 'torque':
      return `tighten to ${writeQuantity(stage.torque)}`;
    case 'angle':
      return `turn ${writeQuantity(stage.angle)} further`;
    case 'slacken':
      return stage.angle === undefined ? 'slacken' : `slacken by ${writeQuantity(stage.angle)}`;
  }
}
