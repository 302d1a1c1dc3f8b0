import { cardStyle } from '../card/card-style.ts';
import { type Markup, markup } from '../markup.ts';
import type {
  RejudgedAside,
  RejudgedChange,
  RejudgedFrom,
  RejudgedReport,
  RejudgedRow,
  RejudgedVerdict,
} from './rejudged-report.ts';
import { spreadFigure } from './rejudged-spread.ts';

/**
 * Jobs judged by another revision, as one page of HTML to be printed or shown. It loads nothing and runs nothing. `rows` and
 * `aside` are the first of them; what is not listed is counted, and where all of it stands is said.
 */
export function rejudgedHtml(
  report: RejudgedReport,
  rows: readonly RejudgedRow[],
  aside: readonly RejudgedAside[],
): string {
  const { pack, revision, digest, release, notice, deferral } = report;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Jobs judged by ${pack.id} ${revision}</title>
<style>${cardStyle}${spreadStyle}</style>
</head>
<body>
<table class="page" role="presentation">
<thead><tr><td><div class="running"><span><b>Jobs judged again</b> by ${pack.id} ${revision}</span><span>${report.store}</span></div></td></tr></thead>
<tfoot><tr><td><div class="foot"><p><b>${pack.id} ${revision}</b> <span class="digest">${digest}</span></p><p><b>${release}</b></p>${
    notice === undefined ? undefined : markup`<p>NOTICE: ${notice}</p>`
  }<p>${deferral}</p></div></td></tr></tfoot>
<tbody><tr><td>
<main>
<h1>Jobs judged again</h1>
<p>${pack.title}, revision ${revision}</p>
<div class="result">${report.says[0] ?? ''}<ul>${report.says.slice(1).map((one) => markup`<li>${one}</li>`)}</ul></div>
${notice === undefined ? undefined : markup`<div class="notice">${notice}</div>`}
${report.from.map((one, place) => section(one, place, revision))}
${rowTable(report, rows)}
${asideTable(report, aside)}
</main>
</td></tr></tbody>
</table>
</body>
</html>
`.toString();
}

function section(from: RejudgedFrom, place: number, newer: string): Markup {
  const { revision, overlay, procedure, variant, jobs, digest, says, measures } = from;
  const laid = overlay === undefined ? '' : ` with overlay ${overlay}`;
  return markup`<h2>Done by ${revision}${laid}: ${procedure}, ${variant}</h2>
<p>${jobs} ${jobs === 1 ? 'job' : 'jobs'}. <span class="digest">${digest}</span></p>
${says.map((one) => markup`<p>${one}</p>`)}
${
  measures.length === 0
    ? undefined
    : markup`<table class="grid stacked"><thead><tr><th>Judged</th><th>Limits then</th><th>Limits now</th><th>Because of</th><th>What came of it</th></tr></thead><tbody>${measures.map(
        (one) =>
          markup`<tr><td><b>${one.title}</b><span class="also">${one.name}</span></td><td data-head="Limits then: ">${one.limitsThen ?? 'none'}</td><td data-head="Limits now: ">${one.limitsNow ?? 'none'}</td><td data-head="Because of: ">${one.changes.map(changeLine)}</td><td data-head="What came of it: ">${one.says.map((line) => markup`<div>${line}</div>`)}</td></tr>`,
      )}</tbody></table>${measures.map(({ title, spread }, index) =>
        spread === undefined
          ? undefined
          : spreadFigure(`spread-${place + 1}-${index + 1}`, title, spread, { older: revision, newer }),
      )}`
}`;
}

/**
 * A picture shrinks with a narrow screen, and is not cut by the end of a sheet. Where a table has no room for its columns,
 * each cell stands below the one before with its head in front.
 */
const spreadStyle = `
figure.spread { margin: 4mm 0; break-inside: avoid; }
figure.spread svg { max-width: 100%; height: auto; }
@media screen and (max-width: 600px) {
  table.stacked thead { display: none; }
  table.stacked tr, table.stacked td { display: block; }
  table.stacked td[data-head] { border-top: 0; }
  table.stacked td[data-head]::before { content: attr(data-head); font-weight: bold; }
}
`;

const changeLine = ({ change, pointer }: RejudgedChange): Markup =>
  markup`<div>${change}<span class="also">${pointer}</span></div>`;

function rowTable({ rowCount }: RejudgedReport, rows: readonly RejudgedRow[]): Markup | undefined {
  if (rowCount === 0) return undefined;
  const rest =
    rowCount === rows.length
      ? undefined
      : markup`<p>The first ${rows.length} of ${rowCount}. All of them stand in the rows (CSV) and in the document (JSON).</p>`;
  return markup`<h2>Verdicts that are not what they were</h2>${rest}
<table class="grid stacked"><thead><tr><th>Job, fact</th><th>Judged</th><th>Then</th><th>Now</th></tr></thead><tbody>${rows.map(
    (row) =>
      markup`<tr><td>${row.job}${row.seq === undefined ? undefined : `, ${row.seq}`}<span class="also">${row.revision}, ${row.variant}</span></td><td data-head="Judged: ">${row.of}</td><td data-head="Then: ">${verdict(row.was)}</td><td data-head="Now: ">${
        row.cannot === undefined
          ? verdict(row.is)
          : markup`<span class="open">cannot be judged</span> ${row.cannot}`
      }</td></tr>`,
  )}</tbody></table>`;
}

const verdict = (one: RejudgedVerdict | undefined): Markup =>
  one === undefined
    ? markup`not judged`
    : markup`${one.verdict === 'nonconforming' ? markup`<span class="bad">nonconforming</span>` : one.verdict}<span class="also">${one.value ?? ''}${one.limits === undefined ? '' : `; limits ${one.limits}`}</span>`;

function asideTable({ asideCount }: RejudgedReport, aside: readonly RejudgedAside[]): Markup | undefined {
  if (asideCount === 0) return undefined;
  return markup`<h2>Left aside</h2>${
    asideCount === aside.length
      ? undefined
      : markup`<p>The first ${aside.length} of ${asideCount}. All of them stand in the document (JSON).</p>`
  }<table class="grid"><thead><tr><th>File</th><th>Why</th></tr></thead><tbody>${aside.map(
    (one) => markup`<tr><td>${one.job}</td><td><b>${one.because}</b> ${one.message}</td></tr>`,
  )}</tbody></table>`;
}
