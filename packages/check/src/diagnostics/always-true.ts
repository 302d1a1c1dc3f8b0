import { pointerTo } from '@ferrule/engine';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const alwaysTrue: DiagnosticKind = {
  code: 'always-true',
  severity: 'warning',
  says: 'A condition names every variant that there is, so nothing is passed over for it.',
  marks: 'value',
  examine: allAlwaysTrue,
};

function* allAlwaysTrue({ pack }: Subject): Generator<Finding> {
  const variants = Object.keys(pack.variants);
  for (const { node, pointer, procedure } of writtenNodes(pack)) {
    const condition = 'only-if' in node ? node['only-if'] : undefined;
    if (condition === undefined || !('variant' in condition)) continue;
    const named = [condition.variant].flat().map(String);
    const possible = pack.procedures[procedure ?? '']?.variants ?? variants;
    if (possible.length < 2 || !possible.every((one) => named.includes(one))) continue;
    yield {
      pointer: pointerTo(pointer, 'only-if'),
      message: `This is for ${named.join(', ')}, and there is no other variant.`,
      remedy: 'Name the variants that it is for, or take the condition out.',
    };
  }
}
