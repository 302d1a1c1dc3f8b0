import type {
  ReadingsAgainst,
  ReadingsCounted,
  ReadingsDocument,
  ReadingsStruck,
} from '@ferrule/compare/readings';
import { cardStyle } from '../card/card-style.ts';
import { type Markup, markup } from '../markup.ts';
import { type SpreadDrawn, spreadPicture } from '../spread-picture.ts';
import { shareOf } from './share-of.ts';

/** A number and its unit stay on one line; only what a row is called is broken. */
const style = `
.against th, .against td { overflow-wrap: normal; }
.against td { white-space: nowrap; }
.against td:first-child { white-space: normal; }
`;

/**
 * How what was measured lies against its limits, as one page of HTML to be printed or shown. It loads nothing and runs nothing.
 */
export function readingsHtml(document: ReadingsDocument): string {
  const { pack, of, title, deferral, notices, store, says, against, whole } = document;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}: readings against limits</title>
<style>${cardStyle}${style}</style>
</head>
<body>
<table class="page" role="presentation">
<thead><tr><td><div class="running"><span><b>Readings against limits</b> ${of} of ${pack}</span><span>${store}</span></div></td></tr></thead>
<tfoot><tr><td><div class="foot">${notices.map((one) => markup`<p>NOTICE: ${one}</p>`)}<p>${deferral}</p></div></td></tr></tfoot>
<tbody><tr><td>
<main>
<h1>${title}</h1>
<p>${of} of ${pack}${boundsOf(document)}</p>
<div class="result">${says[0] ?? ''}<ul>${says.slice(1).map((one) => markup`<li>${one}</li>`)}</ul></div>
${notices.map((one) => markup`<div class="notice">${one}</div>`)}
${whole === undefined ? undefined : markup`<h2>All of them</h2>${table([['in all', whole]])}`}
${against.map((one, place) => section(one, place))}
${struckTable(document)}
${faultTable(document)}
</main>
</td></tr></tbody>
</table>
</body>
</html>
`.toString();
}

/** What was asked for besides the name. */
export function boundsOf(
  bounds: Pick<ReadingsDocument, 'procedure' | 'variant' | 'revision' | 'from' | 'until'>,
): string {
  const { procedure, variant, revision, from, until } = bounds;
  const said = [
    ...[procedure, variant].flatMap((one) => one ?? []),
    ...(revision === undefined ? [] : [`revision ${revision}`]),
    ...(from === undefined ? [] : [`from ${from}`]),
    ...(until === undefined ? [] : [`until ${until}`]),
  ].join(', ');
  return said === '' ? '' : `; only ${said}`;
}

function section(one: ReadingsAgainst, place: number): Markup {
  const { of, title, limits, procedure, revisions, variants, jobs, byBore, byInstrument, counted } = one;
  const drawn = drawnOf(one, `spread-${place}`);
  const picture = drawn === undefined ? undefined : spreadPicture(drawn);
  return markup`<h2>${title}: ${limits === 'none' ? 'not judged' : limits}</h2>
<p>${of} in ${procedure}; revision ${revisions.join(', ')}; ${variants.join(', ')}; ${jobs} ${jobs === 1 ? 'job' : 'jobs'}.</p>
${picture}
${table([
  ['in all', counted],
  ...byBore.map((bore): Row => [`bore ${bore.place}`, bore.counted]),
  ...byInstrument.map((by): Row => [by.instrument, by.counted]),
])}`;
}

/** What a picture of the values shows; undefined where there are no bins. */
function drawnOf({ title, limits, low, high, bins }: ReadingsAgainst, name: string): SpreadDrawn | undefined {
  if (bins === undefined) return undefined;
  const mark = ({ number, text }: { readonly number: string; readonly text: string }) => ({
    at: Number(number),
    text,
  });
  const { edges, counts, below, inside, above } = bins;
  return {
    ...{ name, title: `${title}: ${limits}`, edges: edges.map(mark), bins: counts },
    newer: {
      named: 'limit',
      ...(low === undefined ? {} : { low: mark(low) }),
      ...(high === undefined ? {} : { high: mark(high) }),
      ...{ below, inside, above },
    },
  };
}

type Row = readonly [string, ReadingsCounted];

function table(rows: readonly Row[]): Markup {
  return markup`<table class="grid against"><thead><tr><th></th><th>Values</th><th>Conforming</th><th>Nonconforming</th><th>Inconclusive</th><th>Mean</th><th>Standard deviation</th><th>Lowest, highest</th><th>Near a limit</th></tr></thead><tbody>${rows.map(
    ([name, one]) =>
      markup`<tr><td>${name}</td><td>${one.count}${one.beyond === 0 ? undefined : markup`<span class="also">${one.beyond} beyond a scale</span>`}</td><td>${one.conforming}</td><td>${one.nonconforming === 0 ? '0' : markup`<span class="bad">${one.nonconforming}</span>`}</td><td>${one.inconclusive}</td><td>${one.mean ?? ''}</td><td>${one.deviation ?? ''}</td><td>${one.lowest ?? ''}<div>${one.highest ?? ''}</div></td><td>${shareOf(one)}</td></tr>`,
  )}</tbody></table>`;
}

function struckTable({ struckCount, struck }: ReadingsDocument): Markup | undefined {
  if (struckCount === 0) return undefined;
  const row = ({ job, seq, of, value, struckBy, by, reason }: ReadingsStruck): Markup =>
    markup`<tr><td>${job}, ${seq}</td><td>${of}</td><td>${value ?? ''}</td><td>fact ${struckBy}, ${by}<span class="also">${reason}</span></td></tr>`;
  return markup`<h2>Struck, and left out</h2>${
    struck.length === struckCount ? undefined : markup`<p>The first ${struck.length} of ${struckCount}.</p>`
  }<table class="grid"><thead><tr><th>Job, fact</th><th>Of</th><th>Value</th><th>Struck by</th></tr></thead><tbody>${struck.map(row)}</tbody></table>`;
}

function faultTable({ faultCount, faults }: ReadingsDocument): Markup | undefined {
  if (faultCount === 0) return undefined;
  return markup`<h2>Files that are left out</h2>${
    faults.length === faultCount ? undefined : markup`<p>The first ${faults.length} of ${faultCount}.</p>`
  }<table class="grid"><thead><tr><th>File</th><th>Why</th></tr></thead><tbody>${faults.map(
    ({ job, message }) => markup`<tr><td>${job}</td><td>${message}</td></tr>`,
  )}</tbody></table>`;
}
