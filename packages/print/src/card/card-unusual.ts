import { type Insert, type Markup, markup } from '../markup.ts';
import { minute } from './card-front.ts';
import type { CardDocument } from './generated/card-document.ts';

const when = (at: string): Markup => markup`<span class="when">${at.slice(0, 10)}</span> ${at.slice(11, 16)}`;

const place = (bore: number | undefined): string => (bore === undefined ? '' : `, bore ${bore}`);

/** A table under its heading; where there is nothing, that is said. */
function section(heading: string, head: readonly string[], rows: readonly (readonly Insert[])[]): Markup {
  if (rows.length === 0) return markup`<p class="none"><b>${heading}:</b> none</p>`;
  return markup`<h3>${heading}</h3><table class="grid"><thead><tr>${head.map((one) => markup`<th scope="col">${one}</th>`)}</tr></thead><tbody>${rows.map(
    (row) => markup`<tr>${row.map((one) => markup`<td>${one}</td>`)}</tr>`,
  )}</tbody></table>`;
}

/** What was not as usual. Each kind is there, so that its absence is said as well. */
export function cardUnusual(card: CardDocument): Markup {
  return markup`<h2>What was not as usual</h2>
${section(
  'Rework',
  ['because', 'done to undo it', 'when', 'by'],
  card.rework.map((one) => [
    `${one.because} (fact ${one.seq})`,
    one.steps.length === 0
      ? 'nothing yet'
      : markup`<ul class="plain">${one.steps.map((step) => markup`<li>${step}</li>`)}</ul>`,
    when(one.at),
    one.by,
  ]),
)}
${section(
  'Concessions',
  ['what was accepted', 'reason', 'granted by', 'when'],
  card.concessions.map((one) => [
    one.of,
    one.reason,
    one.role === undefined ? one.by : `${one.by} (${one.role})`,
    when(one.at),
  ]),
)}
${section(
  'Holds',
  ['hold', 'at', 'when', 'released'],
  card.holds.map(({ text, step, safety, at, release }) => [
    markup`${safety ? markup`<span class="bad">SAFETY</span> ` : undefined}${text}`,
    step,
    when(at),
    release === undefined
      ? markup`<span class="bad">NOT RELEASED</span>`
      : `${release.how} by ${release.by}, ${minute(release.at)}: ${release.reason}`,
  ]),
)}
${section(
  'Struck',
  ['fact', 'what', 'had been entered', 'reason', 'by', 'when'],
  card.struck.map((one) => [
    [one.target, ...(one.also ?? [])].join(', '),
    one.says,
    one.value === undefined ? undefined : markup`<s>${one.value}</s>`,
    one.reason,
    one.by,
    when(one.at),
  ]),
)}
${section(
  'Left out as not applicable',
  ['step', 'reason', 'by', 'when'],
  card.omitted.map((one) => [one.step, one.reason, one.by, when(one.at)]),
)}
${section(
  'Taken over from earlier jobs',
  ['value', 'age then', 'measured', 'job', 'judged there'],
  card.carried.map((one) => [
    `${one.title}${place(one.bore)}: ${one.value}${one.uncertainty === undefined ? '' : ` ± ${one.uncertainty}`}`,
    one.age,
    when(one.measured),
    `${one.job} (${one.procedure}, ${one.pack} ${one.revision})`,
    one.verdict ?? 'not judged',
  ]),
)}
${left(card)}`;
}

function left({ job, left: open }: CardDocument): Markup | undefined {
  if (job.state === 'finished') return undefined;
  if (open.length === 0)
    return markup`<p class="none"><b>Left so:</b> every tracked state is as it would be at the end of the job</p>`;
  return markup`<h3>The engine stands so</h3><ul class="plain two">${open.map((one) => markup`<li>${one}</li>`)}</ul>`;
}

/** What was seen and written down, who looked at it, and what comes next. */
export function cardSaid(card: CardDocument): Markup {
  const { written, witnesses, notes, photographs, next } = card;
  const seen = seenAlike(card);
  return markup`${
    seen.length === 0
      ? undefined
      : markup`<h2>Seen</h2><ul class="plain two">${seen.map(
          ({ title, answer, bores }) =>
            markup`<li>${bores.length === 0 ? undefined : `${bores.length === 1 ? 'Bore' : 'Bores'} ${bores.join(', ')}: `}${title} <b>${answer}</b></li>`,
        )}</ul>`
  }
${written.length === 0 ? undefined : markup`<h2>Written down</h2><ul class="plain two">${written.map((one) => markup`<li>${one.title}: <b>${one.text}</b></li>`)}</ul>`}
${
  witnesses.length === 0
    ? undefined
    : markup`<h2>Looked at by another person</h2><ul class="plain two">${witnesses.map(
        (one) =>
          markup`<li>${one.what}: <b>${one.by}</b>${one.how === 'together' ? ', done together' : ', witness'}, ${minute(one.at)}</li>`,
      )}</ul>`
}
${notes.length === 0 ? undefined : markup`<h2>Notes</h2><ul class="plain">${notes.map((one) => markup`<li>${one.text} <span class="small">(${one.by}, ${minute(one.at)})</span></li>`)}</ul>`}
${
  photographs.length === 0
    ? undefined
    : markup`<h2>Photographs</h2><ul class="plain">${photographs.map(
        (one) =>
          markup`<li>${one.name}, ${one.step} <span class="small">(${one.by}, ${minute(one.at)})</span><br><span class="digest">${one.digest}</span></li>`,
      )}</ul>`
}
${next.length === 0 ? undefined : markup`<h2>Due next</h2><ul class="plain">${next.map((one) => markup`<li>${one.says}</li>`)}</ul>`}`;
}

/** What was seen and still counts. Bores at which the same was seen stand together. */
function seenAlike({ seen }: CardDocument): readonly {
  readonly title: string;
  readonly answer: string;
  readonly bores: readonly number[];
}[] {
  const alike = new Map<string, { title: string; answer: string; bores: number[] }>();
  for (const { state, bore, title, answer } of seen) {
    if (state !== 'counts') continue;
    const own = bore === undefined ? title : title.replace(new RegExp(`,? bore ${bore}$`), '');
    const key = JSON.stringify([own, answer, bore === undefined]);
    const one = alike.get(key) ?? { title: own, answer, bores: [] };
    if (bore !== undefined) one.bores.push(bore);
    alike.set(key, one);
  }
  return [...alike.values()].map((one) => ({ ...one, bores: [...new Set(one.bores)].sort((a, b) => a - b) }));
}
