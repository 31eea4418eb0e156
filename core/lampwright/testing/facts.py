"""Cases of what stands in a rulebook by itself: what an aspect means, what a form of signal and an indicator are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks.codec import as_text, as_words
from lampwright.rulebooks.failing import LOST, STEADY, STUCK
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import fits
from lampwright.testing.seen import drawn, everything, rows
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Fault
    from lampwright.rulebooks.order import Order
    from lampwright.testing.cases import Case
    from lampwright.years import Years

BESIDE = {"source", "note"}
"""Keys that ask nothing."""
THINGS = ("aspect", "form", "indicator")
"""Keys that name what is asked about."""
HOW = (LOST, STUCK, STEADY)
"""What a fault can be, by the field of it that names the lamp."""
ORDERED: dict[str, Callable[[Order, str, str], bool]] = {
    "freer-than": lambda order, aspect, other: order.less_restrictive(aspect, other) is Verdict.YES,
    "stricter-than": lambda order, aspect, other: order.less_restrictive(other, aspect) is Verdict.YES,
    "incomparable": lambda order, aspect, other: order.less_restrictive(aspect, other) is Verdict.INCOMPARABLE,
}
SHORT: dict[str, str] = {
    "freer-than": "freer than",
    "stricter-than": "stricter than",
    "incomparable": "incomparable with",
}


def title(said: Mapping[str, Any]) -> str:
    """Return what a case is called: the thing, and what is asked of it."""
    thing = next(key for key in THINGS if key in said)
    return f"{said[thing]}: {', '.join(key for key in said if key != thing and key not in BESIDE)}"


def means(case: Case) -> None:
    """Compare what an aspect says, how strict it is, and its years."""
    book, name = case.bench.book(), case.said["aspect"]
    case.known(name, book.aspects, "aspect", ("aspect",))
    _says(case, book.aspects[name].says)
    for key, holds in ORDERED.items():
        for other in as_words(case.said[key]) if key in case.said else ():
            case.known(other, book.aspects, "aspect", (key,))
            if not holds(book.order, name, other):
                raise case.complaint(f"by the order {name} is not {SHORT[key]} {other}", key)
    _years(case, book.aspects[name].years)


def is_built(case: Case) -> None:
    """Compare what a form is with what the case says of it."""
    form = case.form()
    found = {
        "role": form.form.roles,
        "gives": form.gives,
        "in-doubt": (form.form.in_doubt,),
        "rest": _told(form.form.rest),
    }
    _same(case, found)
    _has(case, "optional", form.form.optional)
    _has(case, "carries", (*form.form.indicators, *form.form.plates))
    _lie(case, form)
    _answers(case, form.form.faults)
    _years(case, form.form.years)


def stands_beside(case: Case) -> None:
    """Compare what an indicator shows, and beside which aspects it may be lit, with what the case says of it."""
    book, name = case.bench.book(), case.said["indicator"]
    case.known(name, book.indicators, "indicator", ("indicator",))
    box = book.indicators[name]
    found = {
        "kind": box.kind,
        "colour": box.colour,
        "times": box.times,
        "figures": box.figures,
        "characters": box.characters,
        "proved": box.proved,
    }
    _same(case, {key: _told(value) for key, value in found.items()})
    for position, side in case.said.get("positions", {}).items():
        case.known(position, box.positions, "position", ("positions", position))
        if box.positions[position] != side:
            raise case.complaint(f"{position} stands for {box.positions[position]}", "positions", position)
    for key, wanted in (("stands-with", True), ("never-with", False)):
        for aspect in as_words(case.said[key]) if key in case.said else ():
            case.known(aspect, book.aspects, "aspect", (key,))
            if (not box.stands_with or fits(book, {"here": box.stands_with}, {"here": aspect})) is not wanted:
                raise case.complaint(f"it may {'not ' if wanted else ''}be lit with {aspect}", key)
    _years(case, box.years)


def quoted(found: Iterable[str]) -> str:
    """Return rows of lights as they would be written."""
    return f"[{', '.join(f'“{row}”' for row in found)}]" if found else "where it is not said"


def _says(case: Case, says: Mapping[str, Any]) -> None:
    """Compare what an aspect says, key by key."""
    for key, wanted in case.said.get("says", {}).items():
        found = _told(says.get(key))
        if found != _told(wanted):
            told = listed(found, "or") if key in says else "nothing"
            raise case.complaint(f"{case.said['aspect']} says {told} of {key}", "says", key)


def _same(case: Case, found: Mapping[str, tuple[str, ...]]) -> None:
    """Compare words, in any order, with those of the case."""
    for key, there in found.items():
        if key in case.said and set(_told(case.said[key])) != set(there):
            raise case.complaint(f"{key} is {listed(there) or 'nothing'}", key)


def _has(case: Case, key: str, there: Iterable[str]) -> None:
    """Find what the case names among what there is."""
    found = sorted(there)
    for name in as_words(case.said[key]) if key in case.said else ():
        if name not in found:
            raise case.complaint(f"{key} has no {name}, but {listed(found) or 'nothing'}", key)


def _lie(case: Case, form: FormReader) -> None:
    """Compare where all lamps sit."""
    if "rows" in case.said and (found := rows(everything(form))) != drawn(case.said["rows"]):
        raise case.complaint(f"the lamps lie {quoted(found)}", "rows")


def _answers(case: Case, there: Iterable[Fault]) -> None:
    """Find, for each fault that the case names, what answers it."""
    for number, said in enumerate(case.said.get("faults", ())):
        asked = (*(said.get(how, "") for how in HOW), said.get("then", ""), said.get("accepted", False))
        within = set(as_words(said["in"])) if "in" in said else set()
        for fault in there:
            answer = (*(getattr(fault, how) for how in HOW), fault.then, bool(fault.accepted))
            if answer == asked and within <= set(fault.within or within):
                break
        else:
            raise case.complaint("no fault of this form is answered so", "faults", number)


def _years(case: Case, years: Years) -> None:
    """Compare years of use."""
    if case.span("years") not in (None, years):
        raise case.complaint(f"the years are {years}", "years")


def _told(value: Any) -> tuple[str, ...]:
    """Return a value as words, so that what is written alike is alike; of a map each with its key."""
    if isinstance(value, dict):
        return tuple(f"{key}: {as_text(one)}" for key, one in value.items())
    return as_words(value)
