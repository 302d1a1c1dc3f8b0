import { type Pack, pointerTo } from '@ferrule/engine';
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
