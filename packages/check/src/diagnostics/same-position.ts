import { pointerTo, type written } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const samePosition: DiagnosticKind = {
  code: 'same-position',
  severity: 'error',
  says: 'Two marks, or two stops, of one engine stand at the same crank position.',
  marks: 'value',
  when: 'written',
  examine: samePositions,
};

interface Position {
  readonly name: string;
  readonly at: string;
  readonly pointer: string;
}

function* samePositions({ pack }: Subject): Generator<Finding> {
  for (const [id, variant] of Object.entries(pack.variants)) {
    const pointer = pointerTo('/variants', id);
    for (const [what, positions] of positionsOf(variant, pointer)) {
      for (const [index, position] of positions.entries()) {
        const first = positions.slice(0, index).find((one) => degrees(one.at) === degrees(position.at));
        if (first === undefined) continue;
        yield {
          pointer: position.pointer,
          message: `${first.name} stands at ${first.at} too, and two ${what} at one position are one.`,
          remedy: 'Correct the angle, or take one of them out.',
          other: [{ pointer: first.pointer, message: first.name }],
        };
      }
    }
  }
}

const positionsOf = (
  { marks = {}, rotation }: written.Variant,
  pointer: string,
): readonly (readonly [string, readonly Position[]])[] => [
  [
    'marks',
    Object.entries(marks).map(([name, { at }]) => ({
      name,
      at,
      pointer: pointerTo(pointer, 'marks', name, 'at'),
    })),
  ],
  [
    'stops',
    (rotation?.stops ?? []).map(({ at }, index) => ({
      name: `stop ${index + 1}`,
      at,
      pointer: pointerTo(pointer, 'rotation', 'stops', index, 'at'),
    })),
  ],
];

/** An angle without the ways of writing it. What is no number was reported as it was read. */
const degrees = (text: string): string =>
  String(Number(/^[\d.,]+/.exec(text.trim())?.[0]?.replace(',', '.')));
