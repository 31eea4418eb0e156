"""``lampwright date``: the years a plan can belong to, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from lampwright.commands.chosen import about_plans, layouts
from lampwright.commands.output import options, write
from lampwright.reports.printable import printable, wrapped
from lampwright.reports.style import Style
from lampwright.reports.tables import table
from lampwright.words import counted, listed
from lampwright.years import ALWAYS, BEGINNING, END, Years
from lampwright_working.dated import BY_PLAN
from lampwright_working.dating import Dating

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright_working.dated import Clash, Dated, Use
    from lampwright_working.dating import Bound, Never, Otherwise, Spell

FORMAT: Final = "lampwright-dates/1"
USERS: Final = 4
"""Signals that are named; the rest is counted."""


@click.command(
    epilog="""
\b
Examples:
  lampwright date layout.yaml
  lampwright date layout.yaml --format json   for programs
"""
)
@about_plans
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_context
def date(ctx: click.Context, paths: tuple[str, ...], year: str, rulebook: str, form: str) -> None:
    """Show the years in which everything in a plan existed together.

    Rulebook, forms, aspects, indicators, plates, and what the rules of each time ask of the signals: what bounds the
    years on each side, by which source, and what sources that disagree make of them. --year is what to compare with.
    """
    found = [Dating(layout) for layout in layouts(ctx, paths, year, rulebook)]
    if form == "json":
        import json

        write(json.dumps({"format": FORMAT, "plans": [_as_json(dating) for dating in found]}, indent=2) + "\n")
        return
    for dating in found:
        for line in _as_text(dating):
            write(f"{line}\n")


def told(years: Years) -> str:
    """Return a span in words: ``from 1926``, ``until 1966``, ``from 1930 to 1960``, ``in any year``."""
    if years.first == BEGINNING:
        return "in any year" if years.last == END else f"until {years.last}"
    if years.first == years.last:
        return f"in {years.first}"
    return f"from {years.first}" + ("" if years.last == END else f" to {years.last}")


def _as_text(dating: Dating) -> Iterator[str]:
    """Yield the lines that tell of one plan."""
    style, width = Style(colour=options().colour), options().width
    yield style("strong", printable(dating.layout.plan.name or dating.layout.plan.file))
    for line in _verdict(dating):
        yield from wrapped(printable(line), width, " " * (len(line) - len(line.lstrip()) + 2))
    yield ""
    if differing := [*map(_otherwise, dating.otherwise), *map(_clash, dating.doubts)]:
        yield style("strong", "Where sources differ")
        for line in differing:
            yield from wrapped(printable(f"  {line}"), width, "    ")
        yield ""
    timed = [use for use in dating.used if (use.thing.time.years, use.thing.fitted) != (ALWAYS, ALWAYS)]
    if timed:
        yield style("strong", "What has a date")
        head, *lines = table([["thing", "in use", "new ones", "used by", "source"], *_rows(timed)], width, indent="  ")
        yield style("frame", head)
        yield from lines
        yield ""
    if len(timed) < len(dating.used):
        rest = (use.thing.name.removeprefix("the ") for use in dating.used if use not in timed)
        yield from wrapped(printable(f"Without a date: {listed(rest)}."), width)
        yield ""


def _verdict(dating: Dating) -> Iterator[str]:
    """Yield when a plan can be set, with what bounds the years, or why it never can."""
    if not dating.named:
        yield "Nothing in it has a date."
        return
    for spell in dating.spells:
        yield f"Everything in it existed together {told(spell.years)}."
        yield from _bounds(spell)
    if dating.never is not None:
        yield from _never(dating.never)
    for clash in dating.clashes:
        yield f"Never: {_clash(clash)}."
    if (compared := _compared(dating)) and not dating.clashes:
        yield compared
    if dating.apart:
        own = listed(f"{signal.name} ({signal.entry.year})" for signal in dating.apart)
        yield f"Left out, because they stand in years of their own: {own}."


def _bounds(spell: Spell) -> Iterator[str]:
    """Yield what bounds a span of years on each side."""
    for side, year, bounds in (("before", spell.years.first, spell.lower), ("after", spell.years.last, spell.upper)):
        for bound in bounds:
            yield f"  not {side} {year}: {_bound(bound)}"
        if not bounds:
            yield f"  nothing keeps it from being set {'earlier' if side == 'before' else 'later'}"


def _bound(bound: Bound) -> str:
    """Say what keeps a plan out of some years, why, and by whom."""
    used, users = bound.use.thing, _users(bound.use.signals)
    by = "" if used.time.citation == BY_PLAN else f"; {used.time.citation}"
    if bound.missing and used.name == f"the aspect {bound.missing}":
        return f"{users} must show {bound.missing}, which was in use {told(used.time.years)}{by}"
    if bound.missing:
        return f"{users} would have to show {bound.missing}, and cannot: {used.name} held {told(used.time.years)}{by}"
    if not by:
        return used.name
    return f"{used.name}, in use {told(used.time.years)}{f' ({users})' if users else ''}{by}"


def _never(never: Never) -> Iterator[str]:
    """Yield why there are no good years."""
    if never.met is not None:
        went, came = never.met
        gone = f"{went.use.thing.name} went in {went.use.thing.time.years.last}"
        yield f"Never: {gone}, and {_came(came.use.thing)}."
        yield f"  {_bound(went)}"
        yield f"  {_bound(came)}"
        return
    yield "Never: in every year something is asked that cannot be shown."
    for years, bounds in never.pieces:
        yield f"  {told(years)}: {'; '.join(map(_bound, bounds))}"


def _came(used: Dated) -> str:
    """Say when a thing came."""
    if used.time.citation == BY_PLAN:
        return used.name.replace(",", " was", 1)
    return f"{used.name} came in {used.time.years.first}"


def _clash(clash: Clash) -> str:
    """Say which signal was put up out of time, and who has it otherwise."""
    new = f"new ones of {clash.thing.name} were put up {told(clash.allowed)}"
    other = f"; {told(clash.other.years)} by {clash.other.citation}" if clash.other else ""
    return f"{clash.signal} was put up in {clash.installed}, and {new}{other}"


def _compared(dating: Dating) -> str:
    """Say how the plan's own year stands to the years found."""
    own = dating.layout.years
    if own is None:
        return ""
    if any(span.covers(own) for span in dating.years):
        return f"The plan is set in {own}, which fits."
    if any(span.meets(own) for span in dating.years):
        return f"The plan is set in {own}, of which only a part fits."
    return f"The plan is set in {own}, which does not fit."


