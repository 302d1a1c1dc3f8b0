import { Markup } from '../markup.ts';

/**
 * The style of a sheet. The page's own table repeats its head and its foot on every printed page, which also keeps their
 * room free. Nothing is said by colour alone, and what is printed needs no colour.
 */
export const style = Markup.trusted(`
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { font: 8.8pt/1.22 Arial, Helvetica, "Liberation Sans", "DejaVu Sans Condensed", "DejaVu Sans", sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; padding: 4mm; max-width: 200mm; overflow-wrap: anywhere; }
h1 { font-size: 15pt; line-height: 1.1; margin: 0 0 0.6mm; }
h2 { font-size: 12pt; line-height: 1.15; margin: 3.2mm 0 0.9mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
h3 { font-size: 10pt; line-height: 1.15; margin: 1.8mm 0 0.5mm; break-after: avoid; }
h4 { font-size: 9.2pt; margin: 0; }
p { margin: 0 0 0.3mm; }
ul, ol { margin: 0.3mm 0 0.5mm; padding-left: 5mm; }
li { margin: 0 0 0.2mm; }
table { border-collapse: collapse; width: 100%; }
.page { table-layout: fixed; }
.page > thead > tr > td, .page > tbody > tr > td, .page > tfoot > tr > td { padding: 0; border: 0; }
.page > tbody > tr > td { padding-right: 0.4mm; }
.running { display: flex; justify-content: space-between; align-items: end; gap: 4mm; font-size: 8pt; border-bottom: 0.3mm solid #000; padding-bottom: 0.6mm; margin-bottom: 1.2mm; }
.running .blank { width: 40mm; height: 5.4mm; }
.foot { font-size: 6.6pt; line-height: 1.18; border-top: 0.3mm solid #000; margin-top: 1.2mm; padding-top: 0.6mm; }
.foot p { margin: 0; }
.digest { font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: 6.4pt; }
.fine, .carry, .at, .with { font-size: 8pt; }
p.fine { break-inside: avoid; break-after: avoid; }
.notice { border: 0.5mm solid #000; padding: 0.8mm 1.5mm; margin: 1mm 0; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
table.steps { table-layout: fixed; }
table.steps, table.list { margin: 0.6mm 0 1.2mm; }
table.list caption { text-align: left; font-size: 8pt; padding: 0.3mm 0; break-after: avoid; }
table.steps td, table.steps th, table.list td, table.list th { border: 0.2mm solid #000; padding: 0.45mm 0.9mm; vertical-align: top; text-align: left; }
table.steps > thead, table.list > thead { break-after: avoid; break-inside: avoid; }
table.steps thead th, table.list thead th { background: #e6e6e6; font-size: 7.6pt; }
.list td, .list th { overflow-wrap: break-word; }
.list.points { width: auto; }
table.steps tbody, table.list tr { break-inside: avoid; }
table.steps td.number { text-align: right; font-weight: bold; padding-left: 0; }
table.steps td.done { padding: 0.45mm 0.6mm; text-align: center; }
table.steps tr.heading { break-after: avoid; }
table.steps tr.heading th { background: #f1f1f1; font-size: 8.8pt; font-weight: normal; border-top-width: 0.5mm; }
table.steps tr.heading span { margin-right: 1.5mm; }
table.steps tr.heading h3, table.steps tr.heading h4 { display: inline; margin: 0; }
table.steps thead tr.heading th { font-size: 8.8pt; }
col.number { width: 9mm; }
col.done { width: 5.6mm; }
col.filled { width: 62mm; }
td.number { white-space: nowrap; overflow-wrap: normal; }
.few col.text { width: 54%; }
.some col.text { width: 46%; }
.many col.text { width: 36%; }
.limits, .remedy { font-size: 8.4pt; }
.remedy { border-left: 0.7mm solid #000; padding-left: 1.2mm; margin: 0.4mm 0; }
.short-rework, .short-rework p { display: inline; margin: 0; }
.only { font-style: italic; }
.answer { white-space: normal; }
.good, .label, .none, .at { font-size: 7.4pt; color: #222; }
.hazard { margin: 0; padding: 0.4mm 1mm 0.4mm 6.6mm; position: relative; min-height: 4.9mm; border: 0.3mm solid #000; }
.hazard.danger, .hazard.warning { border-width: 0.6mm; }
.hazard .sign { position: absolute; left: 0.9mm; top: 0.25mm; width: 4.4mm; height: 4.4mm; }
.hazard-again { font-size: 8pt; }
.hazard-again .sign { width: 3.2mm; height: 3.2mm; vertical-align: -0.5mm; margin-right: 0.6mm; }
tr.hazards { break-after: avoid; }
table.steps tr.hazards td { border-bottom-style: dashed; padding: 0; }
tr.hazards .hazard { border: 0; }
.box { display: inline-block; width: 3.7mm; height: 3.7mm; border: 0.35mm solid #000; vertical-align: -0.6mm; background: #fff; }
.box.lettered { width: 4.6mm; height: 4.2mm; font-size: 7.2pt; line-height: 3.6mm; text-align: center; vertical-align: -0.7mm; }
.tick, .entry { white-space: nowrap; }
.one .tick, .list .tick, .ticks .tick, .answers .tick { white-space: normal; }
.answers > span { display: inline-block; margin-right: 1.6mm; }
.verdict { white-space: nowrap; }
.tick .box { margin-right: 0.7mm; }
.remedy .box.lettered { height: 3.5mm; width: 4mm; line-height: 2.9mm; font-size: 6.4pt; vertical-align: -0.45mm; margin: 0; }
.boxes { line-height: 6.2mm; margin: 0; }
.blank { display: inline-block; border: 0.35mm solid #000; height: 5.8mm; vertical-align: middle; background: #fff; }
.blank.long { width: 46mm; max-width: 80%; }
.blank.short { width: 20mm; max-width: 70%; }
.blank.narrow { width: 14mm; }
.blank.time { width: 100%; height: 4.6mm; }
.one .repeats .blank.narrow { width: 12mm; }
.loop .entry, .rework.few .entry { display: flex; align-items: center; gap: 0.6mm; min-width: 0; }
.loop .entry .blank, .rework.few .entry .blank { flex: 1 1 6mm; width: auto; min-width: 5mm; max-width: none; }
.loop .entry .label { white-space: normal; flex: 0 1 auto; line-height: 1.05; overflow-wrap: normal; }
.loop .line-of > .entry > .label, .loop p > .entry > .label { flex-basis: 100%; }
.loop .line-of > .entry:has(.label), .loop p > .entry:has(.label) { flex-wrap: wrap; }
.many .repeats .label { font-size: 6.4pt; }
.line-of { display: block; }
.loop .boxes, .rework.few .boxes { line-height: 1.2; }
.line-of + .line-of, .again .line-of { margin-top: 0.4mm; }
.unit { white-space: nowrap; }
.some .unit, .many .unit { font-size: 7pt; }
.list .blank.short { width: 100%; max-width: none; }
.instruments, .instruments small, .limits td, .holds td { font-size: 8pt; }
.instruments th:nth-child(1) { width: 27%; }
.instruments th:nth-child(2) { width: 17%; }
.instruments th:nth-child(3) { width: 12%; }
.instruments th:nth-child(5), .instruments th:nth-child(6) { width: 14%; }
.list th[scope=row] { font-weight: bold; }
.list.limits th:nth-child(1) { width: 19%; }
.list.limits th:nth-child(2) { width: 25%; }
.list.limits th:nth-child(4) { width: 20%; }
.list.holds { table-layout: fixed; }
.list.holds th:first-child { white-space: nowrap; overflow-wrap: normal; width: 9mm; }
.list.holds th:nth-child(2) { width: 40%; }
.list.holds th:last-child { width: 24%; }
.list.remarks th:nth-child(3) { width: 45%; }
.list.remarks td { height: 7.2mm; }
table.ways { break-inside: avoid; }
.list.ways td.order { text-align: center; font-weight: bold; }
.list.ways th { width: 9.4%; }
.list.ways th:nth-child(1) { width: 8%; }
.list.ways th:nth-child(2) { width: auto; }
table.pattern { width: auto; }
table.choice { width: auto; font-size: 7.4pt; }
table.choice td, table.choice th { padding: 0.1mm 0.8mm; white-space: nowrap; }
table.choice td.next, table.choice th.next { border-left-width: 0.6mm; }
table.pattern td { text-align: center; }
.again { border-top: 0.2mm dotted #000; padding-top: 0.4mm; margin-top: 0.5mm; }
.rework th { font-size: 8pt; }
.rework thead th { font-weight: normal; }
.rework .letter { font-size: 10pt; }
.rework col.time { width: 8mm; }
.rework.ticks td:nth-child(n+3) { text-align: center; padding: 0.45mm 0; }
.rework.ticks th.time { text-align: center; padding: 0.3mm; overflow-wrap: normal; }
.rework.entries.one col.time { width: 62mm; }
.rework.entries.few col.time { width: 38mm; }
.rework tbody { break-inside: avoid; }
.signature { display: inline-flex; flex-wrap: wrap; align-items: end; gap: 1.2mm; min-width: 50mm; max-width: 100%; }
.steps .signature { min-width: 0; width: 100%; }
.signature .line { flex: 1 1 24mm; border-bottom: 0.3mm solid #000; height: 6.4mm; }
.signature .line.date { flex: 0 1 16mm; }
.signed .signature { width: 120mm; }
.signature .says { font-size: 7.6pt; }
dl.names { display: grid; grid-template-columns: auto minmax(0, 1fr) auto minmax(0, 1fr) auto minmax(0, 1fr); gap: 0.8mm 2mm; align-items: center; margin: 0.8mm 0; }
dl.names dt { font-weight: bold; font-size: 8.4pt; }
dl.names dd { margin: 0; }
dl.names .blank { width: 100%; max-width: none; height: 6.4mm; }
ul.ticks { list-style: none; padding: 0; margin: 0 0 0.6mm; columns: 2; column-gap: 6mm; }
ul.ticks li { break-inside: avoid; padding-left: 5mm; text-indent: -5mm; }
ul.ticks.single { columns: 1; break-inside: avoid; }
ul.laws { columns: 2; column-gap: 6mm; font-size: 8.2pt; }
ul.laws li { break-inside: avoid; }
figure { margin: 1.5mm 0; break-inside: avoid; }
figure svg { width: 100%; height: auto; max-height: 225mm; }
figcaption { font-size: 8pt; }
.holdpoint b { letter-spacing: 0.02em; }
@media screen { html { background: #eee; } body { background: #fff; } .foot { font-size: 8.5pt; } .digest { font-size: 8pt; } }
@page { margin: 8mm 10mm 9mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt Arial, Helvetica, sans-serif; } }
@media print { body { padding: 0; max-width: none; } }
`);
