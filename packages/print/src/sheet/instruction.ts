import {
  type Entry,
  inWords,
  type Pack,
  type Plan,
  type PlanCarry,
  type PlanRepeats,
  type PlanTolerance,
  type StepNode,
  valueAt,
  writeQuantity,
} from '@ferrule/engine';
import { limitsInBoth, stageInBoth } from '../both-systems.ts';
import { decisionInWords } from '../decision-words.ts';
import { amountInWords, formulaOf, lastName } from '../formula.ts';
import { type Insert, type Markup, markup } from '../markup.ts';
import { mergeTexts } from '../merge-texts.ts';
import { blank } from './boxes.ts';
import { ruleInWords } from './rule-in-words.ts';
import { selectionLines } from './selection-table.ts';
import { patternTable, settingLines } from './tightening.ts';
import type { Column } from './worklist.ts';
import {
  capital,
  letterOf,
  mergedForAll,
  roleTitle,
  sayingOf,
  titleOfTool,
  type Written,
} from './written.ts';

/** Texts of several places as one. */
type Merge = (texts: readonly string[]) => Insert;

export interface Instruction {
  readonly text: Markup;
  /** What differs from column to column, and stands in the cells. */
  readonly gaps: readonly (readonly string[])[];
}

/** What is done, in words, once for all columns. */
export function instruction(
  written: Written,
  at: readonly (StepNode | undefined)[],
  columns: readonly Column[],
): Instruction {
  const here = at.flatMap((step, column) => (step === undefined ? [] : [{ step, column }]));
  const gaps: (readonly string[])[] = [];
  /** A gap that is the value of the column is N, any other one is shown in the cells. */
  const merge: Merge = (texts) => {
    const merged = mergeTexts(texts);
    return merged.pieces.map((piece) => {
      if (typeof piece === 'string') return piece;
      const values = merged.gaps[piece] ?? [];
      const isColumn = values.every((value, place) => columns[here[place]?.column ?? -1]?.value === value);
      if (isColumn) return markup`<b class="gap">N</b>`;
      const shown = at.map((_, column) => values[here.findIndex((place) => place.column === column)] ?? '');
      const known = gaps.findIndex((gap) => gap.every((value, column) => value === shown[column]));
      return markup`<b class="gap">${gapName(known < 0 ? gaps.push(shown) - 1 : known)}</b>`;
    });
  };
  const steps = here.map(({ step }) => step);
  return { text: wordsOf(written, steps, merge, columns.length), gaps };
}

/** What is done in a rework, once for all bores that it is for. */
export const instructionForAll = (written: Written, steps: readonly StepNode[]): Markup =>
  wordsOf(written, steps, mergedForAll, 1);

/** What a gap in a text is called that the cells fill. */
export const gapName = (index: number): string => String.fromCharCode(80 + (index % 11));

function wordsOf(written: Written, steps: readonly StepNode[], merge: Merge, width: number): Markup {
  const { plan, pack, work } = written;
  const [first] = steps;
  if (first === undefined) return markup``;
  const said = merge(steps.map(sayingOf));
  const lines: Insert[] = [];
  if (first.act?.act === 'turn-to')
    lines.push(
      markup`<p>The stroke is proved by ${merge(steps.map((step) => (step.act?.act === 'turn-to' ? step.act.provedBy.replace(/\.$/, '') : '')))}.</p>`,
    );
  if (first.act?.act === 'tighten' && first.act.stages.some((stage) => stage.stage === 'torque'))
    lines.push(markup`<p>Torque: <b>${first.act.stages.map(stageInBoth).join(', then ')}</b></p>`);
  if (first.act?.act === 'tighten')
    lines.push(...settingLines(first.act, plan), ...patternTable(first.act, width === 1));
  lines.push(...entryLines(written, steps, merge, width), ...checkLines(written, steps));
  const only = first.onlyIf;
  const condition =
    only === undefined
      ? undefined
      : markup`<span class="only">Only if ${merge(steps.map((step) => (step.onlyIf === undefined ? '' : decisionInWords(plan, pack, step.onlyIf, work.stepOfEntry))))}:</span> `;
  return markup`<p>${condition}${said}${withWhat(written, steps)}</p>${lines}`;
}

/** What a step needs beside the instruments that its readings name, and whom. */
function withWhat({ plan, pack }: Written, steps: readonly StepNode[]): Insert {
  const instruments = new Set(
    steps.flatMap((step) =>
      step.entries.map((index) => {
        const entry = plan.entries[index];
        return entry?.entry === 'reading' ? entry.instrument : undefined;
      }),
    ),
  );
  const uses = [...new Set(steps.flatMap((step) => step.uses))].filter((id) => !instruments.has(id));
  const together = steps[0]?.together;
  return [
    ...(uses.length === 0
      ? []
      : [markup` <span class="with">With: ${uses.map((id) => titleOfTool(pack, id)).join('; ')}.</span>`]),
    ...(together === undefined
      ? []
      : [markup` <span class="with">Together with: <b>${roleTitle(plan, together)}</b>.</span>`]),
  ];
}

