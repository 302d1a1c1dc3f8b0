import { type Frame, listOf } from './frame.ts';
import type { Step } from './generated/document.ts';
import type { Effect, Guard } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { placed } from './tracked.ts';
import type { Parts } from './writing.ts';

/** What the changes of a step come to. */
interface Changes {
  readonly effects: readonly Effect[];
  /** That each state is what it is changed from. */
  readonly guards: readonly Guard[];
  /** The values that the states are given, for the laws. */
  readonly entering: ReadonlyMap<string, string>;
}

const none: Changes = { effects: [], guards: [], entering: new Map() };

/** Reads the states that a step changes. A change that says nothing that could be tracked is reported and left out. */
export function changesOf(written: Step, frame: Frame, pointer: string, parts: Parts): Changes {
  if (written.changes === undefined) return none;
  const { tracked, report } = parts;
  const effects: Effect[] = [];
  const guards: Guard[] = [];
  const entering = new Map<string, string>();
  for (const [state, change] of Object.entries(written.changes)) {
    const at = pointerTo(pointer, 'changes', state);
    const cell = tracked.state(state, frame, at);
    const from = listOf(change[0]);
    const to = listOf(change[1])[0] ?? '';
    if (cell === undefined) continue;
    if (Array.isArray(change[1])) report.add('wrong-form', pointerTo(at, 1), 'A state changes to one value.');
    const values = from.flatMap((value) => tracked.value(state, value, pointerTo(at, 0)) ?? []);
    const target = tracked.value(state, to, pointerTo(at, 1));
    if (target === undefined) continue;
    if (values.length > 0 && values.every((value) => value === target))
      report.add('wrong-value', at, `${state} would stay ${to}: that is no change.`);
    entering.set(state, to);
    effects.push({ cell, to: target });
    guards.push({
      test: { cell, among: values },
      because: {
        guard: 'change-from',
        says: `${placed(state, frame.bore)} has to be ${from.join(' or ')} before ${written.step}.`,
      },
      pointer: at,
    });
  }
  return { effects, guards, entering };
}
