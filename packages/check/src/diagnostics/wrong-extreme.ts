import { pointerTo } from '@ferrule/engine';
import { operationsIn } from '../written-expressions.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const wrongExtreme: DiagnosticKind = {
  code: 'wrong-extreme',
  severity: 'warning',
  says: 'The lowest value stands for the highest, or the highest for the lowest.',
  marks: 'value',
  examine: wrongExtremes,
};

const named = {
  highest: /\b(?:highest|largest|greatest|widest|longest|thickest|strongest)\b/i,
  lowest: /\b(?:lowest|smallest|least|narrowest|shortest|thinnest|weakest)\b/i,
} as const;
const operators = { lowest: 'lowest', min: 'lowest', highest: 'highest', max: 'highest' } as const;
const opposite = { lowest: 'highest', highest: 'lowest' } as const;

function* wrongExtremes({ pack }: Subject): Generator<Finding> {
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    for (const [id, { is, title = '' }] of Object.entries(procedure.derived ?? {})) {
      const at = pointerTo('/procedures', name, 'derived', id, 'is');
      const all = [...operationsIn(is, at)].filter((one) => Object.hasOwn(operators, one.operator));
      const [only, another] = all;
      if (only === undefined || another !== undefined) continue;
      const found = operators[only.operator as keyof typeof operators];
      const other = opposite[found];
      const said = `${id.replaceAll('-', ' ')} ${title}`;
      const isNamedOther = named[other].test(said) && !named[found].test(said);
      // An upper limit on the lowest of several lets every other one be above it.
      const judged = Object.entries(procedure.tolerances ?? {}).find(
        ([, tolerance]) =>
          tolerance.of === id && tolerance[found === 'lowest' ? 'at-most' : 'at-least'] !== undefined,
      );
      const isWhole = typeof is === 'object' && is !== null && Object.hasOwn(is, only.operator);
      if (!isNamedOther && (judged === undefined || !isWhole)) continue;
      yield {
        pointer: only.pointer,
        message: isNamedOther
          ? `${id} is called ${named[other].exec(said)?.[0].toLowerCase()}, and is the ${found}.`
          : `${judged?.[0]} limits the ${found} of several on the side where all the others lie.`,
        remedy: `Did you mean ${other}?`,
        ...(judged === undefined
          ? {}
          : {
              other: [
                { pointer: pointerTo('/procedures', name, 'tolerances', judged[0]), message: 'the limit' },
              ],
            }),
      };
    }
  }
}
