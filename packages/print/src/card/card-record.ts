import { type Insert, type Markup, markup } from '../markup.ts';
import type { CardDocument, CardReading, CardTightened, CardVerdict } from './generated/card-document.ts';
import { verdictMark } from './strip-mark.ts';

/** Every verdict, reading and torque with its instrument, those that no longer count marked as such, and what it all rests on. */
export function cardRecord(card: CardDocument): Markup {
  return markup`<h2 class="new">The record in full</h2>
<p class="small">In the order of the facts. What is hatched no longer counts: it was struck, or was taken again.</p>
${verdictTable(card.verdicts)}
${readingTable(card.readings)}
${tightenedTable(card.tightened)}
${instrumentTable(card)}
${restsOn(card)}`;
}

function table(
  heading: string,
  head: readonly string[],
  rows: readonly { readonly isGone: boolean; readonly cells: readonly Insert[] }[],
): Markup | undefined {
  if (rows.length === 0) return undefined;
  return markup`<h3>${heading}</h3><table class="grid record"><thead><tr>${head.map((one) => markup`<th scope="col">${one}</th>`)}</tr></thead><tbody>${rows.map(
    ({ isGone, cells }) =>
      markup`<tr class="${isGone ? 'gone' : 'counts'}">${cells.map((one) => markup`<td>${one}</td>`)}</tr>`,
  )}</tbody></table>`;
}

const time = (at: string): Markup => markup`<span class="nb">${at.slice(5, 10)} ${at.slice(11, 16)}</span>`;

const bore = (one: { readonly bore?: number }): Insert => one.bore ?? '';

/** Why a line no longer counts. */
const gone = (
  one: Pick<CardReading, 'state'> & Partial<Pick<CardReading, 'struckBy'>>,
): Markup | undefined =>
  one.state === 'counts'
    ? undefined
    : markup` <span class="open">${one.state === 'struck' ? (one.struckBy === undefined ? 'STRUCK' : `STRUCK by ${one.struckBy}`) : 'AGAIN LATER'}</span>`;

function verdictTable(all: readonly CardVerdict[]): Markup | undefined {
  return table(
    'Verdicts',
    ['fact', 'time', 'what was judged', 'bore', 'value', '± U; inside with', 'limits', 'verdict', 'by'],
    all.map((one) => ({
      isGone: one.state !== 'counts',
      cells: [
        one.seq,
        time(one.at),
        markup`<span class="title">${one.title}</span>${one.derivation === undefined ? undefined : markup`<span class="also">${one.derivation}</span>`}`,
        bore(one),
        one.value,
        one.uncertainty === undefined
          ? undefined
          : markup`± ${one.uncertainty}${one.coverageFactor === '2' ? undefined : ` (k = ${one.coverageFactor ?? '?'})`}<span class="also">${one.probability}${one.rule === undefined || one.rule === 'simple' ? undefined : `, ${one.rule.replaceAll('-', ' ')}`}</span>`,
        one.limits === undefined ? undefined : limits(one.limits),
        markup`${verdictMark(one.verdict, { conceded: one.conceded })}${gone(one)}<span class="also">${says(one)}</span>`,
        [...(one.instruments ?? []), ...(one.carried ?? []).map((from) => `taken over from ${from}`)].join(
          ', ',
        ),
      ],
    })),
  );
}

/** Limits in one line, where that leaves room for the rest; longer ones break. */
const limits = (text: string): Insert => (text.length > 22 ? text : markup`<span class="nb">${text}</span>`);

function says({
  verdict,
  margin,
  excess,
  side,
  because,
  advice,
  standsOut,
  chosen,
  doubtful,
}: CardVerdict): string {
  return [
    ...(margin === undefined ? [] : [`${margin} to spare`]),
    ...(excess === undefined ? [] : [`${excess} too ${side ?? 'far out'}`]),
    ...(because === undefined ? [] : [because]),
    ...(chosen === undefined ? [] : [chosen]),
    ...(standsOut === undefined ? [] : [standsOut]),
    ...(doubtful === true ? ['too near its limit for this instrument'] : []),
    ...(advice === undefined || verdict === 'conforming' ? [] : [advice]),
  ].join('; ');
}

