"""One form of a rulebook on paper: its displays, and what every other combination of its lamps means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.reports.lamps import LEGEND, Lamps
from lampwright.reports.tables import labelled, table
from lampwright.rulebooks.combinations import CAP, census, in_words, one_lamp_away
from lampwright.rulebooks.displays import reader
from lampwright.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.reports.style import Style
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning
    from lampwright.rulebooks.model import Dated

INDENT = "  "


def form(rulebook: Rulebook, name: str, style: Style, width: int) -> Iterator[str]:
    """Yield a form: its displays, and what else is said of it."""
    made = reader(rulebook, name)
    for part, item in _parts(made).items():
        if part:
            yield f"{part}: {item.name}"
        yield from table([*rows(item, style), [""]], width)
    yield from labelled([(label, text) for label, text in _facts(rulebook, made) if text], style, width)
    yield f"\n{LEGEND}"


def rows(form: FormReader, style: Style) -> list[list[Cell]]:
    """Return a form as rows of a table: its name and lamps, then what it shows for each aspect."""
    said = form.form
    remarks = "; ".join(filter(None, (said.title, ", ".join(said.roles), in_years(said))))
    head, *drawn = Lamps(form, style).sheet(dict(meaning.lamps) for meaning in form.meanings)
    shown: list[list[Cell]] = [
        [INDENT + meaning.aspect, row, _remarks(form, meaning)]
        for meaning, row in zip(form.meanings, drawn, strict=True)
    ]
    return [[form.name, head, remarks], *shown]


def in_years(thing: Dated) -> str:
    """Say when a thing was in use and when new ones were put up; empty if that is always."""
    fitted = f"new ones {thing.fitted}" if str(thing.fitted) != ".." else ""
    years = str(thing.years) if str(thing.years) != ".." else ""
    return ", ".join(filter(None, (years, fitted)))


def displays(rulebook: Rulebook, name: str, style: Style, width: int, *, every: bool) -> Iterator[str]:
    """Yield what combinations mean: those one lamp away from an aspect and the number of the rest, or every one."""
    for part, item in _parts(reader(rulebook, name)).items():
        yield ""
        number = counted(item.count(), "combination")
        yield f"{f'{part}: ' if part else ''}{item.name}, {number} of lamps dark, steady and flashing"
        yield from _every(item, style, width) if every else _near(item, style, width)


def _near(form: FormReader, style: Style, width: int) -> Iterator[str]:
    """Yield what one lamp makes of an aspect, and count the rest."""
    items = list(one_lamp_away(form))
    head, *drawn = Lamps(form, style).sheet(item.display for item in items)
    shown: list[list[Cell]] = [
        [f"{INDENT}{item.meaning.aspect}", f"{item.lamp} {_wrong(item.token)}", row, in_words(item.reading)]
        for item, row in zip(items, drawn, strict=True)
    ]
    yield from table([["for", "with one lamp wrong", head, "a driver reads"], *shown], width)
    yield ""
    yield from _counts(form)


def _counts(form: FormReader) -> Iterator[str]:
    """Yield how many combinations there are of each sort."""
    counts = census(form)
    rows = [[f"{counts.aspects:,}", "aspects"], [f"{counts.near:,}", "one lamp away from an aspect, and none"]]
    if counts.others is None:
        others = form.count() - counts.aspects - counts.near
        rows.append([f"{others:,}", f"others, not read one by one: there are more than {CAP:,}"])
    else:
        rows += [[f"{number:,}", f"others: {words}"] for words, number in sorted(counts.others.items())]
    yield from table(rows, right={0}, indent=INDENT)


def _every(form: FormReader, style: Style, width: int) -> Iterator[str]:
    """Yield every combination with what it means."""
    if form.count() > CAP:
        yield f"They are not listed: there are more than {CAP:,}."
        return
    all_of_them = list(form.combinations())
    head, *drawn = Lamps(form, style).sheet(all_of_them)
    shown: list[list[Cell]] = [[row, in_words(form.read(lit))] for row, lit in zip(drawn, all_of_them, strict=True)]
    yield from table([[head, "a driver reads"], *shown], width)


def _parts(form: FormReader) -> Mapping[str, FormReader]:
    """Return the parts of a form, each read by itself; a form without parts is the part ````."""
    return form.parts or {"": form}


def _remarks(form: FormReader, meaning: Meaning) -> str:
    """Return what else belongs to a display, and how it stands to its aspect."""
    aspect = form.rulebook.aspects[meaning.aspect]
    optional = "optional" if meaning.aspect in form.form.optional else ""
    also = "" if meaning.commanded else "read so, never commanded"
    tests = ", ".join(f"{name} {state}" for name, state in meaning.tests)
    return "; ".join(filter(None, (tests, also, optional if not also else "", in_years(aspect))))


def _wrong(token: str) -> str:
    """Return a state as a fault: ``steady`` tells a lamp that is lit from one that flashes."""
    return {"lit": "steady", "flash": "flashing"}.get(token, token)


def _facts(rulebook: Rulebook, form: FormReader) -> Iterator[tuple[str, str]]:
    """Yield what is said of a form besides its displays, each with its name."""
    said = form.form
    yield "title", said.title
    yield "role", listed(said.roles)
    yield "in use", in_years(said)
    yield "mount", said.mount
    yield "lamps", ", ".join(form.lamps)
    yield "in doubt", said.in_doubt
    yield "indicators", listed(said.indicators)
    yield "plates", listed(said.plates)
    yield "note", said.evidence.note
    yield "source", str(rulebook.why("forms", form.name))
