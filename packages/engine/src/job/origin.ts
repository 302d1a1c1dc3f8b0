import type { VerdictWord } from '../measure/index.ts';
import { among, count, type Form, listOf, objectOf, optional, text } from './form.ts';

/**
 * What a closed job hands on, as plain data: `handedOn` makes it, whoever has the record of that job. The engine that takes a
 * value over from it has neither the record nor the pack.
 */
export interface Origin {
  /** The name of the job where it is kept. */
  readonly job: string;
  /** Digest of the end of its record, where the host has one. */
  readonly record?: string;
  readonly pack: string;
  readonly revision: string;
  /** Digest of the bundle that the job was pinned to. */
  readonly bundle: string;
  readonly procedure: string;
  readonly variant: string;
  /** Missing while the job is open. */
  readonly closed?: 'finished' | 'unfinished';
  /** What was filled in, such as the serial number of the engine. */
  readonly fields: readonly { readonly name: string; readonly text: string }[];
  readonly values: readonly OriginValue[];
}

/** One exported reading or derived value at one place. Without `digits` it has no value, and `because` says why. */
export interface OriginValue {
  readonly name: string;
  readonly title: string;
  readonly because?: 'struck' | 'missing' | 'beyond-scale';
  /** When its oldest reading was taken, RFC 3339. */
  readonly at?: string;
  readonly digits?: string;
  readonly unit?: string;
  /** The value as a fraction of the base unit of its kind. */
  readonly exact?: string;
  /** The worst last verdict on it. */
  readonly verdict?: VerdictWord;
  readonly uncertainty?: CarriedUncertainty;
  /** Identities of the instruments that its readings were taken with. */
  readonly instruments?: readonly string[];
}

/** U and k, as a calibration certificate states them; U is rounded up to two digits. */
export interface CarriedUncertainty {
  readonly expandedUncertainty: string;
  readonly coverageFactor: string;
  readonly degreesOfFreedom?: number;
}

const some = optional(text);
const verdictForm = optional(among(['conforming', 'nonconforming', 'inconclusive']));
export const carriedUncertaintyForm = objectOf({
  expandedUncertainty: text,
  coverageFactor: text,
  degreesOfFreedom: optional(count),
});

/** Where a value was taken over from, as the fact keeps it. */
export const carriedFromForm = objectOf({
  job: text,
  record: some,
  pack: text,
  revision: text,
  bundle: text,
  procedure: text,
  value: text,
  at: text,
  engine: text,
  verdict: verdictForm,
  instruments: optional(listOf(text)),
});

export const originForm: Form = objectOf({
  job: text,
  record: some,
  pack: text,
  revision: text,
  bundle: text,
  procedure: text,
  variant: text,
  closed: optional(among(['finished', 'unfinished'])),
  fields: listOf(objectOf({ name: text, text })),
  values: listOf(
    objectOf({
      name: text,
      title: text,
      because: optional(among(['struck', 'missing', 'beyond-scale'])),
      at: some,
      digits: some,
      unit: some,
      exact: some,
      verdict: verdictForm,
      uncertainty: optional(carriedUncertaintyForm),
      instruments: optional(listOf(text)),
    }),
  ),
});
