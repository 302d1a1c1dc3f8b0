import type { RotationPlan } from '../crank/index.ts';
import type { Lowered, TypedAmount } from '../logic/index.ts';
import type { Adapter, Instrument, Judgeable, PermissibleError, Side } from '../measure/index.ts';
import type { Kind, Quantity, Rational, Unit } from '../quantity/index.ts';
import type { Shape } from './shape.ts';

/**
 * A procedure for one variant with every name bound, every loop unrolled and every expression typed. It is plain data
 * that never changes; the job runner and the proof both read it through `advance`.
 *
 * What is tracked lives in numbered cells of one byte each: tracked states, the crank, parts, entries, truths of
 * conditions and counters. Nodes stand in the order of writing, so that everything inside a node is one range.
 */
export interface Plan {
  readonly pack: {
    readonly id: string;
    readonly revision: string;
    readonly title: string;
    readonly notice?: string;
    /** The overlay of the shop that was laid over the pack. */
    readonly overlay?: {
      readonly id: string;
      readonly revision: string;
      readonly title: string;
      /** Digest of its bundle. */
      readonly digest: string;
      /** Digest of the bundle of the pack by itself. */
      readonly over: string;
    };
  };
  readonly procedure: { readonly id: string; readonly title: string };
  readonly variant: { readonly id: string; readonly title: string };
  readonly nodes: readonly PlanNode[];
  readonly cells: readonly Cell[];
  /** The values of the cells when a job starts. */
  readonly starts: readonly number[];
  /** What must hold when the job ends, each with the words that say so. */
  readonly ends: readonly Guard[];
  readonly entries: readonly Entry[];
  readonly tolerances: readonly PlanTolerance[];
  readonly conditions: readonly PlanCondition[];
  readonly elapsed: readonly PlanElapsed[];
  readonly selections: readonly PlanSelection[];
  readonly holds: readonly PlanHold[];
  readonly crank: PlanCrank;
  readonly parking?: PlanParking;
  readonly roles: readonly { readonly id: string; readonly title: string }[];
  readonly persons: readonly string[];
  readonly instruments: readonly PlanInstrument[];
  readonly hazards: readonly PlanHazard[];
  readonly dueNext: readonly string[];
  /** What a job hands on once it is closed. */
  readonly exports: readonly PlanExport[];
}

/** One tracked byte and what its values mean. */
export type Cell =
  | { readonly cell: 'crank'; readonly name: string; readonly values: readonly string[] }
  | {
      readonly cell: 'state';
      readonly name: string;
      readonly state: string;
      readonly values: readonly string[];
    }
  | {
      readonly cell: 'part';
      readonly name: string;
      readonly part: string;
      readonly values: readonly string[];
    }
  | {
      readonly cell: 'entry';
      readonly name: string;
      readonly entry: number;
      readonly values: readonly string[];
    }
  | {
      readonly cell: 'truth';
      readonly name: string;
      readonly condition: number;
      readonly values: readonly string[];
    }
  /** Whether a reading was ever made stale. It stays so when the reading is struck, or is to be taken again. */
  | { readonly cell: 'disturbed'; readonly name: string; readonly values: readonly string[] }
  | { readonly cell: 'counter'; readonly name: string; readonly most: number };

/** Values of a part cell. A part without identity is only ever unknown, removed or renewed. */
export const partValues = ['unknown', 'found', 'own', 'other', 'renewed', 'removed'] as const;
export const PART = { unknown: 0, found: 1, own: 2, other: 3, renewed: 4, removed: 5 } as const;

/** Values of the cell of a reading or a field; an observation has 0, or the place of its answer from 1. */
export const entryValues = ['not-recorded', 'recorded', 'stale'] as const;
export const ENTRY = { none: 0, held: 1, stale: 2 } as const;
export const truthValues = ['unknown', 'true', 'false'] as const;
export const TRUTH = { unknown: 0, true: 1, false: 2 } as const;

/** A reading that a step makes stale: its cell, and the cell that keeps that it was so. */
export interface Disturbance {
  readonly cell: number;
  readonly noted: number;
}

/** A condition over cells. */
export type Test =
  | { readonly cell: number; readonly among: readonly number[] }
  | { readonly all: readonly Test[] }
  | { readonly any: readonly Test[] }
  | { readonly not: Test };

