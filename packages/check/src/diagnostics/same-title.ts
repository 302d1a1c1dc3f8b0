import { namedSections, pointerTo, type written } from '@ferrule/engine';
import { wordsOf } from '../name-words.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameTitle: DiagnosticKind = {
  code: 'same-title',
  severity: 'warning',
  says: 'Two things of one kind have the same words for people, and nobody can tell them apart.',
  marks: 'value',
  examine: sameTitles,
};

interface Label {
  readonly id: string;
  readonly text: string;
  readonly pointer: string;
}

/** In these a thing is told by its text. */
const worded = ['conditions', 'hazards', 'holds'] as const;

function* sameTitles({ pack }: Subject): Generator<Finding> {
  for (const section of namedSections) {
    const key = worded.some((one) => one === section) ? 'text' : 'title';
    yield* among(labels(pack[section], key, pointerTo('', section)));
  }
  for (const [id, variant] of Object.entries(pack.variants))
    yield* among(labels(variant.marks, 'title', pointerTo('/variants', id, 'marks')));
  for (const [id, procedure] of Object.entries(pack.procedures))
    yield* inProcedure(procedure, pointerTo('/procedures', id));
}

function* inProcedure(procedure: written.Procedure, pointer: string): Generator<Finding> {
  const { readings, observations, derived, holds, tolerances } = procedure;
  yield* among(labels(readings, 'measurand', pointerTo(pointer, 'readings')));
  yield* among(labels(observations, 'text', pointerTo(pointer, 'observations')));
  yield* among(labels(derived, 'title', pointerTo(pointer, 'derived')));
  yield* among(labels(holds, 'text', pointerTo(pointer, 'holds')));
  yield* among(labels(tolerances, 'title', pointerTo(pointer, 'tolerances')));
  for (const [id, { answers }] of Object.entries(observations ?? {})) {
    const at = pointerTo(pointer, 'observations', id, 'answers');
    yield* among(
      Object.entries(answers).map(([answer, text]) => ({ id: answer, text, pointer: pointerTo(at, answer) })),
    );
  }
}

const labels = (declared: object | undefined, key: string, pointer: string): readonly Label[] =>
  Object.entries(declared ?? {}).flatMap(([id, one]) => {
    const text: unknown = typeof one === 'object' && one !== null ? Reflect.get(one, key) : undefined;
    return typeof text === 'string' ? [{ id, text, pointer: pointerTo(pointer, id, key) }] : [];
  });

/** How many words of its name a label has. */
function wordsHad({ id, text }: Label): number {
  const words = wordsOf(text);
  return wordsOf(id).filter((word) => words.includes(word)).length;
}

function* among(labels: readonly Label[]): Generator<Finding> {
  const seen = new Map<string, Label>();
  for (const label of labels) {
    const plain = label.text
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, ' ')
      .trim();
    const first = seen.get(plain);
    if (first === undefined) {
      seen.set(plain, label);
      continue;
    }
    // The words belong to the one whose name they say: the other one has them by mistake.
    const [copy, own] = wordsHad(first) < wordsHad(label) ? [first, label] : [label, first];
    yield {
      pointer: copy.pointer,
      message: `${own.id} has the same words as ${copy.id}, and a person cannot tell which of them is meant.`,
      remedy: `Say what tells ${copy.id} from ${own.id}.`,
      other: [{ pointer: own.pointer, message: `the words of ${own.id}` }],
    };
  }
}
