import { type Pack, pointerTo } from '@ferrule/engine';
import { mapsIn } from '../maps-in.ts';
import { wordsOf } from '../name-words.ts';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const literalBore: DiagnosticKind = {
  code: 'literal-bore',
  severity: 'warning',
  says: 'One bore is named by its number in work that is done at every bore.',
  marks: 'value',
  when: 'written',
  examine: literalBores,
};

const keys = ['do', 'title', 'photograph', 'turn-until'] as const;

function* literalBores({ pack }: Subject): Generator<Finding> {
  yield* inDerived(pack);
  const numbered = boreAfter(pack);
  for (const { node, pointer, inBore } of writtenNodes(pack)) {
    if (!inBore) continue;
    if ('perform' in node) {
      const bore = node.given?.bore ?? '';
      if (/^\d+$/.test(bore))
        yield {
          pointer: pointerTo(pointer, 'given', 'bore'),
          message: `This stands in a bore, and performs ${node.perform} at bore ${bore} each time.`,
          remedy: 'Did you mean given: { bore: bore }?',
        };
    } else if ('step' in node) {
      for (const key of keys) {
        const text = node[key] ?? '';
        // A text that also says {bore} speaks of another one on purpose.
        const found = text.includes('{bore}') ? null : numbered.exec(text);
        if (found === null) continue;
        yield {
          pointer: pointerTo(pointer, key),
          message: `This is done at every bore in turn, and says "${found[0].trim()}" each time.`,
          remedy: `Write ${found[1]} {bore}.`,
        };
      }
    }
  }
}

/** A word for what there is in each bore, with a number after it that counts nothing: `pump 3`, not `pump 3 mm`. */
function boreAfter({ parts = {}, states = {} }: Pack): RegExp {
  const own = [...Object.entries(parts), ...Object.entries(states)].flatMap(([id, one]) =>
    one.per === undefined ? [] : [wordsOf(id).at(-1) ?? ''],
  );
  const words = [...new Set(['bore', 'cylinder', ...own])].filter((word) => word.length > 2);
  return new RegExp(
    String.raw`\b(${words.join('|')})\s+\d{1,2}(?=[\s.,;:)]|$)(?![.,]\d|\s*(?:mm|cm|m|in|°|N|bar|min|s|h|r/|%|times|turns?)(?:\W|$))`,
    'iu',
  );
}

/** A value that is calculated for each bore, out of what was read at one of them. */
function* inDerived({ procedures }: Pack): Generator<Finding> {
  for (const [name, procedure] of Object.entries(procedures)) {
    for (const [id, { per, is }] of Object.entries(procedure.derived ?? {})) {
      if (![per ?? []].flat().includes('bore')) continue;
      const pointer = pointerTo('/procedures', name, 'derived', id, 'is');
      for (const [map, at] of mapsIn({ is }, pointer.slice(0, -'/is'.length))) {
        for (const [key, value] of Object.entries(map)) {
          for (const [number, one] of [value].flat().entries()) {
            const [all, entry] = typeof one === 'string' ? (/^([a-z][a-z0-9.-]*)@\d+$/.exec(one) ?? []) : [];
            if (all === undefined) continue;
            yield {
              pointer: pointerTo(at, key, ...(Array.isArray(value) ? [number] : [])),
              message: `${id} is calculated at every bore, and from ${all} each time.`,
              remedy: `Write ${entry}: at each bore that is its own.`,
            };
          }
        }
      }
    }
  }
}
