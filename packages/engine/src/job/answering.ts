import type { Batch } from './batch.ts';
import type { Refusal } from './refusal.ts';

/** What a command comes to: the batch that it fills, or why nothing has changed. */
export type Answering = Batch | readonly Refusal[];
