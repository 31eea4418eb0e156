"""The bench card as a page to print: A4, nothing fetched, everything from a file escaped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.page.markup import text as escape
from lampwright_proving.card.model import CAUTIONS, FILE, HOW
from lampwright_proving.card.text import heading

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright_proving.card.model import Card, Lamp, SignalCard, Step

STEPS: Final = """
.steps { border-collapse: collapse; width: 100%; table-layout: fixed; margin: 3mm 0 }
.steps tbody { break-inside: avoid }
.steps th { text-align: left; font-weight: 400; color: var(--faint); font-size: 9pt }
.steps thead th:nth-child(1) { width: 6mm } .steps thead th:nth-child(2) { width: 14mm }
.steps thead th:nth-child(3) { width: 55mm } .steps thead th:nth-child(5) { width: 20mm }
.steps thead th:last-child { width: 45mm }
.steps tbody th { font-weight: 600; font-size: 1em; padding-top: 4mm; color: var(--ink) }
.steps td, .steps th { padding: .8mm 3mm .8mm 0; border-bottom: .5pt solid var(--faint) }
.must-dark { color: var(--faint) } .must-lit, .must-flashing { font-weight: 600 }
.steps i { display: inline-block; width: 1.25em; height: 1.25em; line-height: 1.25em; text-align: center;
           font-size: 9pt; font-style: normal; border: .75pt solid; border-radius: 50%; margin-right: 2mm;
           print-color-adjust: exact; -webkit-print-color-adjust: exact }
.must-lit i, .must-flashing i { background: var(--ink); color: var(--paper); border-color: var(--ink) }
.must-flashing i { outline: 1pt dashed var(--ink); outline-offset: 1pt; border-radius: 50% }
@media print { .steps td { padding-block: .4mm } .steps tbody th { padding-top: 2.5mm } }
.steps td:first-child::before { content: ""; display: inline-block; width: 3.5mm; height: 3.5mm; border: .75pt solid }
"""
"""The tables of commands, wherever they stand."""
STYLE: Final = f"""
@page {{ size: A4; margin: 15mm }}
:root {{ color-scheme: light dark; --ink: #111; --paper: #fff; --faint: #666 }}
@media (prefers-color-scheme: dark) {{ :root {{ --ink: #eee; --paper: #161616; --faint: #aaa }} }}
@media print {{ :root {{ --ink: #000; --paper: #fff; --faint: #444 }} }}
body {{ font: 11pt/1.35 system-ui, sans-serif; font-variant-numeric: tabular-nums; color: var(--ink);
       background: var(--paper); max-width: 180mm; margin: 0 auto; padding: 8mm 0 }}
h1 {{ font-size: 16pt; margin: 0 }} h2 {{ font-size: 13pt; margin: 8mm 0 1mm; border-bottom: 1.5pt solid }}
.of {{ color: var(--faint); margin: 0 0 2mm }}
section {{ break-before: auto }}
{STEPS}footer {{ margin-top: 8mm; border-top: .75pt solid; font-size: 9pt }} footer p {{ margin: 1mm 0 }}
"""
HEADS: Final = ("", "place", "lamp", "must be", "output", "seen")


def page(card: Card) -> str:
    """Return the whole page."""
    title = escape(f"{card.plan}: bench card")
    head = f'<meta charset="utf-8"><meta name="viewport" content="width=device-width">\n<title>{title}</title>'
    body = "\n".join(_body(card))
    head += f"\n<style>{STYLE}</style>"
    return f'<!doctype html>\n<html lang="en">\n<head>\n{head}\n</head>\n<body>\n{body}\n</body>\n</html>\n'


def _body(card: Card) -> Iterator[str]:
    """Yield the blocks of the page."""
    yield f"<h1>{escape(card.plan)}: bench card</h1>"
    of = ", ".join(
        filter(None, (" in ".join(filter(None, (card.rulebook, card.year))), f"fingerprint {card.fingerprint}"))
    )
    yield f'<p class="of">{escape(of)}; date ____________ by ____________</p>'
    yield f"<p>{escape(HOW)} {escape(FILE.format(card.fingerprint))}</p>"
    for signal in card.signals:
        yield from _signal(signal)
    yield from (f"<p>{escape(one.signal)}: no card, for {escape(one.because)}</p>" for one in card.left_out)
    yield "<footer>" + "".join(f"<p>{escape(caution)}</p>" for caution in CAUTIONS) + "</footer>"


def _signal(signal: SignalCard) -> Iterator[str]:
    """Yield the block of one signal."""
    yield f"<section><h2>{escape(signal.signal)}</h2>"
    yield f'<p class="of">{escape(", ".join(heading(signal)))}</p>'
    yield steps(signal)
    yield "</section>"


def steps(signal: SignalCard) -> str:
    """Return the table of all commands of a signal, with a box to tick before each lamp."""
    heads = "".join(f'<th scope="col">{head}</th>' for head in HEADS)
    bodies = "\n".join(map(_step, signal.steps))
    return f'<table class="steps"><thead><tr>{heads}</tr></thead>\n{bodies}</table>'


def _step(step: Step) -> str:
    """Return the rows of one command."""
    name = f"{escape(step.name)} ({escape(step.remark)})" if step.remark else escape(step.name)
    head = f'<tr><th colspan="{len(HEADS)}" scope="rowgroup">{step.number} &nbsp; {name}</th></tr>'
    return f"<tbody>{head}\n{''.join(map(_lamp, step.lamps))}</tbody>"


def _lamp(lamp: Lamp) -> str:
    """Return the row of one lamp; its letter is there whatever the printer makes of colours."""
    letter = escape("/".join(colour[:1].upper() for colour in lamp.colour.split("/")))
    cells = (
        "",
        escape(lamp.place),
        f"<i>{letter}</i>{escape(lamp.name)}",
        f"{escape(lamp.colour)} {lamp.must}" if lamp.must != "dark" else "dark",
        escape(lamp.output),
        "",
    )
    return f'<tr class="must-{lamp.must}">' + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>"