function readingTable(all: readonly CardReading[]): Markup | undefined {
  return table(
    'Readings',
    ['fact', 'time', 'what was measured', 'bore', 'reading', 'instrument', 'due', 'by'],
    all.map((one) => ({
      isGone: one.state !== 'counts',
      cells: [
        one.seq,
        time(one.at),
        markup`<span class="title">${one.title}</span>${one.repeat === undefined ? undefined : `, reading ${one.repeat}`}${gone(one)}${notesOn(one)}`,
        bore(one),
        markup`<span class="nb">${one.value}</span>`,
        one.instrument ?? (one.carried === undefined ? 'counted or read off' : 'taken over'),
        one.due === undefined ? undefined : markup`<span class="nb">${one.due}</span>`,
        one.by,
      ],
    })),
  );
}

function notesOn({ column, taken, spread, throughout, carried, allowed }: CardReading): Markup | undefined {
  const notes = [
    ...(column === undefined ? [] : [column.replace('-', ' ')]),
    ...(taken === undefined ? [] : [`taken of all: ${taken}`]),
    ...(spread === undefined ? [] : [`spread ${spread}`]),
    ...(throughout === undefined ? [] : [`held throughout: ${throughout.join('; ')}`]),
    ...(carried === undefined ? [] : [carried]),
    ...(allowed ?? []),
  ];
  return notes.length === 0 ? undefined : markup`<span class="also">${notes.join('; ')}</span>`;
}

function tightenedTable(all: readonly CardTightened[]): Markup | undefined {
  return table(
    'Tightened',
    ['fact', 'time', 'what', 'bore', 'asked for', 'wrench set to', 'wrench', 'due', 'by'],
    all.map((one) => ({
      isGone: one.state !== 'counts',
      cells: [
        one.seq,
        time(one.at),
        markup`<span class="title">${one.title}</span>${gone(one)}`,
        bore(one),
        one.settings.map(({ torque }) => torque).join(', then '),
        one.settings.map(({ set }) => set).join(', then '),
        one.instrument,
        one.due === undefined ? undefined : markup`<span class="nb">${one.due}</span>`,
        one.by,
      ],
    })),
  );
}

function instrumentTable({ instruments }: CardDocument): Markup | undefined {
  return table(
    'Instruments',
    ['number', 'instrument', 'calibrated until', 'used'],
    instruments.map((one) => ({
      isGone: false,
      cells: [
        markup`<b>${one.identity}</b>`,
        markup`${one.title}${one.length === undefined ? undefined : `, ${one.length} long`}${one.allowed?.map((says) => markup`<span class="also">${says}</span>`)}`,
        one.due ?? 'needs no date',
        one.readings === 0 ? 'not used' : `${one.readings}×`,
      ],
    })),
  );
}

/** Pack, overlay, libraries, signatures, and the digest by which this record is known. */
function restsOn({ pack, job, release, signature }: CardDocument): Markup {
  const digest = (text: string): Markup => markup`<span class="digest">${text}</span>`;
  return markup`<h3>What this card rests on</h3><dl class="pairs">
<dt>Pack</dt><dd>${pack.title}, <b>${pack.id} ${pack.revision}</b>, procedure ${pack.procedure.id}, variant ${pack.variant.id}<br>${digest(pack.digest)}</dd>
${pack.source === undefined ? undefined : markup`<dt>Source</dt><dd>${pack.source}</dd>`}
${
  pack.overlay === undefined
    ? undefined
    : markup`<dt>Overlay</dt><dd>${pack.overlay.title}, <b>${pack.overlay.id} ${pack.overlay.revision}</b><br>${digest(pack.overlay.digest)}<br>over the pack as it was released<br>${digest(pack.overlay.over)}</dd>`
}
${pack.libraries.map((one) => markup`<dt>Library</dt><dd><b>${one.id} ${one.revision}</b><br>${digest(one.digest)}</dd>`)}
<dt>Release</dt><dd>${release.says}</dd>
<dt>Record</dt><dd>${job.id === undefined ? undefined : markup`${job.id}, `}${job.facts} facts. ${signature.says}${job.lastDigest === undefined ? undefined : markup`<br>last fact ${digest(job.lastDigest)}`}</dd>
</dl>
<p class="small">Readings stand with the digits that were taken. The verdicts are those that were given during the work; nothing was judged anew for this card.</p>`;
}
