import { type Insert, type Markup, markup } from '../markup.ts';
import type { CardCell, CardDocument, CardMeasured, CardPart, CardStrip } from './generated/card-document.ts';
import { stripMark, verdictMark } from './strip-mark.ts';

const columns = [
  ['asReceived', 'as received'],
  ['baseline', 'baseline'],
  ['meanwhile', 'during the work'],
  ['asLeft', 'as left'],
] as const;

/** More bores than these beside one another leave no room for their strips. */
const MOST_BESIDE = 6;

/** Parts and values by bore, and what belongs to the engine as a whole: to be looked at more than read. */
export function cardMeasured(card: CardDocument): Markup {
  const { bores, measured } = card;
  const groups: (readonly number[])[] = [];
  for (let from = 0; from < bores.length; from += MOST_BESIDE)
    groups.push(bores.slice(from, from + MOST_BESIDE));
  const whole = measured.filter((one) => one.bore === undefined);
  return markup`${groups.map((group) => byBore(card, group))}
${whole.length === 0 ? undefined : markup`<h2>The engine as a whole</h2>${engineTable(whole)}`}
${wholeParts(card)}
${measured.length === 0 ? undefined : legend}`;
}

function byBore(card: CardDocument, bores: readonly number[]): Markup {
  const parts = rowsBy(card.parts, (one) => one.part);
  const renewed = rowsBy(card.renewed, (one) => one.part);
  const values = rowsBy(
    card.measured.filter((one) => one.bore !== undefined),
    // A title that says its bore stands once for all of them.
    ({ title, bore }) => title.replace(new RegExp(`(?<![\\d.])${bore ?? ''}(?![\\d.])`), '…'),
  );
  const cells = (all: ReadonlyMap<number, Insert>): readonly Markup[] =>
    bores.map((bore) => markup`<td>${all.get(bore)}</td>`);
  const group = (title: string): Markup =>
    markup`<tr class="group"><th colspan="${bores.length + 1}" scope="rowgroup">${title}</th></tr>`;
  const bodies = [
    ...(parts.size === 0 && renewed.size === 0 ? [] : [group('Parts')]),
    ...[...parts].map(
      ([part, ones]) =>
        markup`<tr><th class="what" scope="row"><b>${part}</b></th>${cells(mapOf(ones, serials))}</tr>`,
    ),
    ...[...renewed].map(
      ([part, ones]) =>
        markup`<tr><th class="what" scope="row"><b>${part}</b></th>${cells(mapOf(ones, () => 'renewed'))}</tr>`,
    ),
    ...(values.size === 0 ? [] : [group('Measured')]),
    ...[...values].flatMap(([title, ones]) =>
      columns.flatMap(([member, when]) => {
        if (!ones.some((one) => one[member] !== undefined)) return [];
        const limits = new Set(ones.flatMap((one) => one.limits ?? []));
        const [common] = limits.size === 1 ? limits : [];
        const shown = mapOf(ones, (one) => cellOf(one[member], limits.size > 1 ? one.limits : undefined));
        return [
          markup`<tr><th class="what" scope="row"><b>${title}</b><span class="also">${when}${common === undefined ? '' : `; limits ${common}`}</span></th>${cells(shown)}</tr>`,
        ];
      }),
    ),
  ];
  if (bodies.length === 0) return markup``;
  return markup`<h2>By bore</h2><table class="grid bores"><colgroup><col class="what">${bores.map(() => markup`<col>`)}</colgroup><thead><tr><th scope="col"></th>${bores.map(
    (bore) => markup`<th scope="col">Bore ${bore}</th>`,
  )}</tr></thead><tbody>${bodies}</tbody></table>`;
}

function rowsBy<Item extends { readonly bore?: number }>(
  all: readonly Item[],
  titleOf: (item: Item) => string,
): ReadonlyMap<string, readonly Item[]> {
  const rows = new Map<string, Item[]>();
  for (const one of all) {
    if (one.bore === undefined) continue;
    const row = rows.get(titleOf(one)) ?? [];
    row.push(one);
    rows.set(titleOf(one), row);
  }
  return rows;
}

