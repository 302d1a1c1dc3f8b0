import { type Markup, markup } from '../markup.ts';
import { cardFront } from './card-front.ts';
import { cardMeasured } from './card-measured.ts';
import { cardRecord } from './card-record.ts';
import { cardStyle } from './card-style.ts';
import { cardSaid, cardUnusual } from './card-unusual.ts';
import type { CardDocument } from './generated/card-document.ts';

/**
 * A job card as one page of HTML to be printed on A4 or US Letter, or shown. It loads nothing and runs nothing; every text is
 * text and never markup. Revision, digests, whether pack and record are signed, notice and deferral stand on every printed
 * page, and an unfinished job says so there.
 */
export function cardHtml(card: CardDocument): string {
  const { pack, engine, job } = card;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Job card ${job.id ?? ''} ${engine.serial?.text ?? ''} ${pack.procedure.title}</title>
<style>${cardStyle}</style>
</head>
<body>
<table class="page" role="presentation">
<thead><tr><td><div class="running"><span><b>Job card</b> ${pack.procedure.title}, ${pack.variant.title}</span><span>${engine.serial === undefined ? undefined : markup`Engine <b>${engine.serial.text}</b>`}${job.id === undefined ? undefined : markup` &#183; ${job.id}`}</span></div>${stamp(card)}</td></tr></thead>
<tfoot><tr><td>${footing(card)}</td></tr></tfoot>
<tbody><tr><td>
<main>
${cardFront(card)}
${cardMeasured(card)}
${cardUnusual(card)}
${cardSaid(card)}
<div class="sign"><div>Technician, date</div><div>Looked over by, date</div><div>Received by, date</div></div>
${cardRecord(card)}
</main>
</td></tr></tbody>
</table>
</body>
</html>
`.toString();
}

function stamp({ job }: CardDocument): Markup | undefined {
  if (job.state === 'finished') return undefined;
  return markup`<div class="stamp">${job.says}${job.reason === undefined ? undefined : ` ${job.reason}`}</div>`;
}

function footing({ pack, job, release, signature, notice, deferral }: CardDocument): Markup {
  const { overlay } = pack;
  return markup`<div class="foot"><p><b>${pack.id} ${pack.revision}</b>${
    overlay === undefined ? undefined : markup` with overlay <b>${overlay.id} ${overlay.revision}</b>`
  } <span class="digest">${pack.digest}</span></p>${
    job.lastDigest === undefined
      ? undefined
      : markup`<p>last of ${job.facts} facts <span class="digest">${job.lastDigest}</span></p>`
  }<p><b>${release.says} ${signature.says}</b></p>${notice === undefined ? undefined : markup`<p>NOTICE: ${notice}</p>`}<p>${deferral}</p></div>`;
}
