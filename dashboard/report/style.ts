/** The sheet's look, on the page and in the file: ink on white paper, sizes for A4 and Letter alike, no colour needed. */
export const reportStyle = `
.report { box-sizing: border-box; max-width: 190mm; margin: 0 auto; padding: 10mm; background: #fff; color: #000; font: 10pt/1.35 system-ui, "Noto Sans", "Liberation Sans", "DejaVu Sans", sans-serif; }
.report * { margin: 0; padding: 0; box-sizing: border-box; }
.report h1 { font-size: 15pt; line-height: 1.25; font-weight: 600; color: #000; }
.report h2 { margin: 3mm 0 0.5mm; font-size: 10.5pt; font-weight: 700; color: #000; }
.report p, .report li { max-width: none; font-size: 9pt; color: #000; }
.report .lead { margin-top: 1.5mm; font-size: 10.5pt; }
.report ul { padding-left: 4.5mm; list-style: disc; }
.report figure { margin: 2.5mm 0 0; }
.report figcaption { display: block; margin: 0; font-size: 8.5pt; color: #333; }
.report svg { display: block; overflow: visible; }
.report .picture { width: 100%; height: auto; font-size: 11px; }
.report .picture.narrow { display: none; }
.report .picture text { fill: #000; }
.report .grid path { stroke: #ccc; stroke-width: 0.7; }
.report .grid path.zero { stroke: #555; stroke-width: 1.1; }
.report .sample { display: inline-block; vertical-align: -2px; margin-right: 1.5mm; }
.report table { width: 100%; border-collapse: collapse; font-size: 8pt; table-layout: auto; }
.report th, .report td { width: auto; padding: 0.7mm 2mm 0.7mm 0; border-bottom: 0.3mm solid #ccc; text-align: left; vertical-align: baseline; font-weight: 400; white-space: normal; color: #000; }
.report thead th { border-bottom-color: #000; color: #333; }
.report thead th { white-space: nowrap; }
.report .number { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
.report td.verdict { display: table-cell; white-space: nowrap; font-weight: 600; }
.report footer { margin-top: 4mm; padding-top: 1.5mm; border-top: 0.3mm solid #000; }
.report footer p { font-size: 8pt; color: #333; }
@media screen and (max-width: 640px) {
.report { padding: 5mm; }
.report .picture.wide { display: none; }
.report .picture.narrow { display: block; }
.report thead { display: none; }
.report tr { display: block; padding: 1.5mm 0; border-bottom: 0.3mm solid #ccc; }
.report tbody th, .report td, .report td.verdict { display: block; border: 0; text-align: left; white-space: normal; }
.report tbody th { font-weight: 700; }
.report td.number, .report td.verdict, .report td.verdict + td { display: inline-block; margin-right: 3mm; text-align: left; }
.report td[data-label]::before { content: attr(data-label) ": "; color: #333; }
}
@media print {
  @page { margin: 11mm; }
  .report { max-width: none; padding: 0; font-size: 9pt; }
  .report h1 { font-size: 12.5pt; }
  .report h2 { font-size: 9.5pt; }
  .report table { font-size: 7.5pt; }
  .report p, .report li { font-size: 8.25pt; }
  .report figcaption, .report footer p { font-size: 7.5pt; }
  .report tr, .report figure, .report h2 { break-inside: avoid; }
  .report h2 { break-after: avoid; }
}
`;