/** Something that must hold, and where it was said. */
export interface Guard {
  readonly test: Test;
  readonly because:
    | { readonly guard: 'interlock'; readonly law: string; readonly says: string }
    | { readonly guard: 'requirement'; readonly says: string }
    | { readonly guard: 'change-from'; readonly says: string }
    | { readonly guard: 'ends'; readonly says: string };
  /** Where it stands in the pack, RFC 6901. */
  readonly pointer: string;
}

export type PlanNode = StepNode | BlockNode | ChooseNode | HoldNode;

interface NodeBase {
  readonly index: number;
  /** Just after the last node inside this one. */
  readonly end: number;
  /** The node around this one, −1 for the outermost block. */
  readonly parent: number;
  /** The node that follows in the same body, or −1. */
  readonly next: number;
  readonly id: string;
  /** Ids from the outside in, joined by `/`. */
  readonly path: string;
  readonly pointer: string;
  readonly bore?: number;
  /** The node is passed over when this does not hold. */
  readonly onlyIf?: Decision;
}

/** Decided by tracked cells, or by readings through a condition. */
export type Decision =
  | {
      readonly by: 'test';
      readonly test: Test;
      /** Cells of observations without which it is not known. */
      readonly needs?: readonly number[];
    }
  | { readonly by: 'condition'; readonly condition: number };

export interface BlockNode extends NodeBase {
  readonly node: 'block';
  readonly title?: string;
  /** The first node inside, or −1 when the body is empty. */
  readonly first: number;
  /** Counters that start anew on each entry. */
  readonly counters: readonly number[];
  /** A body of rework goes on elsewhere when it is done. */
  readonly resumes?: Resumption;
}

/**
 * The job goes on at `at`, and everything from there to `until` is done again: to the end of the job, or of the body of
 * rework that `at` is in, since whatever was done after it was done on the state that the rework has changed; or only to
 * the end of its block, where the pack says so.
 */
export interface Resumption {
  readonly at: number;
  readonly until: number;
}

export interface ChooseNode extends NodeBase {
  readonly node: 'choose';
  readonly cases: readonly { readonly when: Decision; readonly says: string; readonly body: number }[];
  /** Body of `otherwise`, −1 when there is none. */
  readonly otherwise: number;
}

export interface HoldNode extends NodeBase {
  readonly node: 'hold';
  readonly hold: number;
}

export interface StepNode extends NodeBase {
  readonly node: 'step';
  readonly title?: string;
  readonly hazards: readonly string[];
  readonly acknowledge: boolean;
  readonly act?: Act;
  /** What must hold for the act. */
  readonly guards: readonly Guard[];
  readonly effects: readonly Effect[];
  /** What must hold after the act. */
  readonly invariants: readonly Guard[];
  readonly operations: readonly string[];
  readonly uses: readonly string[];
  /** Entries that this step takes, in order. */
  readonly entries: readonly number[];
  readonly check?: Check;
  readonly struck?: Remedy;
  readonly witness?: string;
  readonly together?: string;
  readonly notApplicable?: string;
  /** Cells of readings that become stale by the act. */
  readonly disturbs: readonly Disturbance[];
}

export type Act =
  | { readonly act: 'do'; readonly says: string }
  | { readonly act: 'turn'; readonly says: string; readonly by: Quantity }
  | { readonly act: 'turn-to'; readonly says: string; readonly provedBy: string }
  | { readonly act: 'turn-until'; readonly says: string }
  | {
      readonly act: 'tighten';
      /** As records tell it: what the author says, and all of the joint and its stages. */
      readonly says: string;
      /** As the work is asked for, where the author says something: nothing of it twice. */
      readonly asked?: string;
      readonly joint: string;
      readonly stages: readonly Stage[];
      readonly wrench?: string;
      readonly adapter?: Adapter;
      /** The entry with the running torque of the joint, which is added to each torque. */
      readonly running?: number;
      /** The order in which each stage goes over the fasteners of the joint, all of them before the next stage. */
      readonly pattern?: readonly number[];
    }
  | { readonly act: 'remove' | 'renew'; readonly says: string; readonly parts: readonly string[] }
  | { readonly act: 'wait'; readonly says: string; readonly time: Quantity }
  | { readonly act: 'select' | 'photograph'; readonly says: string }
  | {
      readonly act: 'refer-to';
      readonly says: string;
      readonly pack: string;
      readonly procedure: string;
      readonly title: string;
    };

export type Stage =
  | { readonly stage: 'torque'; readonly torque: Quantity }
  | { readonly stage: 'angle'; readonly angle: Quantity }
  | { readonly stage: 'slacken'; readonly angle?: Quantity };

