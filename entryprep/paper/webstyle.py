"""How the page for a screen looks: colours, light and dark, and the rules that place things; nothing is fetched."""

from __future__ import annotations

# ink, paper, quiet ink, lines, band, links, and the ink of the three severities; light and dark
LIGHT = {
    "ink": "#1b1b1b",
    "paper": "#ffffff",
    "quiet": "#555555",
    "line": "#767676",
    "band": "#dcdcdc",
    "link": "#0b4f9e",
    "error": "#a11212",
    "warning": "#7a4a00",
    "note": "#1d5a4a",
}
DARK = {
    "ink": "#ececec",
    "paper": "#161616",
    "quiet": "#b4b4b4",
    "line": "#8c8c8c",
    "band": "#3c3c3c",
    "link": "#8fbff5",
    "error": "#ff9d94",
    "warning": "#f2c073",
    "note": "#8fd6bf",
}
DARK_MEDIA = "@media screen and (prefers-color-scheme:dark)"  # paper is always light
STYLE = """
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem;max-width:60rem;background:var(--paper);color:var(--ink);
font:1rem/1.45 system-ui,sans-serif;overflow-wrap:break-word}
h1{font-size:1.6rem;line-height:1.2;margin:.5rem 0}
h2{font-size:1.3rem;line-height:1.25;margin:2rem 0 .5rem;border-top:2px solid var(--line);padding-top:1rem}
h3{font-size:1.05rem;margin:1.2rem 0 .3rem}
p{margin:.3rem 0}
ul{margin:.3rem 0;padding-left:1.2rem}
a{color:var(--link)}
a:focus-visible,summary:focus-visible{outline:3px solid var(--link);outline-offset:2px}
.quiet{color:var(--quiet);font-size:.9rem}
table{border-collapse:collapse;width:100%}
caption{text-align:left;font-weight:bold;padding:.6rem 0 .3rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid var(--line)}
td,.forest,summary{overflow-wrap:anywhere}
th,.figure{white-space:nowrap}
details{border-top:1px solid var(--line);padding:.5rem 0}
summary{cursor:pointer;padding:.2rem 0}
.beer>summary{display:grid;grid-template-columns:2rem minmax(9rem,1.2fr) 3rem minmax(11rem,1fr) minmax(9rem,1fr);
column-gap:.7rem;align-items:center;list-style:none}
.beer>summary::-webkit-details-marker{display:none}
.beer>summary .name>b{text-decoration:underline;text-underline-offset:.2em}
.name>span{display:block;font-size:.9rem}
.score{font-size:1.5rem;font-weight:bold;text-align:right}
.state{font-size:.9rem}
.stop{background:var(--ink);color:var(--paper);padding:.5rem .7rem;margin:.4rem 0}
.stop b{letter-spacing:.08em}
.stop a{color:inherit}
.days{list-style:none;padding:0}
.days li{margin:.25rem 0}
.todo{list-style:none;padding:0}
.todo li{margin:.4rem 0}
.frame{border:3px solid var(--ink);padding:.3rem .7rem;margin:.6rem 0}
.papers{margin:.5rem 0}
.papers b{display:block}
.forest{display:grid;grid-template-columns:minmax(6.2rem,15rem) 1fr minmax(5.6rem,12rem);column-gap:.7rem;
margin:.6rem 0;font-size:.92rem}
.forest p{margin:0;padding:.35rem 0;min-height:2.1rem}
.cell{position:relative}
.cell>svg{position:absolute;inset:0}
.moves{overflow-x:auto}
.moves:focus-visible{outline:3px solid var(--link)}
.picture{width:47.5rem;overflow:hidden}
.chart td{overflow-wrap:normal}
.gauge{max-width:20rem}
.value b,.range b{white-space:nowrap}
svg{display:block;overflow:visible}
svg:not(.picture) text{fill:var(--ink);font-size:12px}
.start{text-anchor:start}
.middle{text-anchor:middle}
.end{text-anchor:end}
.axis{stroke:var(--line)}
.edge{stroke:var(--ink)}
.band{fill:var(--band)}
.free{fill:var(--paper)}
.dark{fill:var(--line)}
.ring{stroke:var(--line)}
.mark{stroke:var(--ink);stroke-width:2}
.spot,.other,.small{overflow:visible}
.spot *{fill:var(--ink);stroke:var(--paper)}
.small *{fill:var(--ink)}
.other *{fill:var(--paper);stroke:var(--ink);stroke-width:1.6}
.found{list-style:none;padding:0}
.found li{border-left:4px solid var(--line);padding-left:.6rem;margin:.6rem 0}
.found b{letter-spacing:.02em}
.found .error{border-color:var(--error)}
.found .warning{border-color:var(--warning)}
.found .note{border-color:var(--note)}
.error b{color:var(--error)}
.warning b{color:var(--warning)}
.note b{color:var(--note)}
@media (max-width:40rem){
.beer>summary{grid-template-columns:2rem minmax(0,1fr) 6.2rem}
.beer .places{grid-column:1/3}
.beer .state{line-height:1.2;font-size:.8rem}
.name>span{font-size:.85rem}
.label{display:none}
body{padding:.6rem .9rem}
details{padding:.25rem 0}
h2{margin:1.1rem 0 .3rem;padding-top:.5rem}
.forest{grid-template-columns:minmax(0,6.2rem) minmax(0,1fr) minmax(0,5.6rem);column-gap:.5rem;font-size:.85rem}
thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
tr{display:block;border-bottom:1px solid var(--line);padding:.4rem 0}
.none{display:none}
td{display:block;border:0;padding:.1rem 0;white-space:normal}
td[data-name]:not(:empty)::before{content:attr(data-name) ": ";color:var(--quiet)}
}
@media print{
body{max-width:none;padding:0;font-size:10pt}
.found li,tr,.forest{break-inside:avoid}
hr{break-after:page;border:0}
a{color:inherit;text-decoration:none}
}
"""
