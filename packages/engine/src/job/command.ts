import type { Unsuitable } from '../measure/index.ts';
import type { InstrumentUsed, Photograph } from './fact.ts';
import type { Origin } from './origin.ts';

/** What a person asks of a job. `step` and `entry` are the paths and names that `offers` gives. */
export type Command =
  | { readonly command: 'acknowledge'; readonly step: string }
  | {
      readonly command: 'done';
      readonly step: string;
      /** The second person, where two act together. */
      readonly together?: string;
      /** Identity of the torque wrench, where a step tightens. */
      readonly instrument?: string;
      readonly photograph?: Photograph;
    }
  | { readonly command: 'omit'; readonly step: string; readonly reason: string }
  /** A value as it was typed: a reading, an answer, a serial number or a text. */
  | {
      readonly command: 'record';
      readonly entry: string;
      readonly value: string;
      readonly instrument?: string;
      /** A serial number that is not the expected one is taken only so: it really is what the part bears. */
      readonly insist?: boolean;
      /** What has to hold throughout the reading did. */
      readonly held?: boolean;
    }
  /** The value of a reading is taken over from an earlier job instead of being measured. */
  | { readonly command: 'carry'; readonly entry: string; readonly origin: Origin }
  | { readonly command: 'witness'; readonly step: string }
  | { readonly command: 'release'; readonly by: 'concession' | 'rework' | 'witness'; readonly reason: string }
  | {
      readonly command: 'strike';
      readonly target: number;
      readonly reason: string;
      /** A strike after which the job can only be closed as unfinished is taken only so. */
      readonly insist?: boolean;
    }
  | { readonly command: 'equip'; readonly instrument: InstrumentUsed }
  /** Allows an instrument that is overdue, or readings beyond its range, by concession of who asks. */
  | {
      readonly command: 'allow';
      readonly instrument: string;
      readonly because: Unsuitable['because'];
      readonly reason: string;
    }
  /** A size is not in the drawer: choices leave it out from now on. With `back` it is there again. */
  | {
      readonly command: 'out-of-stock';
      readonly stock: string;
      readonly size: string;
      readonly back?: boolean;
    }
  /** Somebody takes a role from now on. */
  | { readonly command: 'join'; readonly role: string; readonly person: string }
  | { readonly command: 'note'; readonly text: string }
  | { readonly command: 'park'; readonly reason: string }
  | { readonly command: 'resume'; readonly confirmed: readonly string[] }
  | { readonly command: 'close' }
  | { readonly command: 'abandon'; readonly reason: string };

export const commandNames = [
  'acknowledge',
  'done',
  'omit',
  'record',
  'carry',
  'witness',
  'release',
  'strike',
  'equip',
  'allow',
  'out-of-stock',
  'join',
  'note',
  'park',
  'resume',
  'close',
  'abandon',
] as const satisfies readonly Command['command'][];

/** What the host knows and the engine does not: when, who, and under which id. */
export interface Occasion {
  /** RFC 3339. */
  readonly at: string;
  readonly by: string;
  /** Unique; the facts of the batch are `id.1`, `id.2` … */
  readonly id: string;
}

/** What a job is started with. */
export interface StartRequest {
  readonly bundle: string;
  readonly persons: readonly { readonly role: string; readonly person: string }[];
  readonly instruments: readonly InstrumentUsed[];
}
