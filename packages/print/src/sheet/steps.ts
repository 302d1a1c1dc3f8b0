import {
  type Entry,
  type HoldNode,
  inWords,
  type Pack,
  type Plan,
  type PlanCarry,
  type PlanNode,
  type PlanRepeats,
  type PlanTolerance,
  type Remedy,
  type StepNode,
  valueAt,
  writeQuantity,
} from '@ferrule/engine';
import { limitsInBoth, stageInBoth } from '../both-systems.ts';
import { conditionInRework, decisionInWords } from '../decision-words.ts';
import { formulaOf } from '../formula.ts';
import { type Insert, type Markup, markup } from '../markup.ts';
import { mergeTexts } from '../merge-texts.ts';
import { blank, signature, tick } from './boxes.ts';
import { hazard, hazardsOf } from './hazards.ts';
import type { Holds } from './holds.ts';
import { ruleInWords } from './rule-in-words.ts';
import { selectionLines } from './selection-table.ts';
import { patternTable, settingBoxes, settingLines } from './tightening.ts';
import type { Column, Row, Section, Worklist, Worktable } from './worklist.ts';

/** Boxes for readings that are taken again after a rework; further ones go into the table at the end. */
const MOST_AGAIN = 2;

/** What the steps of a sheet are written with. */
export interface Written {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly work: Worklist;
  readonly holds: Holds;
}

/** All the steps of the work, as sections with tables. */
export const stepSections = (written: Written): readonly Markup[] =>
  written.work.sections.map((section) => sectionOf(written, section));

function sectionOf(written: Written, { title, level, onlyIf, tables }: Section): Markup {
  const heading =
    title === ''
      ? undefined
      : level <= 2
        ? markup`<h3>${title}</h3>`
        : level === 3
          ? markup`<h4>${title}</h4>`
          : markup`<h5>${title}</h5>`;
  const condition = onlyIf === undefined ? undefined : markup`<p class="only">Only if ${onlyIf}.</p>`;
  return markup`${heading}${condition}${tables.map((table) => tableOf(written, table))}`;
}

function tableOf(written: Written, { columns, rows }: Worktable): Markup {
  const isLoop = columns.some((column) => column.label !== '');
  const width = columns.length;
  const shape = !isLoop ? 'one' : width <= 2 ? 'few' : width <= 4 ? 'some' : 'many';
  const caption = isLoop
    ? markup`<caption>Down each column to its end, then on to the next one. N is the ${nameOf(columns)} at its head.</caption>`
    : undefined;
  const head = isLoop
    ? loopHead(columns)
    : markup`<tr><th scope="col">No.</th><th scope="col">Step</th><th scope="col">Done, read, seen</th></tr>`;
  const shown = withoutEmptyHeadings(rows);
  return markup`<table class="steps ${shape}">${caption}<colgroup><col class="number"><col class="text">${columns.map(() => markup`<col>`)}</colgroup>
<thead>${head}</thead>
${shown.map((row) => rowOf(written, row, columns))}
</table>
`;
}

const nameOf = (columns: readonly Column[]): string => columns[0]?.label.replace(/ [^ ]*$/, '') ?? '';

/** The way back to the usual course needs no heading where nothing follows, or another one does. */
const withoutEmptyHeadings = (rows: readonly Row[]): readonly Row[] =>
  rows.filter((row, index) => {
    const next = rows[index + 1];
    return (
      row.row !== 'heading' ||
      (next !== undefined &&
        (next.row !== 'heading' || row.onlyIf !== undefined || row.title !== 'In every case'))
    );
  });

function loopHead(columns: readonly Column[]): Markup {
  const first = columns.some((column) => column.around !== undefined)
    ? markup`<tr><th scope="col" rowspan="2">No.</th><th scope="col" rowspan="2">Step</th>${spans(
        columns.map((column) => column.around),
      ).map(({ value, span }) => markup`<th scope="colgroup" colspan="${span}">${value}</th>`)}</tr>`
    : undefined;
  const labels = columns.map((column) => markup`<th scope="col">${column.label}</th>`);
  return first === undefined
    ? markup`<tr><th scope="col">No.</th><th scope="col">Step</th>${labels}</tr>`
    : markup`${first}<tr>${labels}</tr>`;
}

