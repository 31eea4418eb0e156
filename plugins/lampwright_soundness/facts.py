"""What the rules of a sequence ask, fact by fact, and the values each fact can have: those rules name, or another."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.quantities import quantity
from lampwright.rulebooks.sequence import ENDS, LINE, measured

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from fractions import Fraction

    from lampwright.quantities import Quantity
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Rule

Fact = tuple[str, ...]
"""What is asked: ``("next",)``, ``("route", "class")``."""
Facts = dict[Fact, Any]

ANOTHER: Final = None
"""A value that no rule names; the fact is then left out of the situation."""
NEXT: Final[Fact] = ("next",)
SECOND: Final[Fact] = ("second",)
HERE: Final[Fact] = ("here",)
SIGNALS: Final = frozenset({NEXT, SECOND, HERE})
ROUTES: Final = frozenset({"route", "next-route"})
CLOSED: Final[Mapping[str, tuple[Any, ...]]] = {
    "turns": ("straight", "left", "right"),
    "pace": ("fastest", "equal", "slower", "not-said"),
    "straight": ("here", "beside", "none", "not-said"),
    "distant-applies": (True, False),
    "approached": (True, False),
}
"""Facts whose values are all known: there is another only as long as not all are named."""
USUAL: Final[Mapping[str, Any]] = {"class": "main"}
"""What holds where a plan says nothing, if no rule names it."""
SOME: Final[Mapping[str, str]] = {"speed": "40 km/h", "length": "1000 m"}
"""A figure where rules name none: some speed below that of the line, some distance."""


class Test(Struct, frozen=True):
    """One condition of a rule, or its table, with the facts that decide it."""

    facts: tuple[Fact, ...]
    when: Mapping[str, Any]


def tests(rule: Rule) -> tuple[Test, ...]:
    """Return the conditions of a rule, each by itself; a table is one."""
    if rule.table:
        return (Test(_distinct(_fact(str(rule.table[side])) for side in ("down", "across")), {}),)
    return tuple(_tests(rule.when))


def situation(facts: Facts) -> dict[str, Any]:
    """Return facts as a situation; beyond an end of line there is no route."""
    made: dict[str, Any] = {"route": {}, "next-route": {}}
    for fact, value in facts.items():
        if value is not ANOTHER:
            (made if len(fact) == 1 else made[fact[0]])[fact[-1]] = value
    if facts.get(NEXT) in ENDS:
        del made["next-route"]
    return made


def vocabulary(rulebook: Rulebook, rules: Sequence[Rule]) -> dict[Fact, tuple[Any, ...]]:
    """Return the values of every fact that rules ask, but of what signals show."""
    named: dict[Fact, list[Any]] = {}
    for test in (test for rule in rules for test in tests(rule)):
        for fact in test.facts:
            if fact not in SIGNALS:
                said = test.when.get(fact[0], ())
                named.setdefault(fact, []).extend(_scalars(said.get(fact[-1], ()) if len(fact) > 1 and said else said))
    figures = list(_figures(rulebook, rules))
    return {fact: tuple(_values(fact, said, figures)) for fact, said in named.items()}


def _tests(when: Mapping[str, Any]) -> Iterator[Test]:
    """Yield conditions that must all hold; one on the route of the next signal asks whether there is one, too."""
    for key, wanted in when.items():
        if key in ROUTES:
            beyond = (NEXT,) if key == "next-route" else ()
            for name, value in wanted.items():
                yield Test(_distinct((*beyond, (key, name), *_referred(value))), {key: {name: value}})
        else:
            yield Test(_distinct(((key,), *_referred(wanted))), {key: wanted})


def _referred(wanted: Any) -> list[Fact]:
    """Return the facts that the bounds of a condition refer to: ``{speed-now: {below: route.speed}}``."""
    dotted = (word for word in _scalars(wanted) if isinstance(word, str) and word.partition(".")[0] in ROUTES)
    return [_fact(word) for word in dotted if "." in word]


def _fact(dotted: str) -> Fact:
    """Return the fact behind ``route.speed`` or ``next.speed-now``: of a signal, all that it shows."""
    first, _, name = dotted.partition(".")
    return (first,) if (first,) in SIGNALS or not name else (first, name)


def _scalars(said: Any) -> Iterator[Any]:
    """Yield every single value of a condition."""
    if isinstance(said, dict):
        said = list(said.values())
    if isinstance(said, list | tuple):
        for item in said:
            yield from _scalars(item)
    else:
        yield said


def _values(fact: Fact, said: list[Any], figures: list[Quantity]) -> Iterable[Any]:
    """Return the values of one fact."""
    name = fact[-1]
    if name in ("speed", "distance"):
        kind, without = ("length", ANOTHER) if name == "distance" else ("speed", LINE)
        return (without, *([str(item) for item in figures if item.measures == kind] or [SOME[kind]]))
    if name in CLOSED:
        rest = (value for value in CLOSED[name] if value not in said)
        return (*dict.fromkeys(said), *[*rest][:1])
    return dict.fromkeys((USUAL.get(name, ANOTHER), *said))


def _figures(rulebook: Rulebook, rules: Sequence[Rule]) -> Iterator[Quantity]:
    """Yield every figure that rules compare with, one between each two, and one beyond either end."""
    words = [word for rule in rules for word in _scalars(rule.when)]
    below = bool(words)
    words += [word for rule in rules for row, cells in rule.table.get("cells", {}).items() for word in (row, *cells)]
    if any(_referred(rule.when) for rule in rules):
        words += [aspect.says.get(key) for aspect in rulebook.aspects.values() for key in ("speed-now", "speed-next")]
    known: dict[str, dict[Fraction, Quantity]] = {}
    for word in words:
        if (figure := measured(rulebook, word, {})) is not None:
            known.setdefault(figure.measures, {})[figure.amount] = figure
    for figures in known.values():
        yield from _between([figures[amount] for amount in sorted(figures)], below=below)


def _between(figures: list[Quantity], *, below: bool) -> Iterator[Quantity]:
    """Yield figures with others between and beyond them; below the lowest heading of a table none is asked."""
    unit = figures[0].text.split()[-1]
    if below:
        yield _scaled(figures[0].inside(unit) / 2, unit)
    for one, other in pairwise(figures):
        yield one
        yield _scaled((one.inside(unit) + other.inside(unit)) / 2, unit)
    yield figures[-1]
    yield _scaled(figures[-1].inside(unit) * 2, unit)


def _scaled(number: Fraction, unit: str) -> Quantity:
    """Return a figure in a unit, rounded to what people write."""
    return quantity(f"{round(float(number), 1):.10g} {unit}")


def _distinct(facts: Iterable[Fact]) -> tuple[Fact, ...]:
    """Return facts, each once."""
    return tuple(dict.fromkeys(facts))
