import { Markup } from '../markup.ts';

/**
 * The style of a sheet. The page's own table repeats its head and its foot on every printed page, which also keeps their
 * room free. Nothing is said by colour alone, and what is printed needs no colour.
 */
export const style = Markup.trusted(`
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { font: 9pt/1.27 Arial, Helvetica, "Liberation Sans", "DejaVu Sans", sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; padding: 4mm; max-width: 200mm; overflow-wrap: anywhere; }
h1 { font-size: 17pt; line-height: 1.15; margin: 0 0 1mm; }
h2 { font-size: 13pt; margin: 6mm 0 1.5mm; border-bottom: 0.7mm solid #000; break-after: avoid; }
h3 { font-size: 11.5pt; margin: 4.5mm 0 1mm; break-after: avoid; }
h4 { font-size: 10.5pt; margin: 3.5mm 0 1mm; break-after: avoid; }
h5 { font-size: 9.5pt; margin: 3mm 0 1mm; break-after: avoid; }
p { margin: 0 0 0.6mm; }
ul, ol { margin: 0.5mm 0 0.8mm; padding-left: 5mm; }
li { margin: 0 0 0.5mm; }
table { border-collapse: collapse; width: 100%; }
.page { table-layout: fixed; }
.page > thead > tr > td, .page > tbody > tr > td, .page > tfoot > tr > td { padding: 0; border: 0; }
.page > tbody > tr > td { padding-right: 0.4mm; }
.running { display: flex; justify-content: space-between; align-items: end; gap: 4mm; font-size: 8pt; border-bottom: 0.3mm solid #000; padding-bottom: 1mm; margin-bottom: 2mm; }
.running .blank { width: 34mm; }
.foot { font-size: 7pt; line-height: 1.25; border-top: 0.3mm solid #000; margin-top: 2mm; padding-top: 1mm; }
.foot p { margin: 0 0 0.4mm; }
.digest { font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: 6.6pt; }
.notice { border: 0.6mm solid #000; padding: 1.5mm 2mm; margin: 2mm 0; }
table.steps { table-layout: fixed; }
table.steps, table.list { margin: 1mm 0 2mm; }
table.steps caption, table.list caption { text-align: left; font-size: 8pt; padding: 0.5mm 0; break-after: avoid; }
table.steps td, table.steps th, table.list td, table.list th { border: 0.25mm solid #000; padding: 0.7mm 1mm; vertical-align: top; text-align: left; }
table.steps thead th, table.list thead th { background: #e6e6e6; font-size: 8pt; }
.list td, .list th { overflow-wrap: break-word; }
.list.points { width: auto; }
table.steps tbody, table.list tr { break-inside: avoid; }
table.steps td.number { text-align: right; font-weight: bold; }
table.steps tr.heading th { background: #f1f1f1; font-size: 9pt; }
col.number { width: 10mm; }
td.number { white-space: nowrap; overflow-wrap: normal; }
.one col.text { width: 60%; }
.few col.text { width: 54%; }
.some col.text { width: 46%; }
.many col.text { width: 38%; }
.some td, .many td { font-size: 8.6pt; }
.with, .limits, .remedy, .answers { font-size: 8.6pt; }
.remedy { border-left: 0.8mm solid #000; padding-left: 1.5mm; margin: 0.8mm 0; }
.remedy .hazard { margin: 0.5mm 0; }
.only { font-style: italic; }
.answers { list-style: none; padding-left: 2mm; margin: 0 0 0.8mm; }
.good, .label, .none { font-size: 7.8pt; color: #333; }
.gap { border: 0.2mm solid #000; padding: 0 0.6mm; font-size: 90%; }
.told { font-weight: bold; font-size: 8pt; }
.hazard { margin: 0; padding: 0.8mm 1.2mm 0.8mm 7.5mm; position: relative; min-height: 6.4mm; border: 0.3mm solid #000; }
.hazard.danger, .hazard.warning { border-width: 0.7mm; }
.hazard .sign { position: absolute; left: 1mm; top: 0.6mm; width: 5mm; height: 5mm; }
tr.hazards td { border-bottom-style: dashed; }
tr.hazards .hazard { border: 0; }
.box { display: inline-block; width: 3.6mm; height: 3.6mm; border: 0.35mm solid #000; vertical-align: -0.5mm; background: #fff; }
.tick, .entry { white-space: nowrap; }
.one .tick, .list .tick, .ticks .tick, .remedy .tick, .answers .tick { white-space: normal; }
.blank { display: inline-block; border: 0.35mm solid #000; height: 6.2mm; vertical-align: middle; background: #fff; }
.blank.long { width: 42mm; max-width: 80%; }
.blank.short { width: 26mm; max-width: 70%; }
.few .blank.narrow { width: 22mm; }
.some .blank.narrow { width: 12.5mm; }
.many .blank.narrow { width: 9mm; }
.few .blank.wide { width: 30mm; }
.some .blank.wide { width: 19mm; }
.many .blank.wide { width: 12mm; }
.unit { white-space: nowrap; }
.some .unit, .many .unit { font-size: 7.4pt; }
.list .blank.short { width: 30mm; max-width: none; }
.list.holds th:first-child { white-space: nowrap; overflow-wrap: normal; }
.list.holds th:last-child { width: 32%; }
.list.remarks th:nth-child(3) { width: 45%; }
table.pattern { width: auto; }
table.stacks { width: auto; font-size: 7.4pt; }
table.stacks td, table.stacks th { padding: 0.1mm 0.7mm; }
.some .stacks td, .many .stacks td { overflow-wrap: anywhere; }
.one .stacks td, .few .stacks td, .stacks th { padding: 0.1mm 0.7mm; white-space: nowrap; overflow-wrap: normal; }
table.pattern td { text-align: center; }
.again { border-top: 0.2mm dotted #000; padding-top: 0.7mm; }
.signature { display: inline-flex; flex-wrap: wrap; align-items: end; gap: 1.5mm; min-width: 50mm; max-width: 100%; }
.steps .signature { min-width: 0; width: 100%; }
.signature .line { flex: 1 1 28mm; border-bottom: 0.3mm solid #000; height: 7mm; }
.signature .line.date { flex: 0 1 18mm; }
.signature .says { font-size: 8pt; }
dl.names { display: grid; grid-template-columns: auto minmax(0, 1fr) auto minmax(0, 1fr); gap: 1.2mm 2mm; align-items: center; margin: 1.5mm 0; }
dl.names dt { font-weight: bold; font-size: 8.6pt; }
dl.names dd { margin: 0; }
dl.names .blank { width: 100%; max-width: none; height: 7mm; }
ul.ticks { list-style: none; padding: 0; margin: 0 0 1mm; columns: 2; column-gap: 6mm; }
ul.ticks li { break-inside: avoid; padding-left: 5mm; text-indent: -5mm; }
ul.ticks.single { columns: 1; }
figure { margin: 2mm 0; break-inside: avoid; }
figure svg { width: 100%; height: auto; max-height: 225mm; }
figcaption { font-size: 8pt; }
.holdpoint b { letter-spacing: 0.02em; }
@media screen { html { background: #eee; } body { background: #fff; } .foot { font-size: 8.5pt; } .digest { font-size: 8pt; } }
@page { margin: 9mm 11mm 13mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt Arial, Helvetica, sans-serif; } }
@media print { body { padding: 0; max-width: none; } h2.new { break-before: page; } }
`);
