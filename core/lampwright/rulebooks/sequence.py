"""Which aspect may stand at a signal, given its route and what the next signal shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.quantities import Quantity, quantity
from lampwright.rulebooks.format import ANY_ROLE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Rule, Rulebook
    from lampwright.years import Years

BUFFERS = "buffers"
END = "end"
LINE = "line"
LINE_BOUNDS = frozenset({"below", "at-most"})
"""Bounds that any figure keeps where the limit is line speed."""
AT_STOP = frozenset({"stop", "stop-then-sight", "sight-without-stop"})
"""Authorities that the heading ``stop`` of a table stands for."""
Situation = "Mapping[str, Any]"
"""The facts a rule may ask: ``next`` and ``second`` (aspects, or ``buffers``, or ``end`` for track that ends without
any), ``here``, ``route`` and ``next-route`` (facts by name), ``approached``, ``distance``, ``mode``, ``regime``. A fact
not given is not known. ``foreign`` has what aspects say that are another rulebook's, by the names given here."""
ENDS = frozenset({BUFFERS, END})
"""What stands at the end of a line: a signal at stop, unless a rule names it."""


class Step(Struct, frozen=True):
    """What the sequence asks of a signal: the rule that fits, and of its aspects those the form can give.

    ``must`` is the first of them, ``may`` the others allowed; ``must`` is empty if the form can give none, or no
    rule fits (then ``path`` is empty too).
    """

    must: str
    may: tuple[str, ...]
    wanted: tuple[str, ...]
    path: Path


def step(
    rulebook: Rulebook, role: str, gives: Iterable[str], situation: Mapping[str, Any], years: Years | None
) -> Step:
    """Find the first rule that fits the situation, whether or not the form can obey it."""
    able = set(gives)
    for path, rule in rules(rulebook, role):
        if years is not None and not rule.years.covers(years):
            continue
        asked = wanted(rulebook, rule, situation)
        if asked:
            first = next((aspect for aspect in asked if aspect in able), "")
            also = tuple(aspect for aspect in rule.may if aspect in able and aspect != first)
            return Step(first, also, asked, path)
    return Step("", (), (), ())


def rules(rulebook: Rulebook, role: str) -> list[tuple[Path, Rule]]:
    """Return the rules that hold for a role, each with its path."""
    for key in (role, ANY_ROLE):
        if key in rulebook.sequence:
            base: Path = ("sequence", key) if key else ("sequence",)
            return [((*base, index), rule) for index, rule in enumerate(rulebook.sequence[key])]
    return []


