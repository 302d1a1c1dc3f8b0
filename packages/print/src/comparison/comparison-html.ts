import type { ComparedChange, ComparedSide, ComparisonDocument } from '@ferrule/compare/document';
import { type Markup, markup } from '../markup.ts';
import { type BehaviourGroup, type BehaviourLine, behaviourGroups } from './behaviour-groups.ts';
import { notices } from './comparison-markdown.ts';
import { comparisonStyle } from './comparison-style.ts';
import { changeGroups, changePlace } from './groups.ts';

/**
 * A comparison as one page of HTML, to be read, printed and handed on. It loads nothing and runs nothing; every text is text
 * and never markup. Both revisions, digests, notices and the deferral stand on every printed page.
 */
export function comparisonHtml(document: ComparisonDocument): string {
  const { pack, before, after, says, account } = document;
  const title = `${pack.title}: what ${after.revision} has otherwise than ${before.revision}`;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${comparisonStyle}</style>
</head>
<body>
<table class="page" role="presentation">
<thead><tr><td><div class="running"><span><b>Comparison</b> ${pack.title}</span><span>${before.revision} to ${after.revision}</span></div></td></tr></thead>
<tfoot><tr><td>${footing(document)}</td></tr></tfoot>
<tbody><tr><td>
<main>
<h1>${pack.title}</h1>
<p class="revisions">What revision <b>${after.revision}</b> has otherwise than <b>${before.revision}</b></p>
<div class="verdict"><ul>${says.map((one) => markup`<li>${one}</li>`)}</ul></div>
<div class="notice">${notices(document).map((one) => markup`<p><b>NOTICE</b> ${one}</p>`)}<p>${document.deferral}</p></div>
${sides(before, after, pack.id)}
${
  account.findings.length === 0
    ? undefined
    : markup`<h2 class="weaker">Not owned up to</h2><ul>${account.findings.map((one) => markup`<li>${one.says}</li>`)}</ul>`
}
${changeGroups(document).map(
  ({ title: heading, changes }) =>
    markup`<section${heading === 'Trials' ? markup` class="short"` : undefined}><h2${heading === 'Protects less' ? markup` class="weaker"` : undefined}>${heading}</h2>${
      heading === 'Trials'
        ? markup`<p>Trials are jobs that are played through to show what the pack does. They are no work.</p>`
        : undefined
    }${changes.map((one) => changed(one, document))}</section>`,
)}
${behaviourGroups(document).map(behaved)}
</main>
</td></tr></tbody>
</table>
</body>
</html>
`.toString();
}

function sides(before: ComparedSide, after: ComparedSide, id: string): Markup {
  const pins = (side: ComparedSide) =>
    side.libraries.map(({ id: name, revision }) => `${name} ${revision}`).join(', ');
  const laid = ({ overlay }: ComparedSide) =>
    overlay === undefined ? '' : `${overlay.id} ${overlay.revision}`;
  const rows: readonly (readonly [string, string, string, string?])[] = [
    ['Revision', `${id} ${before.revision}`, `${id} ${after.revision}`],
    ['Read from', before.name, after.name],
    ['Release', before.release, after.release],
    ['Digest', before.digest, after.digest, 'digest'],
    ['Overlay', laid(before), laid(after)],
    ['Libraries', pins(before), pins(after)],
  ];
  return markup`<table class="sides"><colgroup><col class="name"><col><col></colgroup><thead><tr><th></th><th>Before</th><th>After</th></tr></thead><tbody>${rows
    .filter(([, was, is]) => was !== '' || is !== '')
    .map(
      ([name, was, is, kind = '']) =>
        markup`<tr><th>${name}</th><td class="${kind}">${was}</td><td class="${kind}">${is}</td></tr>`,
    )}</tbody></table>`;
}

function changed(change: ComparedChange, { before, after }: ComparisonDocument): Markup {
  const { says, effect, needs, weight } = change;
  return markup`<div class="change"><p>${says}</p><div class="mark">${
    effect === undefined
      ? undefined
      : markup`<b class="${effect}">${effect === 'weaker' ? 'protects less' : 'protects more'}</b> `
  }${change.change}; weight ${weight}; asks for a ${needs} revision</div>${
    change.kind === 'trial'
      ? undefined
      : markup`<div class="two">${side('Before', before, change.before)}${side('After', after, change.after)}</div>`
  }</div>`;
}

/** What was found by running the newer revision: a way as numbered steps. */
function behaved({ title, items }: BehaviourGroup): Markup {
  const lines = (some: readonly BehaviourLine[]): Markup | undefined =>
    some.length === 0
      ? undefined
      : markup`<table class="way"><tbody>${some.map(
          ({ number, says, happens }) =>
            markup`<tr><th scope="row">${number}</th><td>${says}${happens.map((one) => markup`<span class="other">${one}</span>`)}</td></tr>`,
        )}</tbody></table>`;
  return items.every((one) => one.lines.length === 0)
    ? markup`<section><h2>${title}</h2><ul>${items.map(({ says }) => markup`<li>${says}</li>`)}</ul></section>`
    : markup`<section><h2>${title}</h2>${items.map(
        (one) => markup`<div class="change"><p>${one.says}</p>${lines(one.lines)}</div>`,
      )}</section>`;
}

/** Longer than this it is prose, and no value to be seen at a glance. */
const LONG = 60;

function side(label: string, where: ComparedSide, stated: ComparedChange['before']): Markup {
  if (stated === undefined)
    return markup`<div><span class="label">${label} (${where.revision})</span><span class="none">not there</span></div>`;
  return markup`<div><span class="label">${label} (${where.revision})</span><span class="${stated.says.length > LONG ? 'words' : 'value'}">${stated.says}</span>${
    stated.other === undefined ? undefined : markup`<span class="other">${stated.other}</span>`
  }<span class="place">${changePlace(where.name, stated)}</span></div>`;
}

function footing({ pack, before, after, deferral, ...document }: ComparisonDocument): Markup {
  const told = notices({ pack, before, after, deferral, ...document });
  return markup`<div class="foot"><p><b>${pack.id}</b> before <b>${before.revision}</b>, ${before.release}: <span class="digest">${before.digest}</span></p><p>after <b>${after.revision}</b>, ${after.release}: <span class="digest">${after.digest}</span></p>${told.map((one) => markup`<p>NOTICE: ${one}</p>`)}<p>${deferral}</p></div>`;
}
