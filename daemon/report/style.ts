/** Ink on paper: everything is told by words, dashes and patterns first; colour only repeats it. */
export const style = `
:root{--ink:#1c1917;--faint:#57504a;--rule:#b9b0a4;--hair:#ded7cc;--paper:#fff;--room:#ece6dc;--boiler:#8a4513;--heads:#1d5a72;--hearts:#4c650f;--tails:#77500f;--foreshots:#7d2f66;--alarm:#8f1d0c}
*{box-sizing:border-box}
html{background:var(--room);color:var(--ink);font:15px/1.45 "Liberation Sans","Helvetica Neue",Arial,sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:210mm;background:var(--paper);padding:14mm 15mm;overflow-wrap:break-word}
bdi{overflow-wrap:anywhere}
h1{font-size:1.75rem;line-height:1.15;margin:.1rem 0 .2rem;font-weight:700}
h2{font-size:1.02rem;margin:1.6rem 0 .45rem;padding-top:.35rem;border-top:1.5px solid var(--ink)}
h3{font-size:.92rem;margin:.7rem 0 .2rem}
p{margin:.4rem 0}
ul{margin:.2rem 0 .7rem;padding-left:1.2rem}
.kicker{font-size:.82rem;letter-spacing:.04em;color:var(--faint);margin:0}
.lead{margin:0 0 .8rem}
.note{font-size:.82rem;color:var(--faint);max-width:62em}
.stamp{border:2.5px solid var(--ink);padding:.45rem .7rem;margin:.7rem 0}
.stamp strong{display:block;font-size:1.25rem;text-transform:uppercase;letter-spacing:.05em}
.warn{border-left:4px solid var(--ink);padding:.1rem 0 .1rem .7rem;margin:.5rem 0;font-weight:600}
.facts{display:grid;grid-template-columns:repeat(auto-fill,minmax(10.5rem,1fr));gap:.55rem 1.2rem;margin:.6rem 0}
.facts .whole{grid-column:1/-1}
dt::first-letter{text-transform:uppercase}
dt{font-size:.78rem;color:var(--faint)}
dd{margin:0}
.hash,code{font:.82em/1.4 "Liberation Mono","DejaVu Sans Mono",monospace;overflow-wrap:anywhere}
.scroll{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.86rem}
th{text-align:left;font-weight:600;font-size:.8rem;color:var(--faint);border-bottom:1px solid var(--ink);padding:.15rem .7rem .25rem 0;vertical-align:bottom}
td{border-bottom:1px solid var(--hair);padding:.25rem .7rem .25rem 0;vertical-align:top}
th:last-child,td:last-child{padding-right:0}
.figure{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
td.figure,td.mark{overflow-wrap:normal}
.mark{white-space:nowrap;font-variant-numeric:tabular-nums}
td.wide{min-width:14rem}
tr.sum td,tbody tr:last-child td{border-bottom-color:var(--rule)}
tr:has(strong) td{border-top:1px solid var(--ink)}
.below{display:block;font-size:.9em;color:var(--faint)}
.beside{font-size:.9em;color:var(--faint);margin-left:.8em}
.below{white-space:nowrap}td.wide .below{white-space:normal}
.letter-mark{display:inline-block;min-width:1.5em;text-align:center;border:1px solid var(--ink);font-weight:700;padding:0 .25em;line-height:1.3}
details{margin:.6rem 0}
summary{cursor:pointer}
pre{font:.75rem/1.4 "Liberation Mono","DejaVu Sans Mono",monospace;white-space:pre-wrap}
footer{margin-top:1.8rem;border-top:1px solid var(--rule);padding-top:.5rem}
svg.course,svg.share{display:block;width:100%;height:auto;fill:none;stroke:none}
.scroll svg{min-width:38rem}
svg text{font-family:"Liberation Sans","Helvetica Neue",Arial,sans-serif;font-size:11px;fill:var(--ink)}
svg .small{font-size:9.5px;fill:var(--faint)}
svg .tick{font-size:10px;fill:var(--faint)}
svg .unit{font-size:10px;fill:var(--faint)}
svg .letter{font-weight:700;font-size:11px}
svg .halo{stroke:var(--paper);stroke-width:4;stroke-linejoin:round;fill:var(--paper)}
svg .name{font-size:10.5px}
.grid{stroke:var(--hair);stroke-width:.6}
.frame{stroke:var(--rule);stroke-width:.8}
.axis{stroke:var(--ink);stroke-width:.8}
.cut{stroke:var(--ink);stroke-width:.7;stroke-dasharray:1.5 2.5}
.hearts-band{fill:#f1f4e4}
.ribbon{stroke:var(--ink);stroke-width:.7;fill:var(--paper)}
.ribbon.foreshots{fill:url(#foreshots)}.ribbon.heads{fill:url(#heads)}.ribbon.tails{fill:url(#tails)}.ribbon.hearts{fill:#e2e9c6}
pattern circle{fill:var(--foreshots)}pattern#heads path{stroke:var(--heads);stroke-width:1}pattern#tails path{stroke:var(--tails);stroke-width:1}
.spread{fill:#e3ddd3}
.curve{stroke-linejoin:round;stroke:var(--ink);stroke-width:1.7}
.curve.at-reference{stroke-width:1.2;stroke-dasharray:5 2.5}
.curve.boiler{stroke:var(--boiler);stroke-width:1.2;stroke-dasharray:none}
.curve.boiler.at-reference{stroke-width:1;stroke-dasharray:7 2.5 1.5 2.5}
.curve.that-run{stroke:var(--heads);stroke-width:1.2;stroke-dasharray:5 2.5}
.outside{stroke:var(--alarm);stroke-width:4}
.curve.air{stroke-width:1.2}
.curve.heat{stroke-width:1.3}
.curve.commanded{stroke:var(--boiler);stroke-width:1;stroke-dasharray:3 2}
.leader{stroke:var(--rule);stroke-width:.7}
.limit{stroke:var(--ink);stroke-width:1.3}
.alarm-mark{fill:var(--alarm);stroke:var(--alarm);stroke-width:1}
.alarm-mark.silent{fill:var(--paper)}
.alarm-bar{stroke:var(--alarm);stroke-width:1.4}
.ribbon.residue{fill:#d9d4cb}
.share rect{stroke:var(--ink);stroke-width:.7}
@media (max-width:700px){body{padding:1rem .9rem}}
@page{size:A4;margin:14mm 15mm 16mm;@bottom-right{content:counter(page) " / " counter(pages);font:8pt "Liberation Sans",Arial,sans-serif;color:#57504a}}
@media print{
html{background:none;font-size:9.5pt}
body{max-width:none;padding:0}
.scroll{overflow:visible}
.scroll svg{min-width:0}
h2,h3{break-after:avoid}
svg,tr,.facts div,.stamp,.warn,#record{break-inside:avoid}
footer{break-before:avoid}
thead{display:table-header-group}
details{display:none}
*{-webkit-print-color-adjust:exact;print-color-adjust:exact}
}
`;
