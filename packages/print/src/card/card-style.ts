import { Markup } from '../markup.ts';

/**
 * The style of a job card, for a laser printer without colour, on A4 and on US Letter. The page's own table repeats its head
 * and its foot on every printed page. Nothing is said by shade alone.
 */
export const cardStyle = Markup.trusted(`
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { font: 9pt/1.3 Arial, Helvetica, "Liberation Sans", "DejaVu Sans", sans-serif; color: #000; background: #fff; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
body { margin: 0 auto; padding: 6mm; max-width: 200mm; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; }
.page { table-layout: fixed; }
.page > thead > tr > td, .page > tbody > tr > td, .page > tfoot > tr > td { padding: 0; border: 0; }
.running { display: flex; justify-content: space-between; gap: 6mm; font-size: 8pt; border-bottom: 0.3mm solid #000; padding-bottom: 0.8mm; margin-bottom: 2.5mm; }
.running span:last-child { text-align: right; }
.stamp { background: #000; color: #fff; font-weight: bold; font-size: 10pt; padding: 1mm 2mm; margin: 0 0 2mm; letter-spacing: 0.02em; }
.foot { font-size: 6.8pt; line-height: 1.3; border-top: 0.3mm solid #000; margin-top: 3mm; padding-top: 1mm; }
.foot p { margin: 0; }
.digest { font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: 6.5pt; }
h1 { font-size: 21pt; line-height: 1.1; margin: 0; letter-spacing: -0.01em; }
h2 { font-size: 12pt; margin: 6mm 0 1.5mm; padding-bottom: 0.6mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
h3 { font-size: 9.5pt; margin: 3mm 0 0.8mm; break-after: avoid; }
p { margin: 0 0 0.8mm; }
.small { font-size: 7.6pt; color: #333; }
.head { display: flex; justify-content: space-between; align-items: stretch; gap: 8mm; }
.head .what { flex: 1 1 auto; }
.head .what p { font-size: 11.5pt; margin: 1mm 0 0; }
.plate { flex: 0 0 66mm; border: 0.6mm solid #000; padding: 1.6mm 2.4mm; }
.plate .serial { font-size: 15pt; font-weight: bold; line-height: 1.15; }
.label { display: block; font-size: 7pt; text-transform: uppercase; letter-spacing: 0.06em; color: #444; }
.facts { display: grid; grid-template-columns: repeat(4, 1fr); gap: 0 4mm; margin: 3.5mm 0 0; border-top: 0.25mm solid #000; padding-top: 1.2mm; }
.three { display: grid; grid-template-columns: repeat(3, 1fr); gap: 3mm; margin: 3.5mm 0 0; }
.three > div { border: 0.25mm solid #000; padding: 1.4mm 2mm; min-height: 17mm; break-inside: avoid; }
.result { margin: 3.5mm 0 0; border: 0.6mm solid #000; padding: 1.6mm 2.4mm; font-size: 11pt; font-weight: bold; break-inside: avoid; }
.result ul { margin: 0.8mm 0 0; padding-left: 5mm; font-size: 9pt; font-weight: normal; }
.notice { border: 0.3mm solid #000; padding: 1mm 2mm; margin: 2.5mm 0 0; font-size: 8.4pt; }
table.grid { margin: 1mm 0 2mm; }
.grid td, .grid th { border-bottom: 0.2mm solid #777; padding: 0.8mm 1.2mm; text-align: left; vertical-align: top; font-weight: normal; overflow-wrap: anywhere; }
.grid thead th { overflow-wrap: normal; border-bottom: 0.5mm solid #000; font-size: 7.8pt; font-weight: bold; vertical-align: bottom; }
.grid:not(.record):not(.bores) td { min-width: 18mm; }
.grid:not(.record):not(.bores) td:first-child { min-width: 9mm; }
.grid thead { display: table-header-group; }
.grid tr { break-inside: avoid; }
.grid tr.group th { font-weight: bold; font-size: 8pt; background: #ececec; border-bottom: 0.2mm solid #000; break-after: avoid; }
.bores { table-layout: fixed; }
.bores col.what { width: 40mm; }
.bores thead th { font-size: 9pt; text-align: center; border-left: 0.2mm solid #bbb; }
.bores thead th:first-child { text-align: left; border-left: 0; }
.bores td { text-align: center; border-left: 0.2mm solid #bbb; }
.wide { table-layout: fixed; }
.wide col.what { width: 52mm; }
.wide td { border-left: 0.2mm solid #bbb; }
.what b { font-weight: bold; }
.value { font-weight: bold; white-space: nowrap; }
.bores .value { white-space: normal; }
.strip { display: block; width: 100%; max-width: 46mm; height: 4.6mm; margin: 0.3mm 0 0; }
.bores .strip { margin: 0.3mm auto 0; }
.mark { width: 2.8mm; height: 2.8mm; vertical-align: -0.35mm; margin-left: 0.8mm; }
.bad { display: inline-block; background: #000; color: #fff; font-weight: bold; font-size: 7pt; padding: 0.1mm 1mm; margin-bottom: 0.4mm; letter-spacing: 0.02em; white-space: nowrap; }
.open { display: inline-block; border: 0.35mm solid #000; font-weight: bold; font-size: 7pt; padding: 0 0.8mm; margin-bottom: 0.4mm; white-space: nowrap; }
.also { display: block; font-size: 7.2pt; font-weight: normal; color: #222; }
s, .gone { color: #333; }
.gone .title { text-decoration: line-through; }
.grid tr.gone td { background: repeating-linear-gradient(-45deg, #fff, #fff 1.4mm, #e4e4e4 1.4mm, #e4e4e4 1.6mm); }
dl.pairs { display: grid; grid-template-columns: 34mm minmax(0, 1fr); gap: 0.4mm 2mm; margin: 1mm 0; }
dl.pairs dt { font-size: 8pt; }
dl.pairs dd { margin: 0; }
ul.plain { margin: 0.5mm 0 1mm; padding-left: 4.5mm; }
ul.plain li { margin: 0 0 0.6mm; break-inside: avoid; }
.two { columns: 2; column-gap: 7mm; }
.none { font-size: 8.4pt; margin: 0 0 1mm; }
.legend { font-size: 7.4pt; margin: 0.5mm 0 0; }
.legend .strip { display: inline-block; width: 16mm; height: 3.4mm; vertical-align: -0.8mm; margin: 0; }
.when { white-space: nowrap; overflow-wrap: normal; }
.sign { display: grid; grid-template-columns: repeat(3, 1fr); gap: 6mm; margin: 9mm 0 0; break-inside: avoid; }
.sign div { border-top: 0.3mm solid #000; padding-top: 0.6mm; font-size: 7.6pt; }
.record td, .record th { font-size: 7.6pt; line-height: 1.2; padding: 0.3mm 0.8mm; }
.record td.n, .record th.n { text-align: right; white-space: nowrap; overflow-wrap: normal; }
.record .nb { white-space: nowrap; overflow-wrap: normal; }
.record .mark + .also { display: inline; margin-left: 1mm; }
.record .title + .note { display: inline-block; margin-left: 1mm; }
.record .title + .note::before { content: "· "; }
.record th:nth-child(3) { width: 36%; }
@media screen { html { background: #ddd; } body { background: #fff; } .foot { font-size: 8pt; } }
@media screen and (max-width: 640px) {
  body { padding: 3mm; }
  .running, .head { display: block; }
  .running span { display: block; text-align: left; }
  .plate { margin-top: 2mm; }
  .facts { grid-template-columns: 1fr 1fr; }
  .three, .sign { grid-template-columns: 1fr; }
  .two { columns: 1; }
  .bad, .open { white-space: normal; }
  /* What is wider than the screen is moved sideways by itself, and nothing beside it. */
  table.grid { display: block; overflow-x: auto; overflow-wrap: normal; }
  .grid td, .grid th { overflow-wrap: normal; }
  .bores { table-layout: auto; }
  .bores td { min-width: 21mm; }
  .bores th.what { min-width: 36mm; }
}
@page { margin: 9mm 11mm 13mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt Arial, Helvetica, sans-serif; } }
@media print { body { padding: 0; max-width: none; } h2.new { break-before: page; margin-top: 0; } }
`);
