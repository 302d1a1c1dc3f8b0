import { isFullDate } from '@ferrule/engine';
import { type Problem, problem } from './problem.ts';

interface Days {
  readonly from?: string;
  readonly until?: string;
}

/** What is wrong with the days of a query: one that the calendar does not have, or a last one before the first. */
export function daysProblem({ from, until }: Days): Problem | undefined {
  for (const [name, day] of Object.entries({ from, until }))
    if (day !== undefined && !isFullDate(day))
      return problem('invalid-request', `The calendar has no ${day}.`, {
        ...{ pointer: `/query/${name}`, operands: { [name]: day } },
      });
  if (from !== undefined && until !== undefined && until < from)
    return problem(
      'invalid-request',
      `No day is from ${from} and until ${until}: the last one is before the first.`,
      {
        ...{ pointer: '/query/until', operands: { from, until } },
      },
    );
  return undefined;
}