/** Runs of equal neighbours. */
function spans<T>(
  values: readonly T[],
): readonly { readonly value: T; readonly span: number; readonly from: number }[] {
  const found: { value: T; span: number; from: number }[] = [];
  for (const [from, value] of values.entries()) {
    const last = found.at(-1);
    if (last !== undefined && last.value === value) last.span += 1;
    else found.push({ value, span: 1, from });
  }
  return found;
}

function rowOf(written: Written, row: Row, columns: readonly Column[]): Markup {
  const all = columns.length + 2;
  switch (row.row) {
    case 'heading': {
      const words = [
        row.title === '' ? undefined : row.title,
        row.onlyIf === undefined ? undefined : `Only if ${row.onlyIf}:`,
      ].filter((one) => one !== undefined);
      return markup`<tbody><tr class="heading"><th colspan="${all}" scope="rowgroup">${words.join('. ')}</th></tr></tbody>
`;
    }
    case 'hold':
      return markup`<tbody><tr><td class="number">${row.number}</td><td>${holdPoint(written, row.at)}</td>${spans(
        row.at,
      ).map(
        ({ value, span }) =>
          markup`<td colspan="${span}">${value === undefined ? '—' : releaseBoxes(written, value)}</td>`,
      )}</tr></tbody>
`;
    case 'step': {
      const steps = row.at.filter((one) => one !== undefined);
      const hazards = hazardsOf(
        written.plan,
        steps.flatMap((one) => one.hazards),
      );
      const { text, gaps } = instruction(written, row.at, columns);
      return markup`<tbody>${hazards.map((one) => markup`<tr class="hazards"><td colspan="${all}">${hazard(one)}</td></tr>`)}<tr><td class="number">${row.number}</td><td>${text}</td>${spans(
        row.at,
      ).map(
        ({ value, span, from }) =>
          markup`<td colspan="${span}">${
            value === undefined
              ? markup`<span class="none">not here</span>`
              : cellOf(
                  written,
                  value,
                  columns,
                  gaps.map((gap) => gap[from] ?? ''),
                )
          }</td>`,
      )}</tr></tbody>
`;
    }
  }
}