def _otherwise(other: Otherwise) -> str:
    """Say what a source that disagrees makes of the years."""
    years = listed(map(told, other.years)) if other.years else "never"
    return f"{other.use.thing.name} {told(other.time.years)} by {other.time.citation}: then {years}"


def _rows(uses: Iterable[Use]) -> Iterator[list[str]]:
    """Yield what is dated, what came last first."""
    for use in sorted(uses, key=lambda use: (-use.thing.time.years.first, use.thing.time.years.last)):
        used = use.thing
        fitted = told(used.fitted) if used.fitted != ALWAYS else ""
        yield [used.name, told(used.time.years), fitted, _users(use.signals), str(used.time.citation)]


def _users(names: Iterable[str]) -> str:
    """Return the names of signals; the rest is counted."""
    known = list(names)
    if len(known) <= USERS + 1:
        return listed(known)
    return f"{', '.join(known[:USERS])} and {counted(len(known) - USERS, 'other')}"


def _as_json(dating: Dating) -> dict[str, Any]:
    """Return what there is to tell of one plan."""
    layout = dating.layout
    return {
        "file": layout.plan.file,
        "name": layout.plan.name,
        "rulebook": layout.rulebook_name,
        "year": layout.year_text,
        "years": [_spell(spell) for spell in dating.spells],
        "never": _why_never(dating),
        "apart": [signal.name for signal in dating.apart],
        "doubts": [_clash(clash) for clash in dating.doubts],
        "disputed": [
            {
                "thing": other.use.thing.name,
                "in_use": _span(other.time.years),
                "source": other.time.citation.text,
                "basis": str(other.time.citation.basis),
                "years": [_span(span) for span in other.years],
            }
            for other in dating.otherwise
        ],
        "uses": [{**_thing(use.thing), "used_by": list(use.signals)} for use in dating.used],
    }


def _spell(spell: Spell) -> dict[str, Any]:
    """Return a span of good years with its bounds."""
    return {
        **_span(spell.years),
        "lower": [_as_bound(bound) for bound in spell.lower],
        "upper": [_as_bound(bound) for bound in spell.upper],
    }


def _why_never(dating: Dating) -> dict[str, Any] | None:
    """Return why there are no good years."""
    if dating.clashes:
        return {"met": [], "against": [], "because": [_clash(clash) for clash in dating.clashes]}
    if dating.never is None:
        return None
    pieces = [
        {**_span(years), "against": [_as_bound(bound) for bound in bounds]} for years, bounds in dating.never.pieces
    ]
    because = [line.strip() for line in _never(dating.never)]
    return {"met": [_as_bound(bound) for bound in dating.never.met or ()], "against": pieces, "because": because}


def _as_bound(bound: Bound) -> dict[str, Any]:
    """Return what keeps a plan out of some years."""
    return {**_thing(bound.use.thing), "used_by": list(bound.use.signals), "missing": bound.missing}


def _thing(used: Dated) -> dict[str, Any]:
    """Return a dated thing."""
    fitted = None if used.fitted == ALWAYS else _span(used.fitted)
    source, basis = used.time.citation.text, str(used.time.citation.basis)
    return {"thing": used.name, "in_use": _span(used.time.years), "fitted": fitted, "source": source, "basis": basis}


def _span(years: Years) -> dict[str, int | None]:
    """Return a span; an open end is null."""
    return {
        "first": None if years.first == BEGINNING else years.first,
        "last": None if years.last == END else years.last,
    }
