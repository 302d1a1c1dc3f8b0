import { type Insert, type Markup, markup } from '../markup.ts';
import { likelyInside } from '../telling/likely-inside.ts';
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

interface Row {
  readonly isGone: boolean;
  readonly cells: readonly Insert[];
  /** The cell that has as many columns as are left over. */
  readonly wide?: number;
}

function table(heading: string, head: readonly string[], rows: readonly Row[]): Markup | undefined {
  if (rows.length === 0) return undefined;
  return markup`<h3>${heading}</h3><table class="grid record"><thead><tr>${head.map((one) => markup`<th scope="col">${one}</th>`)}</tr></thead><tbody>${rows.map(
    ({ isGone, cells, wide }) =>
      markup`<tr class="${isGone ? 'gone' : 'counts'}">${cells.map((one, index) =>
        index === wide
          ? markup`<td colspan="${head.length - cells.length + 1}">${one}</td>`
          : markup`<td>${one}</td>`,
      )}</tr>`,
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
    ['fact', 'time', 'what was judged', 'bore', 'value', '± U; likely inside', 'limits', 'verdict', 'by'],
    all.map((one) => {
      const begin = [
        one.seq,
        time(one.at),
        markup`<span class="title">${titleOf(one)}</span>${one.derivation === undefined ? undefined : markup`<span class="also">${one.derivation}</span>`}`,
        bore(one),
        inOneLine(one.value ?? '', 12),
      ];
      const from = (one.carried ?? []).map((earlier) => `taken over from ${earlier}`);
      const end = [
        markup`${verdictMark(one.verdict, { conceded: one.conceded })}${gone(one)}<span class="also">${inOneLine(says(one))}</span>`,
        inOneLine([...(one.instruments ?? []), ...from].join(', ')),
      ];
      const isGone = one.state !== 'counts';
      // What was seen, or a number of a part, has no limits: it takes the room of theirs.
      if (one.uncertainty === undefined && one.limits === undefined)
        return { isGone, cells: [...begin, ...end], wide: begin.length - 1 };
      const uncertainty =
        one.uncertainty === undefined
          ? undefined
          : markup`<span class="nb">± ${one.uncertainty}</span>${one.coverageFactor === '2' ? undefined : ` (k = ${one.coverageFactor ?? '?'})`}<span class="also">${likelyInside(one.probability ?? '')}</span>`;
      const rule = one.rule === undefined || one.rule === 'simple' ? undefined : one.rule;
      const limits = markup`${inOneLine(one.limits ?? '')}${rule === undefined ? undefined : markup`<span class="also">${rule.replaceAll('-', ' ')}</span>`}`;
      return { isGone, cells: [...begin, uncertainty, limits, ...end] };
    }),
  );
}

/** Short texts in one line; longer ones break, so that they leave room for the rest. */
const inOneLine = (text: string, upTo = 22): Insert =>
  text.length > upTo ? text : markup`<span class="nb">${text}</span>`;

/** A title without the bore, which has a column of its own. */
const titleOf = ({ title, bore }: { readonly title: string; readonly bore?: number }): string =>
  bore !== undefined && title.endsWith(`, bore ${bore}`) ? title.slice(0, -`, bore ${bore}`.length) : title;

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
        markup`<span class="title">${titleOf(one)}</span>${one.repeat === undefined ? undefined : `, reading ${one.repeat}`}${gone(one)}${notesOn(one)}`,
        bore(one),
        inOneLine(one.value),
        inOneLine(one.instrument ?? (one.carried === undefined ? 'counted or read off' : 'taken over')),
        inOneLine(one.due ?? ''),
        inOneLine(one.by),
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
  return notes.length === 0 ? undefined : markup`<span class="also note">${notes.join('; ')}</span>`;
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
        inOneLine(one.settings.map(({ torque }) => torque).join(', then '), 10),
        inOneLine(one.settings.map(({ set }) => set).join(', then '), 10),
        inOneLine(one.instrument ?? ''),
        inOneLine(one.due ?? ''),
        inOneLine(one.by),
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
