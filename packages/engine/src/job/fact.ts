import type { Beyond, InconclusiveReason, Side, Unsuitable, VerdictWord } from '../measure/index.ts';
import type { CarriedUncertainty } from './origin.ts';

/**
 * One thing that happened, as it is stored. `seq` counts from 1 without gaps; `id`, `at` and `by` come from the host;
 * `at` is an RFC 3339 time. All texts are as they were said. A store adds the digest of the fact before.
 */
export interface Fact {
  readonly format: '1';
  readonly seq: number;
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly fact: FactBody;
}

/** The instrument that took a reading, as it was then. */
export interface InstrumentUsed {
  readonly kind: string;
  readonly identity: string;
  readonly due?: string;
  readonly range?: readonly [string, string];
  readonly resolution?: string;
  readonly maximumPermissibleError?: string;
  /** The part of its own maximum permissible error that all its readings share. */
  readonly commonError?: string;
  readonly calibration?: {
    readonly expandedUncertainty: string;
    readonly coverageFactor: string;
    readonly degreesOfFreedom?: number;
  };
  /** Of a torque wrench: from its drive to the middle of the grip. */
  readonly length?: string;
}

/** What a wrench was set to for one torque stage, in words as they were shown. */
export interface Setting {
  /** The least torque for which the wrench is specified, where it is set below that. */
  readonly specifiedFrom?: string;
  /** Place of the stage among those of the step, from 1. */
  readonly stage: number;
  /** What the procedure asks for. */
  readonly torque: string;
  /** The setting of the wrench, which is a step of its scale. */
  readonly set: string;
  /** The torque that reaches the screw at this setting, with the running torque in it. */
  readonly gives: string;
  /** The running torque that was added. */
  readonly running?: string;
  readonly adapter?: { readonly length: string; readonly angle: string; readonly wrench: string };
}

export type FactBody =
  | {
      readonly kind: 'started';
      readonly pack: string;
      readonly revision: string;
      /** Digest of the resolved bundle that the job is pinned to. */
      readonly bundle: string;
      readonly procedure: string;
      readonly variant: string;
      readonly persons: readonly { readonly role: string; readonly person: string }[];
      readonly instruments: readonly InstrumentUsed[];
    }
  | { readonly kind: 'equipped'; readonly instrument: InstrumentUsed }
  /** An instrument that would be refused may be used in this job all the same. */
  | {
      readonly kind: 'allowed';
      readonly instrument: string;
      readonly because: Unsuitable['because'];
      readonly reason: string;
    }
  /** A size is not in the drawer; with `back` it is there again. */
  | { readonly kind: 'out-of-stock'; readonly stock: string; readonly size: string; readonly back?: true }
  | { readonly kind: 'joined'; readonly role: string; readonly person: string }
  | {
      readonly kind: 'branched';
      readonly step: string;
      readonly decided: readonly {
        readonly condition: string;
        readonly truth: boolean;
        readonly explanation: string;
      }[];
    }
  | { readonly kind: 'acknowledged'; readonly step: string; readonly hazards: readonly string[] }
  | {
      readonly kind: 'done';
      readonly step: string;
      readonly together?: string;
      readonly instrument?: InstrumentUsed;
      readonly settings?: readonly Setting[];
      readonly photograph?: Photograph;
      /** For a wait: since when. */
      readonly since?: string;
    }
  /** A step that leads to a procedure, as a rule of another pack, was confirmed. */
  | {
      readonly kind: 'referred';
      readonly step: string;
      readonly pack: string;
      readonly procedure: string;
      readonly title: string;
      readonly together?: string;
    }
  | { readonly kind: 'omitted'; readonly step: string; readonly reason: string }
  | {
      readonly kind: 'reading';
      readonly step: string;
      readonly entry: string;
      /** As it was typed. */
      readonly typed: string;
      readonly digits: string;
      readonly unit: string;
      readonly instrument?: InstrumentUsed;
      /** Digits and unit are the end of the scale, and the value lies beyond it. */
      readonly beyond?: Beyond;
      /** Which one it is of a reading that is taken several times. */
      readonly repeat?: number;
      /** More of them are needed; the reading is not recorded yet. */
      readonly open?: true;
      /** Highest less lowest of the repeats, once as many are in as are asked for at first. */
      readonly spread?: string;
      /** The spread is wider than it may be. */
      readonly wide?: true;
      /** What is taken of the repeats, when all are in: exact, or after `≈` where its digits do not end. */
      readonly value?: string;
      /** What held during the whole of it, as whoever took it confirmed. */
      readonly throughout?: readonly string[];
      /** The repeat that stands out from the others (Grubbs); it counts all the same. */
      readonly outlier?: number;
    }
  /** The value of a reading was taken over from an earlier job instead of being measured. */
  | {
      readonly kind: 'carried';
      readonly step: string;
      readonly entry: string;
      readonly digits: string;
      readonly unit: string;
      /** The value as a fraction of the base unit of its kind; the digits are this, rounded. */
      readonly exact: string;
      readonly from: CarriedFrom;
      /** Missing where it is not known. */
      readonly uncertainty?: CarriedUncertainty;
    }
  | { readonly kind: 'observed'; readonly step: string; readonly entry: string; readonly answer: string }
  | { readonly kind: 'filled'; readonly step: string; readonly entry: string; readonly text: string }
  | {
      readonly kind: 'identified';
      readonly step: string;
      readonly entry: string;
      readonly identity: string;
      readonly part: 'found' | 'own' | 'other' | 'renewed';
    }
  | { readonly kind: 'judged'; readonly step: string; readonly of: string; readonly verdict: WrittenVerdict }
  | {
      readonly kind: 'struck';
      readonly target: number;
      readonly entry?: string;
      readonly step: string;
      readonly reason: string;
      /** One repeat of a reading that is not complete: nothing else is open again. */
      readonly open?: true;
      /** The other repeats of the reading, which no longer count either. */
      readonly also?: readonly number[];
    }
  | { readonly kind: 'held'; readonly hold: string; readonly step: string; readonly text: string }
  | {
      readonly kind: 'released';
      readonly hold: string;
      readonly step: string;
      readonly by: 'concession' | 'rework' | 'witness';
      readonly release: number;
      readonly reason: string;
    }
  | { readonly kind: 'witnessed'; readonly step: string }
  | { readonly kind: 'noted'; readonly text: string }
  | { readonly kind: 'parked'; readonly reason: string }
  | { readonly kind: 'resumed'; readonly confirmed: readonly string[] }
  | { readonly kind: 'closed'; readonly finished: boolean; readonly reason?: string };

