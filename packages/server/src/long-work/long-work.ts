import type { ComparedBehaviour } from '@ferrule/compare/document';
import type { AskedReadings, ReadingsOfStore } from '@ferrule/compare/readings';
import type { Asked } from '../examine/examine.ts';
import type { RejudgedAnswer, RejudgeWork } from './rejudge-into.ts';
import type { Working } from './working.ts';

/** What takes long, and so is not done where requests are answered. */
export interface LongWork {
  readonly check: Asked;
  readonly trials: Asked;
  /** Bundles, as texts. */
  readonly behaviour: { readonly before: string; readonly after: string };
  readonly readings: AskedReadings;
  readonly rejudge: RejudgeWork;
}

/** What each comes to. */
export interface LongAnswer {
  /** A document as JSON. */
  readonly check: string;
  /** None where a pack is too faulty for its trials to be run. */
  readonly trials: string | undefined;
  readonly behaviour: ComparedBehaviour;
  readonly readings: ReadingsOfStore;
  readonly rejudge: RejudgedAnswer;
}

export type WorkName = keyof LongWork;

/** A piece of work, as a worker is handed it. */
export interface Handed<Name extends WorkName = WorkName> {
  readonly name: Name;
  readonly work: LongWork[Name];
}

/** What a worker says of the piece that it was handed last, as one thread can hand it to another. */
export type FromWorker =
  | { readonly says: 'working'; readonly working: Working }
  | { readonly says: 'done'; readonly answer: unknown }
  | { readonly says: 'failed'; readonly message: string; readonly code?: string };
