import { advance, type Control, type Plan, startControl } from '@ferrule/engine';
import type { FaultTold } from './examination.ts';

/** How things stand at the start of a way and after each visit on it. */
export function controlsAlong(plan: Plan, { signals, visits }: FaultTold): readonly Control[] {
  const controls = [startControl(plan)];
  let control = startControl(plan);
  let done = 0;
  for (const { until } of visits) {
    for (const signal of signals.slice(done, until)) control = advance(plan, control, signal);
    done = until;
    controls.push(control);
  }
  return controls;
}
