import { type Markup, markup } from '../markup.ts';
import type { CardDocument, CardVerdict, CardWritten } from './generated/card-document.ts';

export const minute = (at: string): string => at.slice(0, 16).replace('T', ' ');

/** How many there are of something, with its name: `1 hold`, `no holds`. */
const counted = (count: number, one: string, many = `${one}s`): string =>
  count === 0 ? `no ${many}` : `${count} ${count === 1 ? one : many}`;

/** What the card is about, and what has come of it: as much as goes on the first page. */
export function cardFront(card: CardDocument): Markup {
  const { job, pack, engine, persons, time, notice } = card;
  return markup`<div class="head"><div class="what"><h1>Job card</h1><p><b>${pack.procedure.title}</b></p><p>${pack.variant.title}</p></div>
<div class="plate"><span class="label">${engine.serial === undefined ? 'Engine serial number' : engine.serial.title}</span><span class="serial">${engine.serial?.text ?? 'not written down'}</span>${line(engine.machine)}${line(engine.hours)}</div></div>
<div class="facts"><div><span class="label">Job</span>${job.id ?? 'not kept under a name'}</div><div><span class="label">From</span>${minute(job.began)}<span class="label">To</span>${minute(job.last)}</div><div><span class="label">Time</span>${time.says}${
    time.setBack === undefined
      ? undefined
      : markup`<span class="also">The clock was set back ${time.setBack}×.</span>`
  }</div><div>${persons.map((one) => markup`<span class="label">${one.title}</span>${one.person}<br>`)}</div></div>
${notice === undefined ? undefined : markup`<p class="notice"><b>NOTICE</b> ${notice}</p>`}
<div class="three">${box('Complaint', card.complaint)}${box('Cause', card.cause)}${correction(card)}</div>
${result(card)}`;
}

const line = (one: CardWritten | undefined): Markup | undefined =>
  one && markup`<span class="label">${one.title}</span>${one.text}`;

const box = (heading: string, texts: readonly CardWritten[]): Markup =>
  markup`<div><span class="label">${heading}</span>${
    texts.length === 0 ? markup`<span class="small">nothing written down</span>` : texts.map(said)
  }</div>`;

const said = ({ text, by }: CardWritten): Markup => markup`${text} <span class="small">(${by})</span><br>`;

/** Without words of its own, what was done is the procedure. */
function correction({ correction: texts, pack, job }: CardDocument): Markup {
  if (texts.length > 0) return box('Correction', texts);
  const how = job.state === 'finished' ? '' : ', not finished';
  return markup`<div><span class="label">Work done</span>${pack.procedure.title}${how}</div>`;
}

/** What the verdicts that count come to, and everything that was not as usual, in one look. */
function result(card: CardDocument): Markup {
  const standing = card.verdicts.filter((one) => one.state === 'counts');
  const of = (verdict: CardVerdict['verdict']): readonly CardVerdict[] =>
    standing.filter((one) => one.verdict === verdict);
  const good = of('conforming').length;
  const bad = [...of('nonconforming'), ...of('inconclusive')];
  const says =
    bad.length === 0
      ? `${good === standing.length && good > 0 ? 'All' : ''} ${counted(good, 'verdict')} that ${good === 1 ? 'counts says' : 'count say'} conforming.`.trim()
      : `${good} of ${counted(standing.length, 'verdict')} that count say conforming.`;
  const others = bad.map(
    (one) =>
      markup`<li><b>${one.verdict.toUpperCase()}</b>: ${one.title}${one.bore === undefined ? '' : `, bore ${one.bore}`}${one.value === undefined ? '' : `, ${one.value}`}${one.conceded === true ? ', accepted by concession' : ', not accepted by anybody'}</li>`,
  );
  const left = card.job.state === 'finished' ? '' : ` ${card.job.says}`;
  return markup`<div class="result">${standing.length === 0 ? 'Nothing that counts has been judged.' : says}${left}<ul>${others}<li>${[
    counted(card.rework.length, 'rework'),
    counted(card.holds.length, 'hold'),
    counted(card.concessions.length, 'concession'),
    counted(card.struck.length, 'struck entry', 'struck entries'),
    counted(card.omitted.length, 'step left out', 'steps left out'),
    counted(card.carried.length, 'value taken over', 'values taken over'),
  ].join(', ')}.</li></ul></div>`;
}
