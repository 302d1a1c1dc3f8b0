import type { StepNode } from '@ferrule/engine';
import { type Insert, type Markup, markup } from '../markup.ts';
import { lettered, tick } from './boxes.ts';
import { cellOf, isTicked } from './cells.ts';
import { hazard, hazardsAgain, hazardsOf } from './hazards.ts';
import { instructionForAll } from './instruction.ts';
import { remedyLines } from './remedies.ts';
import type { Rework, Row } from './worklist.ts';
import { mergedForAll, type Written } from './written.ts';

/** Columns for how often a rework is done; more go onto a further sheet. */
const MOST_TICKS = 6;
const MOST_ENTRIES = 2;
const IN_EVERY_CASE = 'In every case';

/** The reworks of more than one step, each by its letter as a list with a column for each time; nothing without any. */
export function reworkLists(written: Written): Markup | undefined {
  const lists = written.work.reworks.filter((one) => one.letter !== undefined);
  return lists.length === 0
    ? undefined
    : markup`<h2>Reworks</h2>
<p class="fine">Done only where a step or a hold says so, as often as it says. A column for each time. When a list is done, go on where the step or the hold says. Where its columns are used up, take another copy of the page.</p>
${lists.map((one) => listOf(written, one))}`;
}

function listOf(written: Written, rework: Rework): Markup {
  const hasEntries = rework.rows.some(
    (row) => row.row === 'step' && row.at.some((step) => step !== undefined && hasCell(written, step)),
  );
  const count = Math.max(
    1,
    Math.min(hasEntries ? MOST_ENTRIES : MOST_TICKS, rework.times * Math.max(1, rework.bores)),
  );
  const heads = Array.from(
    { length: count },
    (_, number) =>
      markup`<th scope="col" class="time">${rework.bores > 1 ? markup`bore<br><span class="blank time"></span>` : `${number + 1}`}</th>`,
  );
  const shape = hasEntries ? (count === 1 ? 'entries one' : 'entries few') : 'ticks';
  const title = markup`<b class="letter">Rework ${rework.letter ?? ''}</b> for ${usedBy(rework)}`;
  let pending: string[] = [];
  const bodies: Markup[] = [];
  for (const row of rework.rows) {
    if (row.row === 'heading') {
      // What is done in every case needs no words where the next part has its own.
      if (pending.at(-1) === IN_EVERY_CASE) pending.pop();
      if (row.title !== '') pending.push(row.title);
      if (row.onlyIf !== undefined) pending.push(`Only if ${row.onlyIf}:`);
      continue;
    }
    const before =
      pending.length === 0
        ? undefined
        : markup`<tr class="heading"><th colspan="${count + 2}" scope="rowgroup">${pending.map((one) => markup`<span>${one}</span> `)}</th></tr>`;
    bodies.push(markup`<tbody>${before}${rowOf(written, row, count, hasEntries)}</tbody>
`);
    pending = [];
  }
  return markup`<table class="steps rework ${shape}"><colgroup><col class="number"><col class="text">${heads.map(() => markup`<col class="time">`)}</colgroup>
<thead><tr><th colspan="2" scope="colgroup">${title}</th>${heads}</tr></thead>
${bodies}</table>
`;
}

const usedBy = ({ steps, holds }: Rework): Insert =>
  [
    ...(steps.length === 0 ? [] : [`${steps.length === 1 ? 'step' : 'steps'} ${listed(steps)}`]),
    ...(holds.length === 0 ? [] : [`${holds.length === 1 ? 'hold' : 'holds'} ${listed(holds)}`]),
  ].join(' and ');

const listed = (all: readonly string[]): string =>
  all.length < 2 ? (all[0] ?? '') : `${all.slice(0, -1).join(', ')} and ${all.at(-1) ?? ''}`;

const hasCell = (written: Written, step: StepNode): boolean =>
  !isTicked(step) || cellOf(written, step, true).length > 0;

function rowOf(
  written: Written,
  row: Exclude<Row, { row: 'heading' }>,
  count: number,
  hasEntries: boolean,
): Markup {
  if (row.row === 'hold') {
    const holds = row.at.flatMap((node) => written.plan.holds[node?.hold ?? -1] ?? []);
    const label = written.holds.label(row.at.find((one) => one !== undefined)?.hold ?? -1);
    return markup`<tr><td class="number">${row.number}</td><td colspan="${count + 1}"><b>HOLD ${label}.</b> ${mergedForAll(holds.map((one) => one.text))}</td></tr>`;
  }
  const steps = row.at.flatMap((one) => one ?? []);
  const [first] = steps;
  if (first === undefined) return markup``;
  const hazards = hazardsOf(
    written.plan,
    steps.flatMap((one) => one.hazards),
  );
  const inFull = hazards.filter((one) => !written.work.isSaid(one.id));
  const again = hazards.filter((one) => written.work.isSaid(one.id));
  const isOne = count === 1;
  const cell = markup`<td>${isTicked(first) ? markup`${tick('')} ` : undefined}${hasEntries ? cellOf(written, first, isOne) : undefined}</td>`;
  return markup`${inFull.map((one) => markup`<tr class="hazards"><td colspan="${count + 2}">${hazard(one)}</td></tr>`)}<tr><td class="number">${row.number}</td><td>${hazardsAgain(again)}${instructionForAll(written, steps)}${remedyLines(written, steps, isOne)}${row.passes === undefined ? undefined : markup`<p>${row.passes.map((one) => markup`${lettered(one)} `)}</p>`}</td>${Array.from({ length: count }, () => cell)}</tr>`;
}
