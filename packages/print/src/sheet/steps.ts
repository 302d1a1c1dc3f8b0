import type { HoldNode, PlanHazard, StepNode } from '@ferrule/engine';
import { type Insert, type Markup, markup } from '../markup.ts';
import { signature, tick } from './boxes.ts';
import { cellOf, isTicked } from './cells.ts';
import { hazard, hazardsAgain, hazardsOf } from './hazards.ts';
import { instruction } from './instruction.ts';
import { remedyLines } from './remedies.ts';
import type { Column, Row, Section } from './worklist.ts';
import { mergedForAll, roleTitle, type Written } from './written.ts';

/** All the steps of the work, as tables with the headings of its parts in them. */
export const stepSections = (written: Written): readonly Markup[] => new StepTables(written).write();

const NARROW = 4;

/**
 * Steps that are done once stand in one table, whatever part they belong to, so that no room is lost between parts. A
 * heading stands in one group with the step below it, and never alone at the foot of a page. A loop is a table of its own.
 */
class StepTables {
  readonly #written: Written;
  readonly #tables: Markup[] = [];
  #groups: Markup[] = [];
  /** Headings that wait for a step below them, by their level. */
  #waiting: { readonly level: number; readonly words: Markup }[] = [];
  /** Hazards that this part has said in full. */
  #inFull = new Set<string>();

  constructor(written: Written) {
    this.#written = written;
  }

  write(): readonly Markup[] {
    for (const section of this.#written.work.sections) this.#section(section);
    this.#close();
    return this.#tables;
  }

  #section(section: Section): void {
    const { title, level, onlyIf, tables, back } = section;
    this.#waiting = this.#waiting.filter((one) => one.level < level);
    if (level <= PART) this.#inFull = new Set();
    const condition = onlyIf === undefined ? '' : `Only if ${onlyIf}.`;
    const says = title === '' ? (back ?? '') : title;
    if (says !== '' || condition !== '')
      this.#waiting.push({ level, words: headingOf(says, Math.min(level, 5), condition) });
    for (const { columns, rows } of tables)
      if (columns.some((column) => column.label !== '')) this.#loop(columns, rows);
      else for (const row of withoutEmptyHeadings(rows)) this.#plain(row, columns);
  }

  #close(): void {
    if (this.#groups.length > 0)
      this.#tables.push(
        markup`<table class="steps one"><colgroup><col class="number"><col class="done"><col class="text"><col class="filled"></colgroup>
<thead><tr><th scope="col">No.</th><th scope="col"><span class="hidden">Done</span></th><th scope="col">Step</th><th scope="col">Read, seen, judged</th></tr></thead>
${this.#groups}</table>
`,
      );
    this.#groups = [];
  }

  #headings(width: number): Insert {
    const words = this.#waiting.map((one) => one.words);
    this.#waiting = [];
    return words.length === 0
      ? undefined
      : markup`<tr class="heading"><th colspan="${width}" scope="rowgroup">${words.map((one) => markup`<span>${one}</span> `)}</th></tr>`;
  }

  #plain(row: Row, columns: readonly Column[]): void {
    if (row.row === 'heading') {
      this.#waiting.push({ level: ROW, words: headingOf(row.title, ROW, onlyIfOf(row)) });
      return;
    }
    const { number } = row;
    const before = this.#headings(4);
    if (row.row === 'hold') {
      const node = row.at.find((one) => one !== undefined);
      this.#groups.push(
        markup`<tbody>${before}<tr><td class="number">${number}</td><td colspan="2">${holdPoint(this.#written, row.at)}</td><td>${node === undefined ? undefined : releaseBoxes(this.#written, node)}</td></tr></tbody>
`,
      );
      return;
    }
    const [step] = row.at;
    if (step === undefined) return;
    const { full, again } = this.#hazards(step.hazards);
    const cell = cellOf(this.#written, step, true);
    const text = markup`${hazardsAgain(again)}${instruction(this.#written, row.at, columns).text}${remedyLines(this.#written, [step], true)}`;
    this.#groups.push(
      markup`<tbody>${before}${hazardRows(full, 4)}<tr><td class="number">${number}</td><td class="done">${isTicked(step) ? tick('') : undefined}</td>${
        cell.length === 0 ? markup`<td colspan="2">${text}</td>` : markup`<td>${text}</td><td>${cell}</td>`
      }</tr></tbody>
`,
    );
  }

  #loop(columns: readonly Column[], rows: readonly Row[]): void {
    this.#close();
    const width = columns.length;
    const all = width + 2;
    const shape = width <= 2 ? 'few' : width <= NARROW ? 'some' : 'many';
    const head = markup`${this.#headings(all)}${loopHead(columns)}`;
    const groups = withoutEmptyHeadings(rows).flatMap((row): readonly Markup[] => {
      if (row.row !== 'heading') return [this.#loopRow(row, columns)];
      this.#waiting.push({ level: ROW, words: headingOf(row.title, ROW, onlyIfOf(row)) });
      return [];
    });
    this.#waiting = this.#waiting.filter((one) => one.level < ROW);
    this.#tables.push(
      markup`<table class="steps loop ${shape}"><colgroup><col class="number"><col class="text">${columns.map(() => markup`<col>`)}</colgroup>
<thead>${head}</thead>
${groups}</table>
`,
    );
  }

  #loopRow(row: Exclude<Row, { row: 'heading' }>, columns: readonly Column[]): Markup {
    const all = columns.length + 2;
    const before = this.#headings(all);
    if (row.row === 'hold')
      return markup`<tbody>${before}<tr><td class="number">${row.number}</td><td>${holdPoint(this.#written, row.at)}</td>${spans(
        row.at,
      ).map(
        ({ value, span }) =>
          markup`<td colspan="${span}">${value === undefined ? '—' : releaseBoxes(this.#written, value)}</td>`,
      )}</tr></tbody>
