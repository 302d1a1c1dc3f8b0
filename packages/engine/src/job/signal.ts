import type { Side } from '../measure/index.ts';

/** What a fact means to the control. No signal carries a measured number. */
export type Signal =
  | { readonly signal: 'started' }
  | { readonly signal: 'branched'; readonly truth: readonly boolean[] }
  | { readonly signal: 'acknowledged' }
  | { readonly signal: 'done' }
  | { readonly signal: 'omitted' }
  | { readonly signal: 'recorded'; readonly entry: number }
  | { readonly signal: 'observed'; readonly entry: number; readonly answer: number }
  | { readonly signal: 'identified'; readonly entry: number; readonly part: PartOutcome }
  | { readonly signal: 'judged'; readonly outcome: JudgedOutcome }
  | { readonly signal: 'released'; readonly release: number }
  | { readonly signal: 'witnessed' }
  /** `node` is the step that took the entry. */
  | { readonly signal: 'struck'; readonly entry: number; readonly node: number }
  | { readonly signal: 'undone'; readonly node: number }
  | { readonly signal: 'parked' }
  | { readonly signal: 'resumed' }
  | { readonly signal: 'closed'; readonly finished: boolean };

export type PartOutcome = 'found' | 'own' | 'other' | 'renewed';
export type JudgedOutcome = 'conforming' | 'nonconforming' | 'inconclusive' | Side;

export const signalNames = [
  'started',
  'branched',
  'acknowledged',
  'done',
  'omitted',
  'recorded',
  'observed',
  'identified',
  'judged',
  'released',
  'witnessed',
  'struck',
  'undone',
  'parked',
  'resumed',
  'closed',
] as const satisfies readonly Signal['signal'][];