/** What is read, seen or written down at a step. Where columns are narrow, the unit and the answers stand here. */
function entryLines(
  { plan, pack }: Written,
  steps: readonly StepNode[],
  merge: Merge,
  width: number,
): readonly Markup[] {
  const [first] = steps;
  return [...(first?.entries ?? []).keys()].flatMap((place): readonly Markup[] => {
    const entries = steps.flatMap((step) => plan.entries[step.entries[place] ?? -1] ?? []);
    const [entry] = entries;
    if (entry === undefined) return [];
    const title = merge(entries.map((each) => each.title));
    switch (entry.entry) {
      case 'reading': {
        const instrument =
          entry.instrument === undefined ? '' : `, with ${titleOfTool(pack, entry.instrument)}`;
        const times = entry.repeats === undefined ? '' : timesInWords(entry.repeats);
        const unit = width > 1 ? `, in ${entry.unit.symbol}` : '';
        return [
          markup`<p>Read (${inWords(lastName(entry.name))}): ${title}${instrument}${times}${unit}</p>`,
          ...(entry.throughout ?? []).map((each) => markup`<p>Throughout: ${each}</p>`),
          ...carryLines(plan, entry.carry),
        ];
      }
      case 'observation':
        return [
          markup`<p>Seen: ${title}${width > 1 ? markup` ${answersOf(entry).map((words, index) => markup`<span class="answer"><b>${letterOf(index)}</b> ${words}</span> `)}` : undefined}</p>`,
        ];
      case 'identity':
        return [
          markup`<p>Number of: ${title}${entry.as === 'fitted' ? (entry.acceptNew ? ', its own part or a new one' : ', its own part') : ''}</p>`,
        ];
      case 'field':
        return [markup`<p>Write down: ${title}</p>`];
      default:
        return [];
    }
  });
}

/** The answers of an observation in words; which of them conform is said where not all do. */
export function answersOf(entry: Extract<Entry, { entry: 'observation' }>): readonly Markup[] {
  const isFree = entry.answers.every((answer) => answer.conforming);
  return entry.answers.map(
    (answer) =>
      markup`${answer.text}${answer.conforming && !isFree ? markup` <span class="good">(conforming)</span>` : undefined}`,
  );
}

/** From where a reading may be taken over instead, with room to say how old it is. */
function carryLines(plan: Plan, carry: PlanCarry | undefined): readonly Markup[] {
  if (carry === undefined) return [];
  const { pack, procedure, value, validFor, field } = carry;
  const engine = plan.entries.find((one) => one.name === field)?.title ?? field;
  return [
    markup`<p class="carry">Or take over: ${inWords(lastName(value))} of a finished job, ${inWords(procedure)} (pack ${pack}), at most ${writeQuantity(validFor)} old; ${engine} the same. ${blank('short', '', 'Job')} ${blank('short', '', 'of')} ${blank('short', '', 'age')}</p>`,
  ];
}

/** How often a reading is taken, and what of it counts. */
function timesInWords({ times, agreeWithin, most, take }: PlanRepeats): string {
  const counts = take === 'mean' ? 'their mean' : `the ${take}`;
  const more =
    agreeWithin === undefined || most === times
      ? ''
      : `; where they differ by more than ${writeQuantity(agreeWithin)}, two more, up to ${most}`;
  return `, ${times} times: ${counts} counts${more}`;
}

function checkLines({ plan, pack }: Written, steps: readonly StepNode[]): readonly Markup[] {
  const { check } = steps[0] ?? {};
  const selection = check?.check === 'stock' ? plan.selections[check.selection] : undefined;
  if (selection !== undefined) {
    const aimed = plan.tolerances[selection.tolerance];
    return aimed === undefined
      ? []
      : [...workedOut(plan, pack, aimed), limitLine(plan, aimed), ...selectionLines(plan, selection)];
  }
  const tolerance = check?.check === 'tolerance' ? plan.tolerances[check.tolerance] : undefined;
  if (tolerance === undefined) return [];
  const rule = ruleInWords(plan, tolerance);
  return [
    ...workedOut(plan, pack, tolerance),
    limitLine(plan, tolerance),
    ...(rule === undefined ? [] : [markup`<p class="limits">${rule}</p>`]),
  ];
}

/** How the value that is held against a tolerance is worked out, where it is not read as it is. */
function workedOut(plan: Plan, pack: Pack, tolerance: PlanTolerance): readonly Markup[] {
  const formula = formulaOf(plan, tolerance);
  return formula === undefined
    ? []
    : [
        markup`<p>Work out: <b>${inWords(tolerance.of)} = ${formula}</b>${titleOfDerived(pack, tolerance)}</p>`,
      ];
}

const limitLine = (plan: Plan, tolerance: PlanTolerance): Markup =>
  markup`<p class="limits">${capital(tolerance.title)}: ${writeLimits(plan, tolerance)}</p>`;

/** The limits of a tolerance in both systems of units, the pack's own first; those that are worked out as their formula. */
export function writeLimits(plan: Plan, tolerance: PlanTolerance): Markup {
  const { limitsFrom } = tolerance;
  if (limitsFrom !== undefined) {
    const { low, high } = limitsFrom;
    const end = (words: string, amount: typeof low): readonly string[] =>
      amount === undefined ? [] : [`${words} ${amountInWords(plan, amount, tolerance.name)}`];
    return markup`<b>${[...end('at least', low), ...end('at most', high)].join(', ')}</b>`;
  }
  const { says, limits, other } = limitsInBoth(tolerance);
  return markup`<b>${says}</b>${limits === undefined ? undefined : `, that is ${limits}`}${other === undefined ? undefined : ` (${other})`}`;
}

function titleOfDerived(pack: Pack, tolerance: PlanTolerance): string {
  const [, procedure = ''] = /^\/procedures\/([^/]+)\//.exec(tolerance.pointer) ?? [];
  const title = valueAt(pack, `/procedures/${procedure}/derived/${tolerance.of}/title`);
  return typeof title === 'string' ? ` (${title})` : '';
}