/** What is done, in words, once for all columns; gaps are what differs from column to column and stands in the cells. */
function instruction(
  written: Written,
  at: readonly (StepNode | undefined)[],
  columns: readonly Column[],
): { readonly text: Markup; readonly gaps: readonly (readonly string[])[] } {
  const { plan, pack } = written;
  const here = at.flatMap((step, column) => (step === undefined ? [] : [{ step, column }]));
  const steps = here.map(({ step }) => step);
  const [first] = steps;
  if (first === undefined) return { text: markup``, gaps: [] };
  const gaps: (readonly string[])[] = [];
  /** Texts of the steps as one; a gap that is the value of the column is N, any other one is shown in the cells. */
  const one = (texts: readonly string[]): Insert => {
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
  const said = one(steps.map((step) => sayingOf(step)));
  const lines: Insert[] = [];
  if (first.act?.act === 'turn-to')
    lines.push(
      markup`<p>The stroke is proved by ${one(steps.map((step) => (step.act?.act === 'turn-to' ? step.act.provedBy.replace(/\.$/, '') : '')))}.</p>`,
    );
  if (first.act?.act === 'tighten' && first.act.stages.some((stage) => stage.stage === 'torque'))
    lines.push(markup`<p>Torque: <b>${first.act.stages.map(stageInBoth).join(', then ')}</b></p>`);
  if (first.act?.act === 'tighten')
    lines.push(...settingLines(first.act, plan), ...patternTable(first.act, columns.length === 1));
  const uses = [...new Set(steps.flatMap((step) => step.uses))].map((id) => titleOfTool(pack, id));
  if (uses.length > 0) lines.push(markup`<p class="with">With: ${uses.join('; ')}</p>`);
  if (first.together !== undefined)
    lines.push(markup`<p class="with">Together with: ${roleTitle(plan, first.together)}</p>`);
  lines.push(
    ...entryLines(written, steps, one),
    ...checkLines(written, steps),
    ...remedyLines(written, steps),
  );
  const only = first.onlyIf;
  const condition =
    only === undefined
      ? undefined
      : markup`<span class="only">Only if ${one(steps.map((step) => (step.onlyIf === undefined ? '' : decisionInWords(plan, pack, step.onlyIf))))}:</span> `;
  return { text: markup`<p>${condition}${said}</p>${lines}`, gaps };
}

/** What a step says; one without words judges, or takes down an entry. */
function sayingOf(step: StepNode): string {
  const said = step.act?.says ?? step.title;
  // A time to wait beside words of its own would be lost.
  if (step.act?.act === 'wait' && said !== undefined) {
    const wait = `Wait ${writeQuantity(step.act.time)}.`;
    return said === wait ? said : `${said} ${wait}`;
  }
  if (said !== undefined) return said;
  const words = step.id.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

export const titleOfTool = (pack: Pack, id: string): string =>
  pack.equipment?.[id]?.title ?? pack.supplies?.[id]?.title ?? pack.instruments?.[id]?.title ?? id;

export const roleTitle = (plan: Plan, role: string): string =>
  plan.roles.find((one) => one.id === role)?.title ?? role;

/** What a gap in a text is called that the cells fill. */
const gapName = (index: number): string => String.fromCharCode(80 + (index % 11));

const letter = (index: number): string => String.fromCharCode(97 + (index % 26));

/** What is read, seen or written down at a step. */
function entryLines(
  { plan, pack }: Written,
  steps: readonly StepNode[],
  one: (texts: readonly string[]) => Insert,
): readonly Markup[] {
  const [first] = steps;
  return [...(first?.entries ?? []).keys()].flatMap((place): readonly Markup[] => {
    const entries = steps.flatMap((step) => plan.entries[step.entries[place] ?? -1] ?? []);
    const [entry] = entries;
    if (entry === undefined) return [];
    const title = one(entries.map((each) => each.title));
    switch (entry.entry) {
      case 'reading': {
        const instrument =
          entry.instrument === undefined ? '' : `, with ${titleOfTool(pack, entry.instrument)}`;
        const times = entry.repeats === undefined ? '' : timesInWords(entry.repeats);
        return [
          markup`<p>Read (${inWords(lastName(entry.name))}): ${title}${instrument}${times}</p>`,
          ...(entry.throughout ?? []).map((each) => markup`<p>Throughout: ${each}</p>`),
          ...carryLines(plan, entry.carry),
        ];
      }
      case 'observation': {
        const isFree = entry.answers.every((answer) => answer.conforming);
        return [
          markup`<p>Seen: ${title}</p><ul class="answers">${entry.answers.map(
            (answer, index) =>
              markup`<li>${letter(index)}) ${answer.text}${answer.conforming && !isFree ? markup` <span class="good">(conforming)</span>` : undefined}</li>`,
          )}</ul>`,
        ];
      }
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

/** From where a reading may be taken over instead, with room to say how old it is. */
function carryLines(plan: Plan, carry: PlanCarry | undefined): readonly Markup[] {
  if (carry === undefined) return [];
  const { pack, procedure, value, validFor, field } = carry;
  const engine = plan.entries.find((one) => one.name === field)?.title ?? field;
  return [
    markup`<p>Or take over: ${inWords(lastName(value))} of a finished job, ${inWords(procedure)} (pack ${pack}), at most ${writeQuantity(validFor)} old; ${engine} the same. Job ${blank('short')} of ${blank('short')} age ${blank('short')}</p>`,
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

/** The name of an entry without those of the procedures around it. */
const lastName = (name: string): string => name.replace(/(?:@[\w-]+)+$/, '').replace(/^.*\./, '');

function toleranceOf(plan: Plan, step: StepNode): PlanTolerance | undefined {
  return step.check?.check === 'tolerance' ? plan.tolerances[step.check.tolerance] : undefined;
}

function checkLines({ plan, pack }: Written, steps: readonly StepNode[]): readonly Markup[] {
  const { check } = steps[0] ?? {};
  const selection = check?.check === 'stock' ? plan.selections[check.selection] : undefined;
  if (selection !== undefined) {
    const aimed = plan.tolerances[selection.tolerance];
    return aimed === undefined
      ? []
      : [...workedOut(pack, aimed), limitLine(aimed), ...selectionLines(plan, selection)];
  }
  const tolerances = steps.flatMap((step) => toleranceOf(plan, step) ?? []);
  const [tolerance] = tolerances;
  if (tolerance === undefined) return [];
  const rule = ruleInWords(plan, tolerance);
  return [
    ...workedOut(pack, tolerance),
    limitLine(tolerance),
    ...(rule === undefined ? [] : [markup`<p class="limits">${rule}</p>`]),
  ];
}

/** How the value that is held against a tolerance is worked out, where it is not read as it is. */
function workedOut(pack: Pack, tolerance: PlanTolerance): readonly Markup[] {
  const formula = formulaOf(tolerance);
  return formula === undefined
    ? []
    : [
        markup`<p>Work out: <b>${inWords(tolerance.of)} = ${formula}</b>${titleOfDerived(pack, tolerance)}</p>`,
      ];
}

const limitLine = (tolerance: PlanTolerance): Markup =>
  markup`<p class="limits">${capital(tolerance.title)}: ${writeLimits(tolerance)}</p>`;

/** The limits of a tolerance in both systems of units, the pack's own first. */
export function writeLimits(tolerance: PlanTolerance): Markup {
  const { says, limits, other } = limitsInBoth(tolerance);
  return markup`<b>${says}</b>${limits === undefined ? undefined : `, that is ${limits}`}${other === undefined ? undefined : ` (${other})`}`;
}

function titleOfDerived(pack: Pack, tolerance: PlanTolerance): string {
  const [, procedure = ''] = /^\/procedures\/([^/]+)\//.exec(tolerance.pointer) ?? [];
  const title = valueAt(pack, `/procedures/${procedure}/derived/${tolerance.of}/title`);
  return typeof title === 'string' ? ` (${title})` : '';
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What follows when a step does not conform, in short. */
function remedyLines(written: Written, steps: readonly StepNode[]): readonly Markup[] {
  const [first] = steps;
  if (first === undefined) return [];
  const line = (when: string, pick: (step: StepNode) => Remedy | undefined): readonly Markup[] => {
    const remedies = steps.flatMap((step) => pick(step) ?? []);
    return remedies.length === 0
      ? []
      : [markup`<div class="remedy"><b>${when}:</b> ${remedyWords(written, remedies)}</div>`];
  };
  const check = first.check;
  const struck = line('If an entry of this step is struck', (step) => step.struck);
  if (check === undefined) return struck;
  if (check.check !== 'tolerance')
    return [
      ...line('If nonconforming', (step) =>
        step.check !== undefined && step.check.check !== 'tolerance' ? step.check.nonconforming : undefined,
      ),
      ...struck,
    ];
  const side = (step: StepNode, name: 'high' | 'low' | 'inconclusive'): Remedy | undefined =>
    step.check?.check === 'tolerance' ? step.check[name] : undefined;
  const isOne = isSame(check.high, check.low);
  return [
    ...(isOne
      ? line('If nonconforming', (step) => side(step, 'high') ?? side(step, 'low'))
      : [
          ...line('If too high', (step) => side(step, 'high')),
          ...line('If too low', (step) => side(step, 'low')),
        ]),
    ...line('If inconclusive', (step) => side(step, 'inconclusive')),
    ...struck,
  ];
}

function isSame(a: Remedy | undefined, b: Remedy | undefined): boolean {
  if (a === undefined || b === undefined) return true;
  if (a.remedy === 'hold') return b.remedy === 'hold' && a.hold === b.hold;
  return b.remedy === 'rework' && a.body === b.body;
}

function remedyWords(written: Written, remedies: readonly Remedy[]): Markup {
  const [first] = remedies;
  if (first === undefined) return markup``;
  if (first.remedy === 'hold') return markup`hold ${written.holds.label(first.hold)}.`;
  const bodies = remedies.flatMap((one) =>
    one.remedy === 'rework' ? (written.plan.nodes[one.body] ?? []) : [],
  );
  // The first attempt is no rework: of one attempt none is left.
  if (first.attempts === 1) return markup`hold ${written.holds.label(first.exhausted)}.`;
  const times = first.attempts === 2 ? 'once' : `at most ${first.attempts - 1} times`;
  return markup`rework, ${times}.${reworkSteps(written, bodies)} Then again ${fromStep(written, bodies)}. After that: hold ${written.holds.label(first.exhausted)}.`;
}

/** `from step 12`: where the job goes on after a body of rework. */
export function fromStep({ plan, work }: Written, bodies: readonly PlanNode[]): string {
  const numbers = bodies.flatMap((body) =>
    body.node === 'block' && body.resumes !== undefined ? (work.numberOf(body.resumes.at) ?? []) : [],
  );
  const body = bodies[0];
  const at = body?.node === 'block' ? plan.nodes[body.resumes?.at ?? -1] : undefined;
  return numbers[0] === undefined ? `from “${nameOfNode(at)}”` : `from step ${numbers[0]}`;
}

const nameOfNode = (node: PlanNode | undefined): string =>
  node === undefined ? 'there' : node.node === 'step' ? sayingOf(node) : node.id.replaceAll('-', ' ');

/** The steps of a body of rework in a list, each once, whatever bore it is for; empty for a body that has none. */
export function reworkSteps(written: Written, bodies: readonly PlanNode[]): Markup {
  const { plan, pack } = written;
  const byPlace = new Map<string, StepNode[]>();
  for (const body of bodies)
    for (const step of stepsIn(plan, body))
      byPlace.set(step.pointer, [...(byPlace.get(step.pointer) ?? []), step]);
  if (byPlace.size === 0) return markup``;
  const items = [...byPlace.values()].map((steps) => {
    const hazards = hazardsOf(
      plan,
      steps.flatMap((step) => step.hazards),
    );
    const conditions = steps.flatMap((step) => conditionInRework(plan, pack, step) ?? []);
    const condition =
      conditions.length === 0
        ? undefined
        : markup`<span class="only">Only if ${mergedForAll(conditions)}:</span> `;
    return markup`<li>${hazards.map(hazard)}${tick('')} ${condition}${mergedForAll(steps.map(sayingOf))}${entryWords(plan, steps)}${steps.slice(0, 1).flatMap((step) => stockWords(written, step))}</li>`;
  });
  return markup`<ol class="rework">${items}</ol>`;
}

/** The steps that a body leads through, without those of the reworks inside it. */
function stepsIn(plan: Plan, body: PlanNode): readonly StepNode[] {
  const found: StepNode[] = [];
  for (let at = body.index + 1; at < body.end; ) {
    const node = plan.nodes[at];
    if (node === undefined) break;
    if (node.node === 'step') found.push(node);
    at = node.node === 'step' || node.node === 'hold' ? node.end : at + 1;
  }
  return found;
}

function entryWords(plan: Plan, steps: readonly StepNode[]): readonly Markup[] {
  return [...(steps[0]?.entries ?? []).keys()].flatMap((place) => {
    const entries = steps.flatMap((step) => plan.entries[step.entries[place] ?? -1] ?? []);
    const [entry] = entries;
    if (entry === undefined) return [];
    const title = mergedForAll(entries.map((each) => each.title));
    if (entry.entry !== 'observation') return [markup` ${title}: ${entryBox(entry, 'short')}`];
    return [markup` ${title} ${entry.answers.map((answer) => markup`${tick(answer.text)} `)}`];
  });
}

/** How a choice from stock is made in a rework, with the boxes for it. */
function stockWords(written: Written, step: StepNode): readonly Markup[] {
  if (step.check?.check !== 'stock') return [];
  return [
    ...checkLines(written, [step]),
    markup`<p>${stockBoxes(written.plan, step.check.selection, true)}</p>`,
  ];
}

/** What was fitted from stock and what it should give; on one line where there is room. */
function stockBoxes(plan: Plan, index: number, isOne: boolean): readonly Markup[] {
  const selection = plan.selections[index];
  const unit = plan.tolerances[selection?.tolerance ?? -1]?.unit.symbol ?? '';
  return [
    markup`${isOne ? 'Fitted: ' : ''}${blank(isOne ? 'short' : 'narrow', selection?.stock.unit.symbol ?? '')} `,
    ...(isOne ? [markup`Predicted: ${blank('short', unit)} `] : []),
    tick(isOne ? 'none in stock does' : 'none'),
  ];
}

/** A text for all places: what differs stands as N where it is a number, and as a list otherwise. */
export function mergedForAll(texts: readonly string[]): Insert {
  const merged = mergeTexts(texts);
  return merged.pieces.map((piece) => {
    if (typeof piece === 'string') return piece;
    const values = [...new Set(merged.gaps[piece] ?? [])];
    return values.every((value) => /^\d+$/.test(value))
      ? markup`<b class="gap">N</b>`
      : values.filter((value) => value.trim() !== '').join(' or ');
  });
}

function entryBox(entry: Entry, size: 'short' | 'long' | 'narrow'): Markup {
  // A serial number is longer than a reading.
  const wide = size === 'narrow' && entry.entry !== 'reading' ? 'wide' : size;
  const unit = entry.entry === 'reading' ? entry.unit.symbol : '';
  const repeats = entry.entry === 'reading' ? entry.repeats : undefined;
  if (repeats === undefined) return blank(wide, unit);
  const boxes = Array.from(
    { length: repeats.times },
    (_, place) => markup`<span class="entry">${place + 1}: ${blank(wide, unit)}</span> `,
  );
  return markup`${boxes}<span class="entry">${repeats.take}: ${blank(wide, unit)}</span>`;
}

/** What is ticked, written or signed for one step at one place. */
function cellOf(
  written: Written,
  step: StepNode,
  columns: readonly Column[],
  gaps: readonly string[],
): Markup {
  const { plan } = written;
  const isOne = columns.length === 1;
  const size = isOne ? 'long' : 'narrow';
  const lines: Insert[] = [];
  for (const [index, gap] of gaps.entries())
    if (gap.trim() !== '')
      lines.push(markup`<p class="told"><b class="gap">${gapName(index)}</b> ${gap}</p>`);
  if (step.acknowledge) lines.push(markup`<p>${tick(isOne ? 'read and understood' : 'read')}</p>`);
  // What is entered shows that the step was done; work with a value of its own is ticked all the same.
  if (step.act !== undefined && (step.entries.length === 0 || step.act.act !== 'do'))
    lines.push(markup`<p>${tick(isOne ? 'done' : '')}</p>`);
  if (step.act?.act === 'tighten') lines.push(...settingBoxes(step.act, plan, isOne));
  for (const index of step.entries) {
    const entry = plan.entries[index];
    if (entry === undefined) continue;
    if (entry.entry === 'observation')
      lines.push(
        markup`<p class="choices">${entry.answers.map((_, number) => markup`${tick(letter(number))} `)}</p>`,
      );
    else lines.push(markup`<p>${entryBox(entry, size)}</p>`);
    if (entry.entry === 'reading' && entry.throughout !== undefined)
      lines.push(markup`<p>${tick(isOne ? 'held throughout' : 'held')}</p>`);
  }
  if (plan.elapsed.some((one) => one.since === step.index || one.until === step.index))
    lines.push(markup`<p>${isOne ? 'Done at ' : 'at '}${blank(isOne ? 'short' : 'narrow', '')}</p>`);
  lines.push(...verdictBoxes(written, step, isOne));
  if (step.notApplicable !== undefined)
    lines.push(
      markup`<p>${tick(`not applicable: ${roleTitle(plan, step.notApplicable)}`)}</p>`,
      markup`<p>${signature('')}</p>`,
    );
  if (step.witness !== undefined)
    lines.push(markup`<p>${signature(`Witness, ${roleTitle(plan, step.witness)}`)}</p>`);
  return markup`${lines}`;
}

function verdictBoxes({ plan }: Written, step: StepNode, isOne: boolean): readonly Markup[] {
  const { check } = step;
  if (check === undefined) return [];
  if (check.check === 'observation') return again(plan, step, isOne, []);
  if (check.check === 'stock')
    return stockBoxes(plan, check.selection, isOne).map((one) => markup`<p>${one}</p>`);
  if (check.check === 'identity')
    return [
      markup`<p>${isOne ? [tick('conforming'), ' ', tick('nonconforming')] : [tick('C'), ' ', tick('X')]}</p>`,
    ];
  const tolerance = plan.tolerances[check.tolerance];
  if (tolerance === undefined) return [];
  const isSided = !isSame(check.high, check.low);
  const bad = isSided ? ['too high', 'too low'] : ['nonconforming'];
  // Any rule but the simple one leaves values open.
  const open = tolerance.rule.rule === 'simple' ? [] : [' ', tick(isOne ? 'inconclusive' : '?')];
  const words = isOne
    ? [tick('conforming'), ...bad.map((one) => markup` ${tick(one)}`), ...open]
    : isSided
      ? [tick('C'), ' ', tick('high'), ' ', tick('low'), ...open]
      : [tick('C'), ' ', tick('X'), ...open];
  const derived =
    tolerance.value.node === 'name' && tolerance.elapsed === undefined
      ? []
      : [
          markup`<p>${isOne ? `${capital(inWords(tolerance.of))}: ` : markup`<span class="label">${inWords(lastName(tolerance.of))}</span> `}${blank(isOne ? 'short' : 'narrow', tolerance.unit.symbol)}</p>`,
        ];
  return [...derived, markup`<p class="verdict">${words}</p>`, ...again(plan, step, isOne, words)];
}

/** Boxes for what is entered again after a rework. */
function again(plan: Plan, step: StepNode, isOne: boolean, verdict: Insert): readonly Markup[] {
  const { check } = step;
  const remedies =
    check === undefined ? [] : check.check === 'tolerance' ? [check.high, check.low] : [check.nonconforming];
  const attempts = remedies.map((one) => (one?.remedy === 'rework' ? one.attempts - 1 : 0));
  const most = Math.min(MOST_AGAIN, Math.max(0, ...attempts));
  const own = step.entries.flatMap((index) => plan.entries[index] ?? []);
  if (own.length === 0) return [];
  const boxes = own.map((entry) =>
    entry.entry === 'observation'
      ? entry.answers.map((_, number) => markup`${tick(letter(number))} `)
      : entryBox(entry, isOne ? 'short' : 'narrow'),
  );
  return Array.from(
    { length: most },
    () => markup`<p class="again"><span class="label">again</span> ${boxes} ${verdict}</p>`,
  );
}

function holdPoint(written: Written, at: readonly (HoldNode | undefined)[]): Markup {
  const holds = at.flatMap((node) => written.plan.holds[node?.hold ?? -1] ?? []);
  const [first] = holds;
  return markup`<p class="holdpoint"><b>HOLD ${written.holds.label(at.find((one) => one !== undefined)?.hold ?? -1)}${first?.safety === true ? ', protects people' : ''}.</b> ${mergedForAll(holds.map((one) => one.text))}</p>`;
}

function releaseBoxes({ plan }: Written, node: HoldNode): Markup {
  const hold = plan.holds[node.hold];
  return markup`${(hold?.releases ?? []).map((way) => markup`<p>${tick(way.by)} ${signature(way.role === undefined ? '' : roleTitle(plan, way.role))}</p>`)}`;
}