/** What an act does to the cells. A turn looks its new position up by the old one. */
export type Effect =
  | { readonly cell: number; readonly to: number }
  | { readonly cell: number; readonly table: readonly number[] };

export type Check =
  | {
      readonly check: 'tolerance';
      readonly tolerance: number;
      readonly high?: Remedy;
      readonly low?: Remedy;
      readonly inconclusive?: Remedy;
    }
  | { readonly check: 'observation'; readonly entry: number; readonly nonconforming?: Remedy }
  | { readonly check: 'identity'; readonly entry: number; readonly nonconforming?: Remedy }
  /** Whether something in stock does. */
  | { readonly check: 'stock'; readonly selection: number; readonly nonconforming?: Remedy };

export type Remedy =
  | {
      readonly remedy: 'rework';
      readonly body: number;
      readonly counter: number;
      readonly attempts: number;
      readonly exhausted: number;
    }
  | { readonly remedy: 'hold'; readonly hold: number };

/** A hold at one place of the plan. */
export interface PlanHold {
  readonly id: string;
  readonly text: string;
  readonly safety: boolean;
  /** The step or hold point at which it stands. */
  readonly node: number;
  readonly releases: readonly PlanRelease[];
  readonly pointer: string;
}

export type PlanRelease =
  | { readonly by: 'concession'; readonly role: string }
  | { readonly by: 'witness'; readonly role: string }
  | {
      readonly by: 'rework';
      readonly role?: string;
      /** Body of the steps on the way back; it says where the job goes on. */
      readonly body: number;
      readonly counter: number;
      readonly times: number;
    };

interface EntryBase {
  /** The name by which answers and expressions know it, with its place: `rack-shift@3`. */
  readonly name: string;
  readonly title: string;
  readonly cell: number;
  /** Steps that take it. */
  readonly takers: readonly number[];
  /** Steps whose check relies on it. */
  readonly judgedBy: readonly number[];
  /** Choices and passed-over nodes that rely on it. */
  readonly decides: readonly number[];
  /** Steps whose act relies on it. */
  readonly usedBy: readonly number[];
  /** Truth cells that are unknown again when it is taken again. */
  readonly truths: readonly number[];
  /** What must hold when it is taken. */
  readonly guards: readonly Guard[];
  readonly bore?: number;
  readonly column?: 'as-received' | 'baseline' | 'as-left';
  readonly card?: CardItem;
  readonly pointer: string;
}

/** What an entry is on the job card, where the pack says so. */
export type CardItem = 'engine' | 'machine' | 'hours' | 'complaint' | 'cause' | 'correction';

export type Entry =
  | (EntryBase & {
      readonly entry: 'reading';
      readonly kind: Kind;
      readonly unit: Unit;
      readonly instrument?: string;
      readonly plausible: readonly [Quantity, Quantity];
      readonly repeats?: PlanRepeats;
      /** The whole turn after which an angle begins anew, in the base unit. */
      readonly circle?: Rational;
      /** What has to hold during the whole of it, in words: `Engine speed: 1475 r/min to 1525 r/min`. */
      readonly throughout?: readonly string[];
      readonly carry?: PlanCarry;
    })
  | (EntryBase & {
      readonly entry: 'observation';
      readonly answers: readonly {
        readonly id: string;
        readonly text: string;
        readonly conforming: boolean;
      }[];
    })
  | (EntryBase & { readonly entry: 'field'; readonly shape?: Shape; readonly longest: number })
  | (EntryBase & {
      readonly entry: 'identity';
      readonly as: 'found' | 'fitted';
      readonly part: string;
      /** The part and its place: `pump@3`. */
      readonly place: string;
      readonly partCell: number;
      readonly shape: Shape;
      readonly acceptNew: boolean;
      /** Cells of the other parts of the matched set. */
      readonly matched: readonly number[];
    });

/** How often a reading is taken, and what of its indications is its value. */
export interface PlanRepeats {
  readonly times: number;
  /** Where the indications lie further apart, more are asked for, up to `most`. */
  readonly agreeWithin?: Quantity;
  readonly most: number;
  readonly take: 'mean' | 'lowest' | 'highest';
}

/** From where the value of a reading may be taken over instead of being measured. */
export interface PlanCarry {
  readonly pack: string;
  readonly procedure: string;
  /** The value there, at the place that the reading has here: `corrected-pressure@3`. */
  readonly value: string;
  readonly validFor: Quantity;
  /** The entry, here and there, with the serial number of the engine. */
  readonly field: string;
}

