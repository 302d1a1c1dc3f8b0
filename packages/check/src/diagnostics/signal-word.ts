import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const signalWord: DiagnosticKind = {
  code: 'signal-word',
  severity: 'warning',
  says: 'The text of a hazard begins with a signal word, which is shown by itself.',
  marks: 'value',
  examine: signalWords,
};

const beginning = /^\s*(danger|warning|caution|notice|attention|note)\b\s*[:!.–—-]/i;

function* signalWords({ pack }: Subject): Generator<Finding> {
  for (const [id, { signal, text }] of Object.entries(pack.hazards ?? {})) {
    const [, word] = beginning.exec(text) ?? [];
    if (word === undefined) continue;
    const isSame = word.toLowerCase() === signal;
    yield {
      pointer: pointerTo('/hazards', id, 'text'),
      severity: isSame ? 'warning' : 'error',
      message: isSame
        ? `${word} is said twice: the signal word is shown before the text.`
        : `The text says ${word}, and the signal word is ${signal}.`,
      remedy: isSame
        ? 'Leave it out of the text.'
        : 'Decide which of the two it is, and say it with signal: alone.',
      other: [{ pointer: pointerTo('/hazards', id, 'signal'), message: 'the signal word' }],
    };
  }
}
