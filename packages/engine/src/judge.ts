// Judging facts of a job by another plan than its own stands apart: whoever runs jobs judges by `decide`.
export type { Indication, ReadingEntry } from './job/repeats.ts';
export { takenReading } from './job/taken.ts';
export { exactly, writeVerdict } from './job/write-verdict.ts';
