import { proseOf } from '../prose.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unwrittenText: DiagnosticKind = {
  code: 'unwritten-text',
  severity: 'warning',
  says: 'A text says that it is still to be written, or says nothing.',
  marks: 'value',
  examine: unwrittenTexts,
};

const later =
  /^(?:tb[acd]|todo|fixme|to be (?:added|confirmed|decided|defined|done|written)|to do|later|text|place-?holder|lorem ipsum.*|fill in(?: later)?|see above|ditto|x+|)$/i;
/** Where a text ends without the signs after it. An expression for them would look at each run of signs again and again. */
function endOf(text: string): number {
  let end = text.length;
  while (end > 0 && /[\s.…?!_–—-]/.test(text[end - 1] ?? '')) end -= 1;
  return end;
}

const marked = /\b(?:TB[ACD]|TODO|FIXME|XXX+)\b/;

function* unwrittenTexts({ pack }: Subject): Generator<Finding> {
  for (const { text, pointer } of proseOf(pack)) {
    const said = text.slice(0, endOf(text)).trim();
    const isHazard = pointer.startsWith('/hazards/') && pointer.endsWith('/text');
    if (later.test(said) || marked.test(text))
      yield {
        pointer,
        severity: isHazard ? 'error' : 'warning',
        message:
          said === '' ? 'This text says nothing.' : `"${said}" is not what a technician needs to read here.`,
        remedy: isHazard
          ? 'Say what can happen, and how it is avoided.'
          : 'Write it, or leave the key out if nothing is to be said.',
      };
    else if (isHazard && said.split(/\s+/).length < 3)
      yield {
        pointer,
        message: `"${said}" names a hazard, and does not say what can happen and how it is avoided.`,
        remedy: 'Say both in whole sentences.',
      };
  }
}