`;
    const steps = row.at.filter((one) => one !== undefined);
    const { full, again } = this.#hazards(steps.flatMap((one) => one.hazards));
    const { text, gaps } = instruction(this.#written, row.at, columns);
    return markup`<tbody>${before}${hazardRows(full, all)}<tr><td class="number">${row.number}</td><td>${hazardsAgain(again)}${text}${remedyLines(this.#written, steps, columns.length === 1)}</td>${spans(
      row.at,
    ).map(({ value, span, from }) => {
      const told = gaps.map((gap) => gap[from] ?? '');
      return markup`<td colspan="${span}">${value === undefined ? markup`<span class="none">not here</span>` : this.#loopCell(value, told, columns.length)}</td>`;
    })}</tr></tbody>
`;
  }

  #loopCell(step: StepNode, told: readonly string[], width: number): Markup {
    const ticked = isTicked(step) ? tick('') : undefined;
    return markup`${ticked}${cellOf(this.#written, step, width === 1, told)}`;
  }

  /** A hazard is said in full where it comes up first in a part, and after that by its first sentence. */
  #hazards(ids: readonly string[]): {
    readonly full: readonly PlanHazard[];
    readonly again: readonly PlanHazard[];
  } {
    const all = hazardsOf(this.#written.plan, ids);
    const full = all.filter((one) => !this.#inFull.has(one.id));
    for (const { id } of full) this.#inFull.add(id);
    return { full, again: all.filter((one) => !full.includes(one)) };
  }
}

/** Levels of headings: of a part of the work, and of a row among its steps. */
const PART = 3;
const ROW = 6;

function headingOf(title: string, level: number, condition: string): Markup {
  const words =
    title === ''
      ? undefined
      : level <= PART
        ? markup`<h3>${title}</h3>`
        : level < ROW
          ? markup`<h4>${title}</h4>`
          : markup`<b>${title}</b>`;
  return markup`${words}${condition === '' ? undefined : markup` <span class="only">${condition}</span>`}`;
}

const onlyIfOf = ({ onlyIf }: Extract<Row, { row: 'heading' }>): string =>
  onlyIf === undefined ? '' : `Only if ${onlyIf}:`;

const hazardRows = (hazards: readonly PlanHazard[], width: number): Insert =>
  hazards.map((one) => markup`<tr class="hazards"><td colspan="${width}">${hazard(one)}</td></tr>`);

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
  const labels = columns.map((column) => markup`<th scope="col">${column.label}</th>`);
  const step = markup`Step. Down each column to its end; <b class="gap">N</b> is its ${nameOf(columns)}`;
  if (!columns.some((column) => column.around !== undefined))
    return markup`<tr><th scope="col">No.</th><th scope="col">${step}</th>${labels}</tr>`;
  const around = spans(columns.map((column) => column.around)).map(
    ({ value, span }) => markup`<th scope="colgroup" colspan="${span}">${value}</th>`,
  );
  return markup`<tr><th scope="col" rowspan="2">No.</th><th scope="col" rowspan="2">${step}</th>${around}</tr><tr>${labels}</tr>`;
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

function holdPoint(written: Written, at: readonly (HoldNode | undefined)[]): Markup {
  const holds = at.flatMap((node) => written.plan.holds[node?.hold ?? -1] ?? []);
  const [first] = holds;
  return markup`<p class="holdpoint"><b>HOLD ${written.holds.label(at.find((one) => one !== undefined)?.hold ?? -1)}${first?.safety === true ? ', protects people' : ''}.</b> ${mergedForAll(holds.map((one) => one.text))}</p>`;
}

function releaseBoxes({ plan }: Written, node: HoldNode): Markup {
  const hold = plan.holds[node.hold];
  return markup`${(hold?.releases ?? []).map((way) => markup`<p>${tick(way.by)} ${signature(way.role === undefined ? '' : roleTitle(plan, way.role))}</p>`)}`;
}
