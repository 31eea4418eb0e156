"""One rulebook on paper: what it says, and what that rests on."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from lampwright.commands.form_page import in_years, rows
from lampwright.commands.sequence_page import LEGEND as OF_SEQUENCE
from lampwright.commands.sequence_page import sequence
from lampwright.reports.lamps import LEGEND, SEEN_LEGEND, seen
from lampwright.reports.printable import columns, printable, wrapped
from lampwright.reports.tables import GAP, NARROW, Drawn, labelled, table
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.indications import told
from lampwright.rulebooks.lights import sights
from lampwright.rulebooks.reliance import data, remembered, resting
from lampwright.rulebooks.sources import cited
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.findings import Path
    from lampwright.reports.style import Style
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form, Indicator, Plate

INDENT = "  "


def page(rulebook: Rulebook, style: Style, width: int) -> Iterator[str]:
    """Yield a whole rulebook, section by section."""
    yield style("strong", f"{rulebook.id}  {rulebook.title}")
    yield ", ".join(filter(None, (rulebook.territory, rulebook.network, rulebook.edition, str(rulebook.years))))
    for title, lines in _sections(rulebook, style, width):
        if lines:
            yield f"\n{style('strong', title)}"
            yield from lines


def _sections(rulebook: Rulebook, style: Style, width: int) -> Iterator[tuple[str, Sequence[str]]]:
    """Yield the sections with their titles."""
    yield "Aspects", _below(SEEN_LEGEND, _aspects(rulebook, style, width), style, width)
    yield "Order of restriction, tightest first", _orders(rulebook, width)
    yield "Forms", _below(LEGEND, _forms(rulebook, style, width), style, width)
    yield "Indicators", table([_indicator(*item) for item in rulebook.indicators.items()], width, indent=INDENT)
    yield "Plates", table([_plate(*item) for item in rulebook.plates.items()], width, indent=INDENT)
    yield "Sequence", _below(OF_SEQUENCE, sequence(rulebook, style, width), style, width)
    yield "What is done about faults that would read freer", _faults(rulebook, width)
    yield "Eras", table([[name, _years(era)] for name, era in rulebook.eras.items()], indent=INDENT)
    yield "Sources, and how many data rest on each", table(_sources(rulebook), width, right={1}, indent=INDENT)
    memory = remembered(rulebook)
    yield f"From memory alone: {len(memory)} of {len(data(rulebook))} data", _grouped(memory, style, width)


def _below(legend: str, lines: Sequence[str], style: Style, width: int) -> list[str]:
    """Return lines with what explains them above; nothing if there are none."""
    explained = [INDENT + style("faint", line) for line in wrapped(legend, width - len(INDENT))]
    return [*explained, *lines] if lines else []


def _aspects(rulebook: Rulebook, style: Style, width: int) -> list[str]:
    """Return all aspects: what each is called and tells the driver, and beside that everything that is seen of it."""
    looks: dict[str, list[Drawn]] = {}
    for sight, known in sights(rulebook).items():
        for shown in dict.fromkeys(one.aspect for one in known):
            looks.setdefault(shown, []).append(seen(sight, style))
    widest = max((columns(look.plain) for several in looks.values() for look in several), default=0)
    room = max(NARROW, width - len(INDENT) - max(map(len, rulebook.aspects), default=0) - widest - 2 * len(GAP))
    found: list[list[Cell]] = []
    for name in rulebook.aspects:
        text = wrapped(printable(_said(rulebook, name)), room)
        for place, (look, line) in enumerate(zip_longest(looks.get(name, []), text, fillvalue="")):
            found.append(["" if place else name, look, line])
    return table(found, indent=INDENT)


def _said(rulebook: Rulebook, name: str) -> str:
    """Return what an aspect is called, what it tells and when it was in use."""
    aspect = rulebook.aspects[name]
    called = ", ".join(filter(None, (aspect.code, aspect.name or aspect.title)))
    text = ": ".join(dict.fromkeys(filter(None, (called, told(rulebook, name)))))
    return "; ".join(filter(None, (text, in_years(aspect))))


def _orders(rulebook: Rulebook, width: int) -> list[str]:
    """Return the chains of the order, then the pairs that have none."""
    chains = [" < ".join(chain) for chain in rulebook.chains]
    pairs = [f"{listed(item.pair)}: neither, {item.because}" for item in rulebook.incomparable]
    return table([[text] for text in (*chains, *pairs)], width, indent=INDENT)


def _plate(name: str, plate: Plate) -> list[Cell]:
    """Return a plate's row."""
    return [name, in_years(plate), plate.title or plate.colour]


def _faults(rulebook: Rulebook, width: int) -> list[str]:
    """Return the answers to faults, each with the forms it is for; then what is proved alight."""
    answers: dict[str, list[str]] = {}
    for name, form in rulebook.forms.items():
        for fault in form.faults:
            failed = next(f"{what} {how}" for how in ("lost", "stuck", "steady") if (what := getattr(fault, how)))
            where = f" at {listed(fault.within)}" if fault.within else ""
            what = f"{fault.then} instead" if fault.then else f"accepted: {fault.accepted}"
            answers.setdefault(f"{failed}{where}: {what}", []).append(name)
    rows = [[f"{text} ({listed(forms)})"] for text, forms in answers.items()]
    proved = [name for name, box in rulebook.indicators.items() if box.proved]
    return table(
        [*rows, *([[f"proved alight before the aspect clears: {listed(proved)}"]] if proved else [])],
        width,
        indent=INDENT,
    )


def _forms(rulebook: Rulebook, style: Style, width: int) -> list[str]:
    """Return all forms with their displays, and below them those that have parts, with the forms of these."""
    single = [name for name, form in rulebook.forms.items() if not form.parts]
    found: list[list[Cell]] = []
    for name in single:
        found += [*rows(reader(rulebook, name), style), [""]]
    found += [_of_parts(name, form) for name, form in rulebook.forms.items() if form.parts]
    return table(found, width, indent=INDENT)


def _of_parts(name: str, form: Form) -> list[Cell]:
    """Return the row of a form that has parts."""
    parts = ", ".join(f"{part}: {item.form}" for part, item in form.parts.items())
    return [name, "", "; ".join(filter(None, (form.title, in_years(form), parts)))]


def _indicator(name: str, indicator: Indicator) -> list[Cell]:
    """Return an indicator's row: what it is called and what it can show."""
    shown = ", ".join(indicator.positions) or indicator.characters or indicator.figures
    return [name, in_years(indicator), ": ".join(filter(None, (indicator.title, shown)))]


def _years(era: Any) -> str:
    """Return an era's years."""
    return str(era["years"] if isinstance(era, dict) else era)


def _sources(rulebook: Rulebook) -> list[list[Cell]]:
    """Return the rows of all sources that are named, those that carry most first."""
    return [
        [name, str(number), str(cited(rulebook, name).basis), cited(rulebook, name).text]
        for name, number in resting(rulebook).most_common()
    ]


def _grouped(paths: list[Path], style: Style, width: int) -> list[str]:
    """Return data below the things they are said of: ``forms three-aspect   years, lamps.green``."""
    groups: dict[str, dict[str, None]] = {}
    for path in paths:
        thing = " ".join(map(str, path[:2]))
        said = ".".join(step for step in path[2:4] if isinstance(step, str))
        groups.setdefault(thing, {}).setdefault(said)
    return labelled([(thing, ", ".join(filter(None, said))) for thing, said in groups.items()], style, width, INDENT)
