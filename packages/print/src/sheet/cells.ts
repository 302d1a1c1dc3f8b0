import { type Entry, inWords, type Plan, type StepNode } from '@ferrule/engine';
import { lastName } from '../formula.ts';
import { type Insert, type Markup, markup } from '../markup.ts';
import { blank, lettered, signature, tick } from './boxes.ts';
import { answersOf, gapName } from './instruction.ts';
import { isSame } from './remedies.ts';
import { settingBoxes } from './tightening.ts';
import { letterOf, roleTitle, type Written } from './written.ts';

/** Boxes for readings that are taken again after a rework; further ones go into the table at the end. */
const MOST_AGAIN = 2;

/** Whether a step has a box to tick that it is done: what is entered shows that too, and work of its own is ticked all the same. */
export const isTicked = (step: StepNode): boolean =>
  step.act !== undefined && (step.entries.length === 0 || step.act.act !== 'do');

/** What is written, ticked or signed for one step at one place, beside the box that says that it is done. */
export function cellOf(
  written: Written,
  step: StepNode,
  isOne: boolean,
  gaps: readonly string[] = [],
): readonly Markup[] {
  const { plan } = written;
  const lines: Markup[] = [];
  for (const [index, gap] of gaps.entries())
    if (gap.trim() !== '')
      lines.push(markup`<p class="told"><b class="gap">${gapName(index)}</b> ${gap}</p>`);
  if (step.acknowledge) lines.push(markup`<p>${tick(isOne ? 'read and understood' : 'read')}</p>`);
  if (step.act?.act === 'tighten') lines.push(...settingBoxes(step.act, plan, isOne));
  if (plan.elapsed.some((one) => one.since === step.index || one.until === step.index))
    lines.push(markup`<p>${blank(isOne ? 'short' : 'narrow', '', isOne ? 'Done at' : 'at')}</p>`);
  lines.push(...entered(plan, step, isOne));
  if (step.notApplicable !== undefined)
    lines.push(
      markup`<p>${tick(`not applicable: ${roleTitle(plan, step.notApplicable)}`)}</p>`,
      markup`<p>${signature('')}</p>`,
    );
  if (step.witness !== undefined)
    lines.push(markup`<p>${signature(`Witness, ${roleTitle(plan, step.witness)}`)}</p>`);
  return lines;
}

/** Boxes for the entries of a step, for what is worked out of them and for the verdict, and the same again after a rework. */
function entered(plan: Plan, step: StepNode, isOne: boolean): readonly Markup[] {
  if (step.check?.check === 'stock')
    return [...boxesFor(plan, step, isOne, 'first'), ...stockBoxes(plan, step.check.selection, isOne)];
  const first = [...boxesFor(plan, step, isOne, 'first'), ...judged(plan, step, isOne, true)];
  if (step.entries.length === 0) return inLines(first, isOne, '');
  const once = [...boxesFor(plan, step, isOne, 'again'), ...judged(plan, step, isOne, false)];
  return [
    ...inLines(first, isOne, ''),
    ...Array.from({ length: timesAgain(step) }, () =>
      inLines(once, isOne, 'again', markup`<span class="label">again</span> `),
    ).flat(),
  ];
}

/** All on one line as long as there is room; in a narrow column one below the other. */
const inLines = (
  boxes: readonly Markup[],
  isOne: boolean,
  name: string,
  before: Insert = undefined,
): readonly Markup[] =>
  boxes.length === 0
    ? []
    : [
        markup`<p class="boxes ${name}">${before}${boxes.map((one) => (isOne ? markup`${one} ` : markup`<span class="line-of">${one}</span>`))}</p>`,
      ];

function timesAgain({ check }: StepNode): number {
  const remedies =
    check === undefined
      ? []
      : check.check === 'tolerance'
        ? [check.high, check.low, check.inconclusive]
        : [check.nonconforming];
  const attempts = remedies.map((one) => (one?.remedy === 'rework' ? one.attempts - 1 : 0));
  return Math.min(MOST_AGAIN, Math.max(0, ...attempts));
}

