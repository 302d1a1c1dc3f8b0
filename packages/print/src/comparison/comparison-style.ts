import { Markup } from '../markup.ts';

/** The style of a comparison, for paper without colour and for a screen. Nothing is said by shade alone. */
export const comparisonStyle = Markup.trusted(`
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { font: 9.5pt/1.4 Arial, Helvetica, "Liberation Sans", "DejaVu Sans", sans-serif; color: #000; background: #fff; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
body { margin: 0 auto; padding: 8mm; max-width: 205mm; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; }
.page { table-layout: fixed; }
.page > thead > tr > td, .page > tbody > tr > td, .page > tfoot > tr > td { padding: 0; border: 0; }
.running { display: flex; justify-content: space-between; gap: 6mm; font-size: 8pt; border-bottom: 0.3mm solid #000; padding-bottom: 0.8mm; margin-bottom: 3mm; }
.foot { font-size: 7pt; line-height: 1.3; border-top: 0.3mm solid #000; margin-top: 3mm; padding-top: 1mm; }
.foot p, .notice p { margin: 0; }
.digest { font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: 7pt; }
h1 { font-size: 20pt; line-height: 1.15; margin: 0 0 1mm; }
.revisions { font-size: 13pt; margin: 0 0 3mm; }
h2 { font-size: 13pt; margin: 7mm 0 2mm; padding-bottom: 0.6mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
h2.weaker { background: #000; color: #fff; padding: 1mm 2mm; }
.notice { border: 0.3mm solid #000; padding: 1.2mm 2mm; margin: 3mm 0; font-size: 8.6pt; }
.verdict { border: 0.6mm solid #000; padding: 2mm 3mm; margin: 3mm 0; font-size: 10.5pt; break-inside: avoid; }
.verdict ul { margin: 0; padding-left: 5mm; }
.verdict li { margin: 0 0 0.8mm; }
.sides { table-layout: fixed; margin: 2mm 0; }
.sides col.name { width: 24mm; }
.sides th, .sides td { border-bottom: 0.2mm solid #777; padding: 0.9mm 1.4mm; text-align: left; vertical-align: top; font-weight: normal; }
.sides thead th { border-bottom: 0.5mm solid #000; font-weight: bold; }
.change { border: 0.25mm solid #777; margin: 0 0 3mm; break-inside: avoid; }
.change > p { margin: 0; padding: 1.6mm 2.2mm 1mm; font-size: 10pt; }
.mark { font-size: 7.6pt; padding: 0 2.2mm 1.4mm; color: #222; }
.mark b { border: 0.3mm solid #000; padding: 0 1mm; }
.mark b.weaker { background: #000; color: #fff; }
.two { display: grid; grid-template-columns: 1fr 1fr; border-top: 0.2mm solid #777; }
.two > div { padding: 1.2mm 2.2mm 1.6mm; font-size: 9pt; }
.two > div + div { border-left: 0.2mm solid #777; }
.label { display: block; font-size: 7pt; text-transform: uppercase; letter-spacing: 0.06em; color: #444; }
.value { font-weight: bold; }
.other { display: block; }
.place { display: block; font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: 6.8pt; color: #333; margin-top: 0.6mm; }
.way { border-top: 0.2mm solid #777; }
.way th, .way td { font-size: 8.6pt; font-weight: normal; text-align: left; vertical-align: top; padding: 0.6mm 2.2mm; }
.way th { width: 16mm; font-weight: bold; }
.none { font-style: italic; }
.short .change { margin: 0 0 1.6mm; }
.table td, .table th { border-bottom: 0.2mm solid #777; padding: 0.7mm 1.4mm; text-align: left; vertical-align: top; font-size: 8.4pt; }
@media screen { html { background: #ddd; } body { background: #fff; } }
@page { margin: 9mm 11mm 13mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt Arial, Helvetica, sans-serif; } }
@media print { body { padding: 0; max-width: none; } }
`);