def wanted(rulebook: Rulebook, rule: Rule, situation: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the aspects a rule asks for in a situation; none if it does not fit."""
    if rule.table:
        return _cell(rulebook, rule.table, situation)
    return rule.show if fits(rulebook, rule.when, situation) else ()


def fits(rulebook: Rulebook, when: Mapping[str, Any], situation: Mapping[str, Any]) -> bool:
    """Tell whether every condition holds; one whose fact is not known does not."""
    return all(_holds(rulebook, key, wanted, situation) for key, wanted in when.items())


def _holds(rulebook: Rulebook, key: str, wanted: Any, situation: Mapping[str, Any]) -> bool:
    """Tell whether one condition holds."""
    if key not in situation:
        return False
    fact = situation[key]
    if key in ("next", "second", "here"):
        return _aspect_fits(rulebook, wanted, fact, situation)
    if isinstance(wanted, dict) and isinstance(fact, dict):
        return all(_value_fits(rulebook, value, fact.get(name), situation) for name, value in wanted.items())
    return _value_fits(rulebook, wanted, fact, situation)


def _aspect_fits(rulebook: Rulebook, wanted: Any, aspect: str, situation: Mapping[str, Any]) -> bool:
    """Tell whether an aspect is one that a condition names or describes; buffers are a signal at stop."""
    if not isinstance(wanted, dict):
        return aspect in (wanted if isinstance(wanted, list) else [wanted])
    says = _says(rulebook, aspect, situation)
    for name, value in wanted.items():
        if name == "at-least":
            holds = rulebook.order.at_least(aspect, value)
        elif name == "at-most":
            holds = rulebook.order.at_least(value, aspect)
        else:
            holds = _value_fits(rulebook, value, says.get(name), situation)
        if not holds:
            return False
    return True


def _says(rulebook: Rulebook, aspect: str, situation: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what an aspect tells; an end of line tells to stop."""
    if aspect in ENDS:
        return {"authority": "stop"}
    if aspect in rulebook.aspects:
        return rulebook.aspects[aspect].says
    says: Mapping[str, Any] = situation.get("foreign", {}).get(aspect, {})
    return says


def _value_fits(rulebook: Rulebook, wanted: Any, fact: Any, situation: Mapping[str, Any]) -> bool:
    """Tell whether a fact is the value, one of the values, or within the bounds; of several facts one is enough."""
    if isinstance(wanted, dict):
        return all(_bounded(rulebook, bound, limit, fact, situation) for bound, limit in wanted.items())
    if isinstance(fact, list):
        return any(_value_fits(rulebook, wanted, one, situation) for one in fact)
    if isinstance(wanted, list):
        return fact in wanted
    return bool(fact == wanted)


def _bounded(rulebook: Rulebook, bound: str, limit: Any, fact: Any, situation: Mapping[str, Any]) -> bool:
    """Compare a speed or length with a bound; line speed is above every figure."""
    here, there = measured(rulebook, fact, situation), measured(rulebook, limit, situation)
    if limit == LINE:
        return fact == LINE and bound in ("at-least", "at-most") if here is None else bound in LINE_BOUNDS
    if here is None or there is None:
        return fact == LINE and there is not None and bound not in LINE_BOUNDS
    if bound == "below":
        return here.amount < there.amount
    if bound == "at-most":
        return here.amount <= there.amount
    return here.amount > there.amount if bound == "above" else here.amount >= there.amount


def measured(rulebook: Rulebook, value: Any, situation: Mapping[str, Any]) -> Quantity | None:
    """Return a speed or length as a quantity; None for line speed or what is not known.

    Words are those of the rulebook's ``speeds``; ``route.speed`` is the fact of that name.
    """
    if isinstance(value, list):
        return next((found for item in value if (found := measured(rulebook, item, situation)) is not None), None)
    word = str(value)
    first, _, name = word.partition(".")
    if name and isinstance(situation.get(first), dict):
        return measured(rulebook, situation[first].get(name), situation)
    if word in rulebook.speeds:
        speed = rulebook.speeds[word]
        return measured(rulebook, speed.get("value") if isinstance(speed, dict) else speed, situation)
    try:
        return quantity(word)
    except ValueError:
        return None


def _cell(rulebook: Rulebook, table: Mapping[str, Any], situation: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the cell of a table: a row and a column, each the fastest word not above the fact."""
    row = _heading(rulebook, table["down"], table["cells"], situation)
    cells = table["cells"].get(row, {})
    aspects = cells.get(_heading(rulebook, table["across"], cells, situation), ())
    return tuple(aspects) if isinstance(aspects, list) else (aspects,) if aspects else ()


def _heading(rulebook: Rulebook, asked: str, words: Iterable[str], situation: Mapping[str, Any]) -> str:
    """Return the heading of a table that a fact like ``next.speed-now`` falls under."""
    first, _, name = asked.partition(".")
    fact = situation.get(first)
    says = _says(rulebook, fact, situation) if isinstance(fact, str) else fact
    if first in ("next", "second") and isinstance(says, dict) and says.get("authority") in AT_STOP:
        return "stop"
    value = says.get(name) if isinstance(says, dict) else None
    speed = measured(rulebook, value, situation)
    known = {word: measured(rulebook, word, situation) for word in words}
    if speed is None:
        return next((word for word in known if rulebook.speeds.get(word) == LINE or word == value), "")
    under = [word for word, figure in known.items() if figure is not None and figure.amount <= speed.amount]
    return max(under, key=lambda word: known[word].amount, default="")  # type: ignore[union-attr]  # filtered above