function boxesFor(plan: Plan, step: StepNode, isOne: boolean, when: 'first' | 'again'): readonly Markup[] {
  const entries = step.entries.flatMap((index) => plan.entries[index] ?? []);
  // A single box needs no name; several have theirs.
  const isNamed = entries.length > 1 || derivedOf(plan, step) !== undefined;
  return entries.flatMap((entry) => {
    if (entry.entry === 'observation') return [answerBoxes(entry, isOne && when === 'first')];
    // In a narrow column the boxes for again stand in the order of those above them.
    const isSaid = isNamed && entry.entry === 'reading' && (isOne || when === 'first');
    const name = isSaid ? inWords(lastName(entry.name)) : '';
    return [
      entryBox(entry, isOne ? (when === 'first' ? 'long' : 'short') : 'narrow', isOne, name),
      ...(entry.entry === 'reading' && entry.throughout !== undefined ? [tick('held')] : []),
    ];
  });
}

/** The answers with their words where there is room for them; what they stand for is said beside the boxes otherwise. */
const answerBoxes = (entry: Extract<Entry, { entry: 'observation' }>, isFull: boolean): Markup =>
  isFull
    ? markup`<span class="answers">${answersOf(entry).map((words, index) => markup`<span>${lettered(letterOf(index), words)}</span> `)}</span>`
    : markup`<span class="choices">${entry.answers.map((_, index) => markup`${lettered(letterOf(index))} `)}</span>`;

function entryBox(entry: Entry, size: 'short' | 'long' | 'narrow', isOne: boolean, name: string): Markup {
  // A serial number is longer than a reading, which needs no more than a few digits.
  const wide = size === 'narrow' ? (entry.entry === 'reading' ? size : 'wide') : size;
  const own = entry.entry === 'reading' ? 'short' : wide;
  const box = size === 'narrow' ? wide : own;
  const unit = entry.entry === 'reading' && isOne ? entry.unit.symbol : '';
  const repeats = entry.entry === 'reading' ? entry.repeats : undefined;
  if (repeats === undefined) return blank(box, unit, name);
  const boxes = Array.from({ length: repeats.times }, (_, place) => blank('narrow', unit, `${place + 1}:`));
  return markup`<span class="repeats">${boxes.map((one) => markup`${one} `)}${blank('narrow', unit, `${repeats.take}:`)}</span>`;
}

/** The tolerance of a step whose value is worked out and not read. */
function derivedOf(plan: Plan, { check }: StepNode) {
  const tolerance = check?.check === 'tolerance' ? plan.tolerances[check.tolerance] : undefined;
  return tolerance === undefined || (tolerance.value.node === 'name' && tolerance.elapsed === undefined)
    ? undefined
    : tolerance;
}

/** The boxes for the verdict, and before them one for the value where it is worked out. */
function judged(plan: Plan, step: StepNode, isOne: boolean, isFirst: boolean): readonly Markup[] {
  const { check } = step;
  if (check?.check === 'identity') return isFirst ? [verdicts(['C', 'X'])] : [];
  if (check?.check !== 'tolerance') return [];
  const tolerance = plan.tolerances[check.tolerance];
  if (tolerance === undefined) return [];
  const derived = derivedOf(plan, step);
  const bad = isSame(check.high, check.low) ? ['X'] : ['H', 'L'];
  // Any rule but the simple one leaves values open.
  const open = tolerance.rule.rule === 'simple' ? [] : ['?'];
  return [
    ...(derived === undefined
      ? []
      : [
          blank(
            isOne ? 'short' : 'narrow',
            isOne ? derived.unit.symbol : '',
            markup`${inWords(lastName(derived.of))}${isOne ? '' : `, ${derived.unit.symbol}`}`,
          ),
        ]),
    verdicts(['C', ...bad, ...open]),
  ];
}

const verdicts = (letters: readonly string[]): Markup =>
  markup`<span class="verdict">${letters.map((one) => markup`${lettered(one)} `)}</span>`;

/** What was fitted from stock and what it should give; on one line where there is room. */
function stockBoxes(plan: Plan, index: number, isOne: boolean): readonly Markup[] {
  const selection = plan.selections[index];
  const unit = plan.tolerances[selection?.tolerance ?? -1]?.unit.symbol ?? '';
  const size = isOne ? 'short' : 'narrow';
  const boxes = [
    blank(size, selection?.stock.unit.symbol ?? '', isOne ? 'Fitted:' : 'fitted'),
    ...(isOne ? [blank(size, unit, 'Predicted:')] : []),
    tick(isOne ? 'none in stock does' : 'none'),
  ];
  return boxes.map((one) => markup`<p>${one}</p>`);
}
