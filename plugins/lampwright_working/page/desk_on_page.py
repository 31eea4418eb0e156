"""The layout worked, on the page of a plan: what stands there without its script, and the script."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

from lampwright.page import PagePart, Place
from lampwright.page.markup import paragraph

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.working.play import Play

SCRIPTS: Final = ("carrying", "moving", "telling", "linking", "painting", "desk", "panel", "working")
"""The modules of the script, in the order in which they are put together."""
HEADS: Final = ("signal", "lamps lit", "shows", "why", "routes from it", "put out")
STYLE: Final = """
#worked-said{position:sticky;top:0;z-index:1;min-height:3rem;max-height:min(5.5rem,15vh);overflow:auto;
background:var(--paper);border-left:3px solid var(--ink);border-bottom:1px solid var(--rule);padding-left:.75rem;
font-size:.9rem;line-height:1.35}
#worked-said p{margin:.15rem 0;max-width:none} #worked-said p:first-child{font-weight:600}
#worked :is(button,summary,select,input,a){scroll-margin-top:6rem}
.worked-buttons{display:flex;flex-wrap:wrap;gap:.35rem;margin:.4rem 0}
.worked-buttons label{margin-right:.75rem}
.worked td button{display:block;margin:.1rem 0;text-align:left;font-size:.85rem}
.worked td button[hidden]{display:none}
.worked th,.worked summary{white-space:nowrap;overflow-wrap:normal}
.worked tbody th{color:inherit;font-weight:600}
.worked td:nth-of-type(3){min-width:14rem}
.worked-letters{white-space:nowrap;font-weight:600;font-family:ui-monospace,'DejaVu Sans Mono',monospace}
@media (max-width:48rem){
.worked,.worked :is(caption,tbody){display:block} .worked thead{position:absolute;clip-path:inset(50%)}
.worked tr{display:grid;grid-template-columns:max-content max-content 1fr;gap:.1rem .75rem;padding:.5rem 0;
border-bottom:1px solid var(--rule)} .worked tr[hidden]{display:none}
.worked :is(td,th){display:block;border:0;padding:0;min-width:0} .worked td:nth-of-type(3){min-width:0}
.worked :is(.worked-why,.worked-routes,.worked-out){grid-column:1/-1}
.worked-routes{display:flex!important;flex-wrap:wrap;gap:.35rem} .worked-out summary::before{content:"put out "}
}
.diagram :is([data-section],[data-within],[data-route],[data-signal],[data-end]){cursor:pointer}
.diagram .entrance text{text-decoration:underline}
@media print{#worked{display:none}}
"""
HOW: Final = (
    "Set routes and put trains into sections by the buttons here, or in the track above: press a section, or the "
    "signal where a route begins and then the one where it ends. How trains put signals back to stop is common "
    "practice; all else is as the rulebook says."
)
BODY: Final = """
<div id="worked-said" role="status" aria-live="polite" tabindex="0">
<p>Working the layout takes a browser that runs scripts.</p>
</div>
<p class="screen worked-buttons"><button type="button" id="worked-undo">Undo</button>
<button type="button" id="worked-restart">Start again</button>
<a id="worked-link" href="#worked">Link to what is shown now</a></p>
<h3>Sections</h3>
<div id="worked-places" class="worked-buttons"></div>
<div id="worked-beyond" hidden><h3>What stands beyond the plan</h3>
<div id="worked-edges" class="worked-buttons"></div>
</div>
<h3>Signals</h3>
<p class="screen"><label>Find a signal <input type="search" id="worked-find" autocomplete="off"></label></p>
<div class="wide" role="region" aria-label="Signals worked" tabindex="0"><table class="worked" role="table">
<caption>What every signal shows now, and why</caption>
<thead role="rowgroup"><tr role="row">{heads}</tr></thead>
<tbody id="worked-signals" role="rowgroup"></tbody></table></div>
"""


def parts() -> list[PagePart]:
    """Return the part."""
    return [PagePart("worked", "The layout worked", 110, Place.BEFORE, html, STYLE, script(), data)]


def html(layout: Layout) -> str:
    """Return the desk, empty; nothing if no signal of the plan can be worked."""
    if not _play(layout).looks:
        return ""
    heads = "".join(f'<th scope="col" role="columnheader">{head}</th>' for head in HEADS)
    return paragraph(HOW) + BODY.format(heads=heads)


def data(layout: Layout) -> Any:
    """Return the table that the script looks up in."""
    from lampwright.working.play.table import table

    return table(_play(layout))


def script() -> str:
    """Return the script in one piece, its names its own."""
    folder = files(__package__)
    modules = (folder.joinpath(f"{name}.js").read_text(encoding="utf-8") for name in SCRIPTS)
    return '(() => {{\n"use strict";\n{}}})();\n'.format("\n".join(modules))


def _play(layout: Layout) -> Play:
    """Return the layout to be worked, made once."""
    from lampwright.working.play import Play

    if "play" not in layout.cache:
        layout.cache["play"] = Play(layout)
    found: Play = layout.cache["play"]
    return found
