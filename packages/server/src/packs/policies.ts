import { statSync } from 'node:fs';
import type { Policy } from '@ferrule/signing';
import { type PolicyReading, policyBeside, readPolicyFile } from '@ferrule/source';
import { type Problem, problem } from '../problem.ts';

/** What counts for a folder now: the policy, where there is one, and what shows that it has changed. */
export interface PolicyNow {
  readonly policy?: Policy;
  /** Its file. */
  readonly path?: string;
  readonly stamp: string;
}

/**
 * The policies that packs are held against: the file that was named when the server was started, or else `policy.yaml` beside the
 * packs of each shelf. A file is read again when it has changed, so a key that is taken out of it counts no longer.
 */
export class Policies {
  readonly #named: string | undefined;
  readonly #read = new Map<string, { readonly stamp: string; readonly reading: PolicyReading }>();

  constructor(named?: string) {
    this.#named = named;
  }

  /** The policy for the folder of a pack. One with faults is a problem: what it was meant to forbid would otherwise pass. */
  async of(folder: string): Promise<PolicyNow | Problem> {
    const path = this.#named ?? policyBeside(folder);
    if (path === undefined) return { stamp: '' };
    const found = statSync(path, { throwIfNoEntry: false });
    const stamp = `${path} ${found?.size} ${found?.mtimeMs}`;
    const before = this.#read.get(path);
    const reading = before?.stamp === stamp ? before.reading : await readPolicyFile(path);
    this.#read.set(path, { stamp, reading });
    if (reading.policy !== undefined) return { policy: reading.policy, path, stamp };
    const [first] = reading.diagnostics;
    const line = first?.span?.line;
    // What was found may name files of this machine; the code and the line do not.
    return problem('faulty-policy', 'The policy that says whose signatures count cannot be relied on.', {
      operands: { code: first?.code, ...(line === undefined ? {} : { line }) },
    });
  }
}
