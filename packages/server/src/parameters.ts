import { text } from './schema.ts';

/** The id of a command or of a request to begin a job. The facts get it with a point and a number behind it. */
export const requestId = text({
  pattern: '^[A-Za-z0-9_-]{8,64}$',
  description:
    'Made by the client, unique for each thing that it asks for, such as a UUID. The same request may be sent again under its id, and is then answered as it was the first time.',
  examples: ['0190a6f2-7d1c-7c5e-9f7b-2f4a5d3e6c11'],
});

export const person = text({ minLength: 1, maxLength: 200, description: 'Who acts: a person of the job' });

/** A day in the query of an address. */
export const dayInQuery = text({ pattern: '^\\d{4}-\\d{2}-\\d{2}$', examples: ['2026-03-02'] });

/** The name of a job in an address. */
export const jobInPath = text({
  description: 'The name of the job',
  examples: ['2026-11-25-set-clearances-3f1c9a07d2b4'],
});
