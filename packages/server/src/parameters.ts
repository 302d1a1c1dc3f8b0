import { text } from './schema.ts';

const REQUEST_ID = '^[A-Za-z0-9_-]{8,64}$';
const DAY = '^\\d{4}-\\d{2}-\\d{2}$';
const DIGEST = '^sha256:[0-9a-f]{64}$';
const NUMBER = '^[0-9]{1,9}$';
const COUNT = '^[1-9][0-9]{0,8}$';

/** What a text has to be that did not come through one of these. */
export const patternWords: Readonly<Record<string, string>> = {
  [REQUEST_ID]: 'has to be 8 to 64 letters, digits, hyphens or low lines',
  [DAY]: 'has to be a day, such as 2026-03-02',
  [DIGEST]: 'has to be sha256: with 64 digits from 0 to f behind it',
  [NUMBER]: 'has to be a whole number of at most nine digits',
  [COUNT]: 'has to be a whole number from 1 to 999999999',
};

/** The id of a command or of a request to begin a job. The facts get it with a point and a number behind it. */
export const requestId = text({
  pattern: REQUEST_ID,
  description:
    'Made by the client, unique for each thing that it asks for, such as a UUID. The same request may be sent again under its id, and is then answered as it was the first time.',
  examples: ['0190a6f2-7d1c-7c5e-9f7b-2f4a5d3e6c11'],
});

export const person = text({ minLength: 1, maxLength: 200, description: 'Who acts: a person of the job' });

/** A day in the query of an address. */
export const dayInQuery = text({ pattern: DAY, examples: ['2026-03-02'] });

/** Numbers of an address are texts, until they are read. */
export const numberInQuery = (description: string) => text({ pattern: NUMBER, description });
export const countInQuery = (description: string) => text({ pattern: COUNT, description });

/** The name of a job in an address. */
export const jobInPath = text({
  description: 'The name of the job',
  examples: ['2026-11-25-set-clearances-3f1c9a07d2b4'],
});
