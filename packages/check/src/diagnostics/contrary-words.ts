import { pointerTo } from '@ferrule/engine';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const contraryWords: DiagnosticKind = {
  code: 'contrary-words',
  severity: 'warning',
  says: 'The words of a step say that something comes off or loose, and its state goes on or tight, or the other way round.',
  marks: 'value',
  examine: allContraryWords,
};

const onWords =
  /\b(?:fit|refit|mount|tighten|clamp|insert|install|connect|reconnect|attach|screw|plug|push|press|lay|put|set|seat|engage)\b|\bswitch\b.*\bon\b/i;
const offWords =
  /\b(?:remove|loosen|slacken|withdraw|unplug|unscrew|undo|disconnect|detach|dismantle|disengage)\b|\b(?:take|lift|pull|draw|peel|push|turn)\b.*\b(?:off|out)\b|\bswitch\b.*\boff\b/i;
/** What a step begins with is what it does. */
const beginsOn =
  /^(?:fit|refit|mount|tighten|clamp|insert|install|connect|reconnect|attach|plug)\b(?!.*\b(?:off|out)\b)/i;
const beginsOff =
  /^(?:remove|loosen|slacken|withdraw|unplug|unscrew|undo|disconnect|detach|dismantle|disengage)\b|^(?:take|lift|pull|peel)\b.*\b(?:off|out)\b/i;

const on: ReadonlySet<string> = new Set(
  'on in fitted mounted clamped tight tightened connected engaged seated plugged held'.split(' '),
);
const off: ReadonlySet<string> = new Set(
  'off out withdrawn removed absent loose loosened slack slackened disconnected disengaged free drawn unplugged'.split(
    ' ',
  ),
);

function* allContraryWords({ pack }: Subject): Generator<Finding> {
  for (const { step, pointer } of writtenSteps(pack)) {
    const text = step.do;
    if (text === undefined) continue;
    const says =
      beginsOff.test(text) && !onWords.test(text)
        ? 'off'
        : beginsOn.test(text) && !offWords.test(text)
          ? 'on'
          : undefined;
    const ways = Object.entries(step.changes ?? {}).flatMap(([state, [from = [], to]]) => {
      const way = wayOf(from, String(to));
      return way === undefined ? [] : [{ state, way, to: String(to) }];
    });
    const [first] = ways;
    if (says === undefined || first === undefined || ways.some((one) => one.way === says)) continue;
    yield {
      pointer: pointerTo(pointer, 'do'),
      message: `The words say that something comes ${says}, and ${first.state} becomes ${first.to}.`,
      remedy: 'Correct the words, or the change.',
      other: [{ pointer: pointerTo(pointer, 'changes', first.state), message: 'the change' }],
    };
  }
}

/** Whether a change brings something on or off; undefined where its values do not say. */
function wayOf(from: string | readonly string[], to: string): 'on' | 'off' | undefined {
  const before = typeof from === 'string' ? [from] : from;
  if (before.length === 0) return undefined;
  if (on.has(to) && before.every((value) => off.has(value))) return 'on';
  return off.has(to) && before.every((value) => on.has(value)) ? 'off' : undefined;
}
