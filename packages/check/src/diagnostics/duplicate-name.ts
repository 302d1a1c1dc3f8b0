import { pointerTo } from '@ferrule/engine';
import { mapsIn } from '../maps-in.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const duplicateName: DiagnosticKind = {
  code: 'duplicate-name',
  severity: 'error',
  says: 'Two steps side by side or two laws have one name, or a list has a value twice.',
  marks: 'value',
  when: 'written',
  examine: duplicatesInLists,
};

/** Lists of names in which a second time says nothing. */
const lists = [
  'variants',
  'variant',
  'conditions',
  'persons',
  'equipment',
  'supplies',
  'spares',
  'safety',
  'hazards',
  'with',
  'afterwards',
  'on-resuming',
  'exports',
  'takes',
  'conforming',
  'matched-with',
  'forbid',
  'operation',
  'remove',
  'renew',
  'disturbs',
  'raises',
  'lowers',
] as const;

function* duplicatesInLists({ pack }: Subject): Generator<Finding> {
  const { trials: _, ...rest } = pack;
  for (const [map, pointer] of mapsIn(rest, '')) {
    for (const key of lists) {
      const list = Object.hasOwn(map, key) ? map[key] : undefined;
      if (!Array.isArray(list)) continue;
      for (const [number, item] of list.entries()) {
        const first = list.indexOf(item);
        if (typeof item !== 'string' || first === number) continue;
        yield {
          pointer: pointerTo(pointer, key, number),
          message: `${item} stands in this list twice.`,
          remedy: 'Name the other one that is meant, or take it out.',
          other: [{ pointer: pointerTo(pointer, key, first), message: 'the other one' }],
        };
      }
    }
  }
}