/** The job that a value was taken over from, and what it was there. */
export interface CarriedFrom {
  readonly job: string;
  /** Digest of the end of its record, where the host had one. */
  readonly record?: string;
  readonly pack: string;
  readonly revision: string;
  readonly bundle: string;
  readonly procedure: string;
  /** The reading or derived value there, with its place. */
  readonly value: string;
  /** When it was measured there, RFC 3339; of several readings the oldest. */
  readonly at: string;
  /** The serial number of the engine, in both jobs. */
  readonly engine: string;
  readonly verdict?: VerdictWord;
  readonly instruments?: readonly string[];
}

export interface Photograph {
  /** `sha256:` and the hexadecimal digest of the file. */
  readonly digest: string;
  readonly name: string;
}

/** A verdict as it is stored: words and exact texts. `exact` is a fraction of the base unit of the kind. */
export type WrittenVerdict =
  | {
      readonly verdict: Extract<VerdictWord, 'conforming'>;
      readonly value?: string;
      readonly limits?: string;
      readonly margin?: string;
      readonly exact?: string;
      readonly chosen?: WrittenChoice;
      /** Where one reading is compared over several places: the one that stands out from the others. */
      readonly standsOut?: string;
      readonly elapsed?: readonly WrittenElapsed[];
      readonly beyond?: Beyond;
      readonly assessment?: WrittenAssessment;
    }
  | {
      readonly verdict: Extract<VerdictWord, 'nonconforming'>;
      readonly side?: Side;
      readonly value?: string;
      readonly limits?: string;
      readonly excess?: string;
      readonly exact?: string;
      readonly chosen?: WrittenChoice;
      readonly standsOut?: string;
      readonly elapsed?: readonly WrittenElapsed[];
      readonly because?: string;
      readonly beyond?: Beyond;
      readonly assessment?: WrittenAssessment;
    }
  | {
      readonly verdict: Extract<VerdictWord, 'inconclusive'>;
      readonly value?: string;
      readonly limits: string;
      readonly because: InconclusiveReason;
      readonly exact?: string;
      readonly standsOut?: string;
      readonly elapsed?: readonly WrittenElapsed[];
      readonly beyond?: Beyond;
      readonly assessment?: WrittenAssessment;
    };

/** The time since a step by which a verdict was given. Steps are said by their paths, the time in seconds with all its digits. */
export interface WrittenElapsed {
  readonly since: string;
  readonly until?: string;
  readonly seconds: string;
}

/** What the uncertainty said about a verdict when it was given. Uncertainties are rounded up to two digits for showing. */
export interface WrittenAssessment {
  /** The decision rule with its number: `simple`, `guarded-acceptance 1 × U`, `probability 95 %`. */
  readonly rule: string;
  readonly standardUncertainty: string;
  readonly expandedUncertainty: string;
  readonly coverageFactor: string;
  /** Effective degrees of freedom, whole; absent where there are many. */
  readonly degreesOfFreedom?: number;
  /** u², a fraction of the square of the base unit of the kind. */
  readonly variance: string;
  /** Where the value may lie to be accepted, for a rule with a guard band on the inside. */
  readonly acceptance?: string;
  /** That the true value lies inside its limits: `97.4 %`. */
  readonly probability: string;
  /** Width of the limits by twice the expanded uncertainty; absent where there is one limit only. */
  readonly capability?: string;
  /** The expanded uncertainty with which the verdict would have been decided; absent where none would do. */
  readonly needed?: string;
  /** By the simple rule, and likelier wrong than the pack accepts without a word. */
  readonly doubtful?: true;
}

/** What is chosen from stock, or comes nearest where none does. Sizes are written as the pack writes them. */
export interface WrittenChoice {
  readonly stock: string;
  /** The pieces to fit, the largest first; empty when what is fitted stays. */
  readonly sizes: readonly string[];
  readonly total: string;
  /** What is fitted now. */
  readonly fitted: string;
  readonly stays?: true;
  readonly predicted: string;
  /** Of the prediction: u², a fraction of the square of the base unit, and U with a coverage factor of 2. */
  readonly variance?: string;
  readonly expandedUncertainty?: string;
}

export const factKinds = [
  'started',
  'equipped',
  'allowed',
  'out-of-stock',
  'joined',
  'branched',
  'acknowledged',
  'done',
  'referred',
  'omitted',
  'reading',
  'carried',
  'observed',
  'filled',
  'identified',
  'judged',
  'struck',
  'held',
  'released',
  'witnessed',
  'noted',
  'parked',
  'resumed',
  'closed',
] as const satisfies readonly FactBody['kind'][];