/** By bore; two of the same title in one bore stand below one another. */
function mapOf<Item extends { readonly bore?: number }>(
  items: readonly Item[],
  write: (item: Item) => Insert,
): ReadonlyMap<number, Insert> {
  const found = new Map<number, readonly Insert[]>();
  for (const one of items) {
    if (one.bore !== undefined) found.set(one.bore, [...(found.get(one.bore) ?? []), write(one)]);
  }
  return found;
}

/** The old number and the new one, where they differ. */
function serials({ found, fitted, stands }: CardPart): Markup {
  if (found !== undefined && fitted === undefined)
    return markup`<span class="value">${found}</span><span class="also">as found</span>`;
  if (found === fitted)
    return markup`<span class="value">${fitted}</span><span class="also">back in its place</span>`;
  const how = stands === 'renewed' ? 'new' : stands === 'other' ? "another bore's" : 'fitted';
  return markup`${found === undefined ? undefined : markup`<s>${found}</s><br>`}<span class="value">${fitted}</span> <span class="open">${how.toUpperCase()}</span>`;
}

function cellOf(cell: CardCell | undefined, limits: string | undefined): Markup | undefined {
  if (cell === undefined) return undefined;
  const { value, verdict, conceded, uncertainty, carried, judged, strip, margin } = cell;
  const isClear = verdict === undefined || verdict === 'conforming';
  const notes = [
    ...(limits === undefined ? [] : [`limits ${limits}`]),
    ...(uncertainty === undefined ? [] : [`± ${uncertainty}`]),
    ...(isClear || margin === undefined ? [] : [margin]),
    ...(carried === undefined ? [] : ['taken over']),
    ...(judged === undefined ? [] : [`judged ${judged}×`]),
  ];
  return markup`<span class="value">${value}</span>${verdictMark(verdict, { conceded })}${isWide(strip) ? stripMark(strip) : undefined}${
    notes.length === 0 ? undefined : markup`<span class="also">${notes.join('; ')}</span>`
  }`;
}

/** What has to be counted exactly has nothing to draw. */
const isWide = (strip: CardStrip | undefined): strip is CardStrip =>
  strip !== undefined &&
  (strip.low === undefined || strip.high === undefined || strip.low.at < strip.high.at);

function engineTable(rows: readonly CardMeasured[]): Markup {
  const used = columns.filter(([member]) => rows.some((one) => one[member] !== undefined));
  return markup`<table class="grid wide"><colgroup><col class="what">${used.map(() => markup`<col>`)}</colgroup><thead><tr><th scope="col"></th>${used.map(
    ([, when]) => markup`<th scope="col">${when}</th>`,
  )}</tr></thead><tbody>${rows.map(
    (one) =>
      markup`<tr><th class="what" scope="row"><b>${one.title}</b>${one.limits === undefined ? undefined : markup`<span class="also">limits ${one.limits}</span>`}</th>${used.map(
        ([member]) => markup`<td>${cellOf(one[member], undefined)}</td>`,
      )}</tr>`,
  )}</tbody></table>`;
}

/** Parts that belong to no bore. */
function wholeParts({ parts, renewed }: CardDocument): Markup | undefined {
  const own = parts.filter((one) => one.bore === undefined);
  const anew = renewed.filter((one) => one.bore === undefined);
  if (own.length === 0 && anew.length === 0) return undefined;
  return markup`<h3>Parts of the engine as a whole</h3><ul class="plain">${own.map(
    (one) => markup`<li><b>${one.part}</b> ${serials(one)}</li>`,
  )}${anew.map((one) => markup`<li><b>${one.part}</b> renewed</li>`)}</ul>`;
}

const legend = markup`<p class="legend">${stripMark({
  low: { at: 0, text: '' },
  high: { at: 10, text: '' },
  value: { at: 6, text: '' },
  spread: 1.5,
})} The posts are the limits, the dot is the value, and the bar across it is its expanded uncertainty (±, k = 2 where nothing else is said), where that is known. ${verdictMark('conforming')} conforming. A darker field is what the decision rule accepts.</p>`;
