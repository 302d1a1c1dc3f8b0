import { type Pack, type Plan, Report, resolveVariant } from '@ferrule/engine';
import { drawCrank } from '../crank-picture.ts';
import { deferral } from '../deferral.ts';
import { type Markup, markup } from '../markup.ts';
import { blank, signature } from './boxes.ts';
import { Holds } from './holds.ts';
import { lookUpTables } from './look-up-tables.ts';
import { afterCompletion, identification, preliminaryRequirements, procedureOf } from './requirements.ts';
import { reworkLists } from './rework-lists.ts';
import { stepSections } from './steps.ts';
import { style } from './style.ts';
import { holdTable, limitTable, rotationTable, torqueTable } from './tables.ts';
import { waysTable } from './ways-table.ts';
import { worklistOf } from './worklist.ts';
import type { Written } from './written.ts';

export interface SheetOptions {
  /** Digest of the bundle that the plan was made from. */
  readonly digest: string;
  /** How the pack was released, in words; unsigned if not said. */
  readonly release?: string;
}

/**
 * A procedure for one variant as one page of HTML to be printed and filled in by hand. It loads nothing and runs nothing;
 * what comes from the pack is text and never markup. `pack` is the one that the plan was resolved from: it has the lists
 * and titles that a job does not need. Revision, digest, release, notice and the deferral stand on every printed page.
 */
export function sheet(plan: Plan, pack: Pack, options: SheetOptions): string {
  const holds = new Holds(plan);
  const written: Written = { plan, pack, work: worklistOf(plan, pack, holds), holds };
  const title = `${plan.procedure.title}: ${plan.variant.title}`;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${style}</style>
</head>
<body>
<table class="page" role="presentation">
<thead><tr><td><div class="running"><span><b>${plan.procedure.title}</b>, ${plan.variant.title}</span><span>Engine serial ${blank('short')}</span></div></td></tr></thead>
<tfoot><tr><td>${footing(plan, options)}</td></tr></tfoot>
<tbody><tr><td>
<main>
${content(written, options)}
</main>
</td></tr></tbody>
</table>
</body>
</html>
`.toString();
}

function footing({ pack }: Plan, { digest, release = UNSIGNED }: SheetOptions): Markup {
  const { overlay } = pack;
  return markup`<div class="foot"><p><b>${pack.id} ${pack.revision}</b>${
    overlay === undefined ? undefined : markup` with overlay <b>${overlay.id} ${overlay.revision}</b>`
  }, <b>${release}</b> <span class="digest">${digest}</span></p>${
    pack.notice === undefined ? undefined : markup`<p>NOTICE: ${pack.notice}</p>`
  }<p>${deferral}</p></div>`;
}

const UNSIGNED = 'unsigned';

function content(written: Written, { digest, release = UNSIGNED }: SheetOptions): Markup {
  const { plan, pack } = written;
  const source = procedureOf(plan, pack)?.source ?? pack.source;
  const crank = crankFigure(plan, pack);
  const rotation = rotationTable(plan);
  return markup`<h1>${plan.procedure.title}</h1>
<p><b>${plan.variant.title}</b> (${plan.variant.id}). ${plan.pack.title}: pack ${plan.pack.id}, revision ${plan.pack.revision}, procedure ${plan.procedure.id}${source === undefined ? undefined : markup`. Source: ${source}`}. Release: <b>${release}</b></p>
<p class="digest">${digest}</p>
${overlaid(plan)}
<div class="notice">${plan.pack.notice === undefined ? undefined : markup`<p><b>NOTICE</b> ${plan.pack.notice}</p>`}<p><b>${deferral}</b></p></div>
${identification(written)}
${preliminaryRequirements(written)}
<h2>Steps</h2>
<p class="fine">In this order. Tick a box as its step is done. <b>C</b> conforming, <b>X</b> nonconforming, <b>H</b> too high, <b>L</b> too low, <b>?</b> inconclusive, where a rule leaves that open: by the limits alone, a value at its limit conforms. A cell that spans several columns is done once for all of them. A hold (H1 and on) stops the work, and a letter (A and on) is a rework: both are listed after the steps. Cross out what was entered wrongly so that it can still be read, and sign beside it.</p>
${waysTable(written)}
${stepSections(written)}
${afterCompletion(written)}
<h3>Signed</h3>
<p class="signed">${signature('Technician')}</p>
${reworkLists(written)}
<h2>Holds</h2>
${holdTable(written)}
<h2>Limits and their sources</h2>
${limitTable(written)}
${lookUpTables(plan, pack)}
<h2>Torques</h2>
${torqueTable(written)}
${crank === undefined ? undefined : markup`<h2>Crank</h2>${rotation === undefined ? undefined : markup`<h3>Rotation plan</h3>${rotation}`}${crank}`}
${laws(plan)}
${leaving(plan)}
<h2>Further readings and remarks</h2>
${furtherReadings}`;
}

/** The overlay of the shop that was laid over the pack, with its digest and that of the pack by itself. */
function overlaid({ pack: { id, revision, overlay } }: Plan): Markup | undefined {
  return (
    overlay &&
    markup`<p>With the overlay <b>${overlay.id} ${overlay.revision}</b>: ${overlay.title}</p>
<p class="digest">${overlay.digest}</p>
<p>over ${id} ${revision} as it was released</p>
<p class="digest">${overlay.over}</p>`
  );
}

/** Laws that forbid something in some state, each once, in the words of the pack. */
function laws(plan: Plan): Markup | undefined {
  const says = new Set<string>();
  for (const node of plan.nodes) {
    if (node.node !== 'step') continue;
    for (const { because } of [...node.guards, ...node.invariants])
      if (because.guard === 'interlock') says.add(because.says);
  }
  return says.size === 0
    ? undefined
    : markup`<h2>Laws of this work</h2><ul class="laws">${[...says].map((one) => markup`<li>${one}</li>`)}</ul>`;
}

function leaving({ parking }: Plan): Markup {
  if (parking === undefined)
    return markup`<h2>If the work is left unfinished</h2><p>The pack states no place at which it may be left.</p>`;
  const again = parking.onResuming.map((one) => markup`<li>${one.text}</li>`);
  return markup`<h2>If the work is left unfinished</h2><p>Only while ${parking.guard.because.says.replace(/^parking needs /, '')}</p><p>${parking.instructions}</p>${again.length === 0 ? undefined : markup`<p>Before going on, again:</p><ul>${again}</ul>`}`;
}

function crankFigure(plan: Plan, pack: Pack): Markup | undefined {
  const runningDirection = pack.variants[plan.variant.id]?.['running-direction'];
  const drawn = drawCrank(resolveVariant(pack, plan.variant.id, new Report()), {
    ...(runningDirection === undefined ? {} : { runningDirection }),
  });
  return drawn && markup`<figure>${drawn}</figure>`;
}

const furtherReadings = markup`<table class="list remarks"><thead><tr><th scope="col">Step</th><th scope="col">Bore</th><th scope="col">Reading or remark</th><th scope="col">Conforming?</th><th scope="col">Signed</th></tr></thead><tbody>${Array.from(
  { length: 6 },
  () => markup`<tr><td>&nbsp;<br>&nbsp;</td><td></td><td></td><td></td><td></td></tr>`,
)}</tbody></table>`;
