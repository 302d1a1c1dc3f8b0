import { isProblem, type Problem, problem } from '../problem.ts';
import { GaveUp } from './lane.ts';

/** Why there is no answer to work about a pack: it was given up, or stopped. What is no such reason is thrown on. */
export const gaveUp =
  ({ pack, revision }: { readonly pack: string; readonly revision: string }) =>
  (error: unknown): Problem => {
    if (isProblem(error)) return error;
    if (!(error instanceof GaveUp)) throw error;
    const detail = `${pack} ${revision} could not be gone through here. ${error.message}`;
    return problem('examination-gave-up', detail, { operands: { pack, revision } });
  };
