import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Command, InstrumentUsed, RefusalCode } from '@ferrule/engine';

/** One command of a conformance case, with the facts that it has to come to, or the refusals. */
export type Move = {
  readonly by: string;
  /** RFC 3339; a minute after the move before if not said. */
  readonly at?: string;
  readonly command: Command;
} & (
  | {
      /** Each fact of the batch in order, with at least these keys and values. */
      readonly facts: readonly object[];
    }
  | { readonly refused: readonly RefusalCode[] }
);

/** A conformance case: a pack as plain data, what people do in a job of it, and what that comes to. */
export interface ConformanceCase {
  readonly says: string;
  readonly pack: unknown;
  readonly procedure: string;
  readonly variant: string;
  /** Role: who. The first is who starts the job. */
  readonly persons: Readonly<Record<string, string>>;
  readonly instruments: readonly InstrumentUsed[];
  readonly commands: readonly Move[];
  readonly end: {
    readonly standing: 'at-step' | 'on-hold' | 'parked' | 'ready-to-close' | 'closed';
    readonly finished?: boolean;
    readonly hold?: string;
    /** State, part or crank, with its place: its value in words. */
    readonly states?: Readonly<Record<string, string>>;
  };
}

/** Every case in this folder by its name. */
export function conformanceCases(): readonly (readonly [name: string, one: ConformanceCase])[] {
  return readdirSync(import.meta.dirname)
    .filter((file) => file.endsWith('.json'))
    .sort()
    .map((file) => [
      file.slice(0, -'.json'.length),
      JSON.parse(readFileSync(join(import.meta.dirname, file), 'utf8')) as ConformanceCase,
    ]);
}
