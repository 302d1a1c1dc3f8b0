import { type PlanTolerance, pointerTo, type Side, valueAt, type written } from '@ferrule/engine';
import { holdNamed } from '../hold-named.ts';
import { proseWithin } from '../prose.ts';
import { resolvedSteps } from '../resolved-steps.ts';
import { quantitiesIn } from '../text-quantities.ts';
import { type WrittenStep, writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const contrarySide: DiagnosticKind = {
  code: 'contrary-side',
  severity: 'warning',
  says: 'Words speak of a limit on one side, and the limit is on the other.',
  marks: 'value',
  examine: contrarySides,
};

/** How a limit is said, by the side on which it lies. */
const limitWords: Readonly<Record<Side, RegExp>> = {
  low: /\b(?:at least|(?:not|no|never) (?:be )?(?:less|smaller|lower|fewer) than|(?:not|never) (?:be |fall |drop |go )*(?:below|under)|or more|minimum)\b/i,
  high: /\b(?:at most|(?:not|no|never) (?:be )?(?:more|greater|larger|higher) than|(?:not|never) (?:be |rise |go )*(?:above|over|exceed)|or less|maximum)\b/i,
};
/** How a miss is said, by the side on which the value lies. */
const missWords: Readonly<Record<Side, RegExp>> = {
  low: /\btoo (?:low|small|little|narrow|short|thin|shallow|cold)\b|\bbelow (?:its|the|their) (?:lower )?limit/i,
  high: /\btoo (?:high|large|big|much|wide|great|long|thick|deep|warm|hot)\b|\babove (?:its|the|their) (?:upper )?limit/i,
};
const nameWords: Readonly<Record<Side, RegExp>> = {
  low: /(?:^|-)(?:min|minimum|at-least)(?:-|$)/,
  high: /(?:^|-)(?:max|maximum|at-most)(?:-|$)/,
};
const missNames: Readonly<Record<Side, RegExp>> = {
  low: /(?:^|-)(?:too-)?low$/,
  high: /(?:^|-)(?:too-)?high$/,
};

const opposite = (side: Side): Side => (side === 'low' ? 'high' : 'low');
const saysOnly = (text: string, words: Readonly<Record<Side, RegExp>>, side: Side): string | undefined =>
  words[opposite(side)].test(text) ? undefined : words[side].exec(text)?.[0].toLowerCase();

function* contrarySides(subject: Subject): Generator<Finding> {
  const steps = resolvedSteps(subject);
  const seen = new Set<string>();
  for (const written of writtenSteps(subject.pack)) {
    const tolerances = (steps.get(written.pointer) ?? []).flatMap(({ plan, node }) =>
      node.check?.check === 'tolerance' ? (plan.tolerances[node.check.tolerance] ?? []) : [],
    );
    const [tolerance] = tolerances;
    if (tolerance === undefined) continue;
    const [side, second] = tolerance.sides;
    if (side !== undefined && second === undefined) {
      yield* inWords(subject, written, tolerance, side, seen);
      const remedy = written.step['if-nonconforming'];
      if (remedy !== undefined && !('when-high' in remedy))
        yield* inRemedy(subject, written, remedy, `${written.pointer}/if-nonconforming`, tolerance, side);
    }
    const bad = written.step['if-nonconforming'];
    if (bad === undefined || !('when-high' in bad)) continue;
    yield* inRemedy(
      subject,
      written,
      bad['when-high'],
      `${written.pointer}/if-nonconforming/when-high`,
      tolerance,
      'high',
    );
    yield* inRemedy(
      subject,
      written,
      bad['when-low'],
      `${written.pointer}/if-nonconforming/when-low`,
      tolerance,
      'low',
    );
  }
}

const limitSide = (side: Side): string => (side === 'low' ? 'a lower limit' : 'an upper limit');

/** What is said of a limit on one side: by its name and title, by its reading, and by the step that judges it. */
function* inWords(
  { pack }: Subject,
  { step, pointer }: WrittenStep,
  tolerance: PlanTolerance,
  side: Side,
  seen: Set<string>,
): Generator<Finding> {
  const written = valueAt(pack, tolerance.pointer) as written.Tolerance;
  const procedure = tolerance.pointer.split('/').slice(0, 3).join('/');
  const of = written.of.split('@')[0] ?? '';
  const reading = valueAt(pack, pointerTo(procedure, 'readings', of)) as written.Reading | undefined;
  const measurand = reading?.measurand ?? '';
  const other = [{ pointer: tolerance.pointer, message: `the limit: ${tolerance.says}` }];
  const remedy = 'Correct the words, or put the limit on the other side.';
  if (!seen.has(tolerance.pointer)) {
    seen.add(tolerance.pointer);
    const id = tolerance.pointer.slice(tolerance.pointer.lastIndexOf('/') + 1);
    const title = saysOnly(written.title ?? '', limitWords, opposite(side));
    const named = saysOnly(id, nameWords, opposite(side));
    // What is called so is the value itself: the maximum speed may well have a lower limit.
    const isOfValue = (word: string): boolean =>
      new RegExp(word.replaceAll('-', '[ -]?'), 'i').test(`${of} ${measurand}`);
    if (title !== undefined && !isOfValue(title))
      yield {
        pointer: pointerTo(tolerance.pointer, 'title'),
        message: `This says "${title}", and there is only ${limitSide(side)}: ${tolerance.says}.`,
        remedy,
      };
    else if (named !== undefined && !isOfValue(named.replace(/^-|-$/g, '')))
      yield {
        pointer: tolerance.pointer,
        message: `${id} has only ${limitSide(side)}: ${tolerance.says}.`,
        remedy,
      };
    const said = limitOfKind(measurand, opposite(side), tolerance);
    if (said !== undefined)
      yield {
        pointer: pointerTo(procedure, 'readings', of, 'measurand'),
        message: `This says "${said}", and there is only ${limitSide(side)}: ${tolerance.says}.`,
        remedy,
        other,
      };
  }
  for (const key of ['do', 'title'] as const) {
    const said = limitOfKind(step[key] ?? '', opposite(side), tolerance);
    if (said !== undefined)
      yield {
        pointer: pointerTo(pointer, key),
        message: `This says "${said}", and what is judged has only ${limitSide(side)}: ${tolerance.says}.`,
        remedy,
        other,
      };
  }
}

/** The words for a limit on one side, where what they limit is of the kind that is judged or a fact: `at least {variant.low}`. */
function limitOfKind(text: string, side: Side, tolerance: PlanTolerance): string | undefined {
  const said = saysOnly(text, limitWords, side);
  if (said === undefined) return undefined;
  const after = text.slice(text.toLowerCase().indexOf(said) + said.length);
  const [first] = quantitiesIn(after);
  const isNear =
    first !== undefined && first.before.length < 12 && first.quantity.kind === tolerance.value.type.kind;
  return isNear || /^[^.]{0,12}\{variant\./.test(after) ? said : undefined;
}

/** What follows a miss on one side: the texts of its rework, and the hold that it leads to. */
function* inRemedy(
  { pack }: Subject,
  { procedure }: WrittenStep,
  remedy: written.Remedy,
  pointer: string,
  tolerance: PlanTolerance,
  side: Side,
): Generator<Finding> {
  const other = [{ pointer: tolerance.pointer, message: `the limits: ${tolerance.says}` }];
  const leads = `${tolerance.name.split('@')[0]} leads here when the value is too ${side}`;
  const fault = (text: string, at: string): Finding | undefined => {
    const said = saysOnly(text, missWords, opposite(side));
    if (said === undefined) return undefined;
    return {
      pointer: at,
      message: `This says "${said}", and ${leads}.`,
      remedy: 'Correct the words, or the side that leads here.',
      other,
    };
  };
  if ('rework' in remedy) {
    for (const { text, pointer: at } of proseWithin(remedy.rework, pointerTo(pointer, 'rework'))) {
      const found = fault(text, at);
      if (found !== undefined) yield found;
    }
  }
  const key = 'rework' in remedy ? 'exhausted' : 'hold';
  const id = 'rework' in remedy ? remedy.exhausted : remedy.hold;
  const named = holdNamed(pack, procedure, id);
  if (named === undefined) return;
  const found = fault(named.hold.text, pointerTo(named.pointer, 'text'));
  if (found !== undefined) yield found;
  else if (missNames[opposite(side)].test(id))
    yield {
      pointer: pointerTo(pointer, key),
      message: `${id} is for what is too ${opposite(side)} by its name, and ${leads}.`,
      remedy: 'Name the hold for this side, or change the side.',
      other,
    };
}