/** A reading or a derived value, at one place, that the procedure exports. */
export interface PlanExport {
  readonly name: string;
  readonly title: string;
  readonly value: TypedAmount;
  /** In which it is shown. */
  readonly unit: Unit;
  readonly entries: readonly number[];
}

export interface PlanTolerance extends Judgeable {
  /** Limits that depend on readings; `limits` is empty then, and they are worked out when the value is judged. */
  readonly limitsFrom?: LimitsFrom;
  /** With its place: `drift-limits@3`. */
  readonly name: string;
  readonly title: string;
  readonly of: string;
  readonly value: TypedAmount;
  readonly entries: readonly number[];
  /** The times since steps that its value reads: places in `elapsed`. */
  readonly elapsed?: readonly number[];
  /** Unit and digits in which its value is shown. */
  readonly unit: Unit;
  readonly decimals: number;
  readonly says: string;
  readonly source: string;
  /** Sides on which the limits can be missed. */
  readonly sides: readonly Side[];
  readonly pointer: string;
}

/** The time since a step was done, until another was or until it is judged. An expression reads it under `name`, in seconds. */
export interface PlanElapsed {
  readonly name: string;
  /** The step from which the time counts. */
  readonly since: number;
  /** The step up to which it counts; not said: up to the verdict. */
  readonly until?: number;
  /** Steps whose verdict relies on it. */
  readonly judgedBy: readonly number[];
  readonly pointer: string;
}

/** Each limit as an expression, of the kind of what it limits. */
export interface LimitsFrom {
  readonly low?: TypedAmount;
  readonly high?: TypedAmount;
  readonly nominal?: TypedAmount;
}

/** A part that is kept in graded sizes. */
export interface PlanStock {
  readonly id: string;
  readonly title: string;
  readonly kind: Kind;
  /** Ascending, each once. */
  readonly sizes: readonly Quantity[];
  /** How many may lie on one another. */
  readonly most: number;
  readonly least?: Quantity;
  readonly greatest?: Quantity;
  readonly permissibleError?: Quantity;
  /** Unit and digits in which a size is shown. */
  readonly unit: Unit;
  readonly decimals: number;
  readonly pointer: string;
}

/** A choice from stock, so that a value comes nearest to nominal inside its limits. */
export interface PlanSelection {
  /** The name of the step, with the place of what it chooses for: `choose-shim@3`. */
  readonly name: string;
  readonly stock: PlanStock;
  /** The tolerance that is to be met. */
  readonly tolerance: number;
  /** Size of what is fitted now. */
  readonly fitted: TypedAmount;
  /** How much the value rises for each unit of size. */
  readonly sensitivity: Quantity;
  /** What it goes by: the entries of the tolerance and those of the fitted size. */
  readonly entries: readonly number[];
  readonly pointer: string;
}

export interface PlanCondition {
  readonly says: string;
  readonly lowered: Lowered;
  readonly entries: readonly number[];
  readonly cell: number;
  readonly pointer: string;
}

export interface PlanCrank {
  /** Positions that a job can know; the value of the crank cell is the place here from 1, and 0 is unknown. */
  readonly positions: readonly {
    readonly at: Rational;
    readonly title: string;
    readonly mark?: string;
    readonly heldBy?: string;
  }[];
  readonly rotation?: RotationPlan;
  readonly sequence: readonly number[];
  readonly accuracy?: Rational;
}

export interface PlanParking {
  readonly guard: Guard;
  readonly instructions: string;
  readonly onResuming: readonly { readonly id: string; readonly text: string }[];
}

export interface PlanInstrument {
  readonly id: string;
  readonly title: string;
  readonly quantity: Kind;
  readonly range: readonly [Quantity, Quantity];
  readonly resolution: Quantity;
  readonly permissibleError?: PermissibleError;
  readonly calibration?: NonNullable<Instrument['calibration']>;
  readonly commonError?: Rational;
  /** Of a torque wrench: from its drive to the middle of the grip. */
  readonly length?: Quantity;
  readonly calibrated: boolean;
  /** Only readings that may be taken over need it, so that a job may begin without it. */
  readonly onlyIfMeasured?: true;
  /** Roles that may allow an instrument whose calibration has run out, or a reading beyond its range. */
  readonly overdueBy?: string;
  readonly beyondRangeBy?: string;
}

export interface PlanHazard {
  readonly id: string;
  readonly signal: 'danger' | 'warning' | 'caution' | 'notice';
  readonly text: string;
  readonly acknowledge: boolean;
}
