import type { Digest, KeyId } from '@ferrule/signing';
import type { JobState } from './job-summary.ts';

/** What can be wrong with the record of a job. docs/records.md says of each what it means. */
export const findingCodes = [
  'unreadable',
  'not-canonical',
  'header-changed',
  'fact-changed',
  'fact-missing',
  'fact-added',
  'fact-moved',
  'tail-dropped',
  'links-changed',
  'other-end',
  'other-job',
  'signature-missing',
  'signature-broken',
  'wrong-key',
  'pack-changed',
  'photograph-changed',
] as const;

export type FindingCode = (typeof findingCodes)[number];

export interface JobFinding {
  readonly code: FindingCode;
  /** The number of the fact; of several the first. */
  readonly seq?: number;
  /** The line of the file, from 1. */
  readonly line?: number;
  readonly message: string;
}

/** What a record shows about itself. */
export interface JobVerification {
  readonly job: string;
  /** Nothing is wrong. What could not be looked at stands in the notes. */
  readonly isSound: boolean;
  readonly findings: readonly JobFinding[];
  /** What is to be known beside the findings: above all what such a record cannot show. */
  readonly notes: readonly string[];
  readonly facts: number;
  readonly state?: JobState;
  /** Digest of the last fact, as cards print it. */
  readonly last?: Digest;
  /** Of a signature that is good. */
  readonly signature?: {
    readonly signedBy: readonly KeyId[];
    /** Whether they are keys that the caller said count. Otherwise nothing says whose they are. */
    readonly isKnown: boolean;
    readonly by: string;
    readonly at: string;
  };
}
