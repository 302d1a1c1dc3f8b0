import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameShape: DiagnosticKind = {
  code: 'same-shape',
  severity: 'warning',
  says: 'The serial numbers of two kinds of part have one shape, so that one can be typed for the other.',
  marks: 'value',
  examine: sameShapes,
};

function* sameShapes({ pack }: Subject): Generator<Finding> {
  const seen = new Map<string, string>();
  for (const [id, { identity }] of Object.entries(pack.parts ?? {})) {
    // A shape without signs of its own tells nothing of what it is on.
    if (identity === undefined || !/"[^"]+"|[B-Zb-z]/.test(identity)) continue;
    const first = seen.get(identity);
    if (first === undefined) seen.set(identity, id);
    else {
      const [copy, own] = isCalled(id, identity) && !isCalled(first, identity) ? [first, id] : [id, first];
      yield {
        pointer: pointerTo('/parts', copy, 'identity'),
        message: `${copy} and ${own} have serial numbers of one shape, ${identity}: the number of one would pass for the other.`,
        remedy: `Write the shape that is on ${copy}.`,
        other: [{ pointer: pointerTo('/parts', own, 'identity'), message: `the shape of ${own}` }],
      };
    }
  }
}

/** Whether the last letter of the signs in a shape is the first of a word of the name: MS for a shim. */
function isCalled(id: string, identity: string): boolean {
  const letter = /"[^"]*?(\p{L})[^\p{L}"]*"/u.exec(identity)?.[1]?.toLowerCase();
  return letter !== undefined && id.split('-').some((word) => word.startsWith(letter));
}
