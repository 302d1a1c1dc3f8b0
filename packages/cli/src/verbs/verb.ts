import type { Command } from 'commander';

/** One verb of the command. Its work is loaded only when it is called, so that starting stays quick. */
export interface Verb {
  readonly name: string;
  readonly does: string;
  readonly hidden?: true;
  /** Calls to learn from: what stands behind the verb. */
  readonly examples?: readonly (readonly string[])[];
  /** What help says besides. */
  readonly more?: string;
  /** Adds arguments, options and the action. */
  define(command: Command): void;
}
