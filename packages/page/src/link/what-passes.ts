import type { Problem } from './documents.ts';

/** What is over when the server is well again, or reached again: what answered instead of it counts like no answer. */
const passing: readonly string[] = [
  'stopping',
  'not-written',
  'store-gone',
  'too-many-requests',
  'no-problem-document',
];

/** What the same request will be answered for good. */
const aboutRequest: readonly string[] = [
  'invalid-request',
  'malformed-body',
  'malformed-request',
  'too-large',
  'id-used',
];

/** Whether a problem is over by itself, so that the same is asked again. */
export const passes = ({ code }: Problem): boolean => passing.includes(code);

/** Whether a problem lies in what was asked for: asking again changes nothing. */
export const isAboutRequest = ({ code }: Problem): boolean => aboutRequest.includes(code);
