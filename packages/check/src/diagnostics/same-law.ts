import { pointerTo, type written } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameLaw: DiagnosticKind = {
  code: 'same-law',
  severity: 'error',
  says: 'Two laws refuse the same under the same states.',
  marks: 'value',
  when: 'written',
  examine: sameLaws,
};

function* sameLaws({ pack }: Subject): Generator<Finding> {
  const seen = new Map<string, { readonly law: written.Interlock; readonly pointer: string }>();
  for (const [number, law] of (pack.interlocks ?? []).entries()) {
    const pointer = pointerTo('/interlocks', number, 'law');
    const { law: _, says: __, ...content } = law;
    const key = inOrder(content);
    const first = seen.get(key);
    if (first === undefined) seen.set(key, { law, pointer });
    // A law that was copied with its name is told as that.
    else if (first.law.law !== law.law)
      yield {
        pointer,
        message: `${law.law} refuses just what ${first.law.law} refuses.`,
        remedy: 'Name the state, value or operation that this one is about, or take it out.',
        other: [{ pointer: first.pointer, message: 'the other law' }],
      };
  }
}

/** What is written, however its keys and the values of its lists are put in order. */
function inOrder(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(inOrder).sort().join()}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify([value]);
  return `{${Object.entries(value)
    .filter(([key]) => !key.startsWith('x-'))
    .map(([key, inside]) => `${key}:${inOrder(inside)}`)
    .sort()
    .join()}}`;
}
