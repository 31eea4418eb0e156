"""One rulebook on paper: what it says, and what that rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.commands.form_page import in_years, rows
from lampwright.reports.lamps import LEGEND
from lampwright.reports.tables import labelled, table
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.reliance import data, remembered, resting
from lampwright.rulebooks.sources import cited

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.findings import Path
    from lampwright.reports.style import Style
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form, Indicator

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
    yield "Aspects", table([_aspect(rulebook, name) for name in rulebook.aspects], width, indent=INDENT)
    yield f"Forms ({LEGEND})", _forms(rulebook, style, width)
    yield "Indicators", table([_indicator(*item) for item in rulebook.indicators.items()], width, indent=INDENT)
    yield "Eras", table([[name, _years(era)] for name, era in rulebook.eras.items()], indent=INDENT)
    yield "Sources, and how many data rest on each", table(_sources(rulebook), width, right={1}, indent=INDENT)
    memory = remembered(rulebook)
    yield f"From memory alone: {len(memory)} of {len(data(rulebook))} data", _grouped(memory, style, width)


def _aspect(rulebook: Rulebook, name: str) -> list[Cell]:
    """Return an aspect's row: what it is called and what it tells the driver."""
    aspect = rulebook.aspects[name]
    says = ", ".join(f"{key} {_words(value)}" for key, value in aspect.says.items())
    return [name, aspect.code, in_years(aspect), "; ".join(filter(None, (aspect.name or aspect.title, says)))]


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


def _words(value: Any) -> str:
    """Return a value of what an aspect says."""
    return " or ".join(map(str, value)) if isinstance(value, list) else str(value)


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
