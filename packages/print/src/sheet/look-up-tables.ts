import { type Pack, type Plan, type TypedAmount, writeQuantity } from '@ferrule/engine';
import { type Markup, markup } from '../markup.ts';

type Table = Extract<TypedAmount, { operation: 'table' }>['table'];

/** The tables by which values and limits of this work are worked out, each once with its points; nothing without any. */
export function lookUpTables(plan: Plan, pack: Pack): Markup | undefined {
  const tables = new Map<string, Table>();
  for (const { value, limitsFrom = {} } of plan.tolerances)
    for (const amount of [value, ...Object.values(limitsFrom)])
      for (const one of tablesIn(amount)) tables.set(one.id, one);
  if (tables.size === 0) return undefined;
  return markup`<h2>Tables</h2><p>Between two points the value changes in proportion. Outside of a table there is none.</p>${[
    ...tables.values(),
  ].map((table) => pointsOf(table, pack))}`;
}

function tablesIn(amount: TypedAmount): readonly Table[] {
  switch (amount.node) {
    case 'calculation': {
      const inside = amount.operands.flatMap(tablesIn);
      return amount.operation === 'table' ? [amount.table, ...inside] : inside;
    }
    case 'if':
      return [...tablesIn(amount.then), ...tablesIn(amount.otherwise)];
    default:
      return [];
  }
}

/** Points side by side, as many as stand in a line, each with what it gives below it. */
function pointsOf({ id, title, points }: Table, pack: Pack): Markup {
  const rows = Array.from({ length: Math.ceil(points.length / IN_A_LINE) }, (_, line) =>
    points.slice(line * IN_A_LINE, (line + 1) * IN_A_LINE),
  );
  const source = pack.tables?.[id]?.source;
  return markup`<table class="list points"><caption><b>${title}</b>${source === undefined ? undefined : `, source: ${source}`}</caption><tbody>${rows.map(
    (row) =>
      markup`<tr><th scope="row">at</th>${row.map(([at]) => markup`<td>${writeQuantity(at)}</td>`)}</tr><tr><th scope="row">is</th>${row.map(([, is]) => markup`<td>${writeQuantity(is)}</td>`)}</tr>`,
  )}</tbody></table>`;
}

const IN_A_LINE = 8;
