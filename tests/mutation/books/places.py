"""Where things stand in the values of a rulebook."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from mutation.plans import RULESETS, Operator, at, slip

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from mutation.plans import Mutant, Values, Way

BOOKS = tuple(sorted(RULESETS.glob("*/rulebook.yaml")))
BOOK_SLIPS: list[Operator] = []
"""All kinds of slips in rulebooks, in the order of the table."""


def book_slip(
    group: str, *, blind: str = ""
) -> Callable[[Callable[[Values], Iterator[Mutant]]], Callable[[Values], Iterator[Mutant]]]:
    """Enter what makes slips in rulebooks; see ``slip``."""
    return slip(group, blind=blind, among=BOOK_SLIPS)


def things(values: Values, kind: str) -> Iterator[tuple[str, Any]]:
    """Yield aspects, forms, indicators or plates with what is said of each."""
    yield from ((name, said) for name, said in values.get(kind, {}).items() if isinstance(said, dict))


def displays(values: Values) -> Iterator[Way]:
    """Yield the places of maps from aspects to what they show: of every form, and of all forms together."""
    yield from (("forms", name, "shows") for name, form in things(values, "forms") if "shows" in form)


def rows(values: Values) -> Iterator[Way]:
    """Yield the place of every display: of an aspect on a form, or for all forms, and of those also read."""
    for place in displays(values):
        yield from ((*place, aspect) for aspect in at(values, place))
    yield from (("aspects", name, "shows") for name, aspect in things(values, "aspects") if "shows" in aspect)
    for name, form in things(values, "forms"):
        yield from (("forms", name, "also-read", number, "shows") for number, _ in enumerate(form.get("also-read", ())))


def patterns(values: Values) -> Iterator[Way]:
    """Yield the places of lists of patterns."""
    for name, aspect in things(values, "aspects"):
        said = aspect.get("patterns", [])
        place: Way = ("aspects", name, "patterns")
        yield from ((*place, mount) for mount in said) if isinstance(said, dict) else [place] if said else []


def lamps(values: Values) -> Iterator[Way]:
    """Yield the places of all lamps."""
    for name, form in things(values, "forms"):
        yield from (("forms", name, "lamps", lamp) for lamp in form.get("lamps", {}))


def roles(values: Values) -> Iterator[Way]:
    """Yield the places of lists of rules."""
    said = values.get("sequence", {})
    yield from [("sequence",)] if isinstance(said, list) else [("sequence", role) for role in said]


def rules(values: Values) -> Iterator[Way]:
    """Yield the places of all rules of the sequence."""
    for role in roles(values):
        yield from ((*role, number) for number in range(len(at(values, role))))


def conditions(values: Values) -> Iterator[Way]:
    """Yield the places of conditions: of rules, of indicators that are needed or stand with something, of couplings."""
    yield from ((*rule, "when") for rule in rules(values) if "when" in at(values, rule))
    for name, box in things(values, "indicators"):
        yield from (
            ("indicators", name, key) for key in ("needed", "stands-with") if isinstance(box.get(key), dict | list)
        )
    for name, form in things(values, "forms"):
        yield from (("forms", name, "coupling", number, "when") for number, _ in enumerate(form.get("coupling", ())))


def leaves(value: Any, way: Way = ()) -> Iterator[tuple[Way, Any]]:
    """Yield every single value with its place."""
    if isinstance(value, dict | list):
        for key, said in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(said, (*way, key))
    else:
        yield way, value


def told(way: Way) -> str:
    """Return a place as text."""
    return ".".join(map(str, way))


def order_of(values: Values) -> list[list[str]]:
    """Return the chains of the order of restriction."""
    said = values.get("order", [])
    return said if said and isinstance(said[0], list) else [said]


def stricter(values: Values) -> dict[str, str]:
    """Return for each aspect the next stricter one, as far as a chain has one."""
    found: dict[str, str] = {}
    for chain in order_of(values):
        for one, other in pairwise(chain):
            found.setdefault(other, one)
    return found


def freer(values: Values) -> dict[str, str]:
    """Return for each aspect the next freer one, as far as a chain has one."""
    found: dict[str, str] = {}
    for chain in order_of(values):
        for one, other in pairwise(chain):
            found.setdefault(one, other)
    return found
