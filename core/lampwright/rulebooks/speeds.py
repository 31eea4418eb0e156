"""From a display to the speeds it tells: what a box shows, what a plate carries, what an aspect says by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.quantities import Quantity, plain_number, quantity
from lampwright.rulebooks.boxes import NOT_THERE
from lampwright.rulebooks.contents import figures
from lampwright.rulebooks.sequence import LINE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Indicator, Plate, Rulebook

UNKNOWN: Final = "unknown"
PREVIOUS: Final = "previous"
WORDS: Final = frozenset({LINE, UNKNOWN, PREVIOUS})
"""What may stand for a speed: that of the line, one that is not told, the one that the signal before announced."""
STATES: Final = frozenset({"lit", "flash", "present"})
"""States of a box or plate that do not tell what is on it."""

Speed = Quantity | str
"""A speed, or one of the words for one."""


def speed(rulebook: Rulebook, said: Any, display: Mapping[str, str], before: Speed = PREVIOUS) -> Speed | None:
    """Return the speed that ``says`` means under a display; of a list, the first that is there speaks.

    ``before`` is what the signal before announced. A box that shows something, but not said what, gives ``unknown``;
    None: nothing that is there speaks.
    """
    for item in said if isinstance(said, list) else [said]:
        found = _one(rulebook, str(item), display, before)
        if found is not None:
            return found
    return None


class Range(Struct, frozen=True):
    """Every speed that ``says`` can come to; ``open`` if what a box or plate can show is not established."""

    speeds: tuple[Speed, ...]
    open: bool = False

    def holds(self, wanted: Speed) -> bool:
        """Tell whether a speed is among them, or may be."""
        return self.open or any(same(wanted, item) for item in self.speeds)


def possible(rulebook: Rulebook, said: Any) -> Range:
    """Return every speed that ``says`` can come to; of a list, no item after one that always speaks."""
    found: list[Speed] = []
    for item in said if isinstance(said, list) else [said]:
        name = str(item)
        carrier = rulebook.indicators.get(name) or rulebook.plates.get(name)
        if carrier is None:
            fixed = _one(rulebook, name, {}, PREVIOUS)
            return Range((*found, fixed) if fixed is not None else tuple(found))
        shown = contents(rulebook, name)
        if shown is None:
            return Range(tuple(found), open=True)
        found += [value for state in shown if (value := _one(rulebook, name, {name: state}, PREVIOUS)) is not None]
        if "dark" in shown:
            return Range(tuple(found))
    return Range(tuple(found))


def contents(rulebook: Rulebook, name: str) -> tuple[str, ...] | None:
    """Return everything that a box or plate with speeds can show; None if that is not established.

    ``dark`` is among it where it stands for a speed.
    """
    indicator = rulebook.indicators.get(name)
    if indicator is not None and indicator.shows:
        return tuple(indicator.shows)
    carrier = indicator or rulebook.plates[name]
    return figures(carrier.figures) if carrier.figures else None


def same(one: Speed, other: Speed) -> bool:
    """Tell whether two speeds are equal, in whatever units they are written."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return one.amount == other.amount
    return one == other


def faster(one: Speed, other: Speed) -> bool:
    """Tell whether one speed is above another; the line's is above every figure, and one not told above none."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return one.amount > other.amount
    return one == LINE and isinstance(other, Quantity)


def _one(rulebook: Rulebook, item: str, display: Mapping[str, str], before: Speed) -> Speed | None:
    """Return the speed that one word, figure, box or plate tells; None if it is not there."""
    if item in rulebook.indicators:
        return _boxed(rulebook, rulebook.indicators[item], display.get(item, "dark"))
    if item in rulebook.plates:
        return _carried(rulebook.plates[item], display.get(item, "absent"))
    named = rulebook.speeds.get(item)
    if named is not None:
        return _one(rulebook, str(named.get("value", UNKNOWN) if isinstance(named, dict) else named), {}, before)
    return before if item == PREVIOUS else item if item in WORDS else _figure(item)


def _figure(text: str) -> Quantity | None:
    """Return a speed written with its unit, or None."""
    try:
        return quantity(text, "speed") if text else None
    except ValueError:
        return None


def _boxed(rulebook: Rulebook, box: Indicator, state: str) -> Speed | None:
    """Return the speed that a box shows in a state."""
    shown = state.removeprefix("flash ")
    if box.shows:
        said = box.shows.get("dark" if shown in NOT_THERE else shown)
        return speed(rulebook, said, {}) if said is not None else None if shown in NOT_THERE else UNKNOWN
    return _carried(box, shown)


def _carried(carrier: Indicator | Plate, state: str) -> Speed | None:
    """Return a figure times what it counts."""
    if state in NOT_THERE:
        return None
    number, unit = plain_number(state), _figure(carrier.times)
    if number is None or unit is None:
        return UNKNOWN
    amount = number * unit.amount
    return Quantity(amount, "speed", _written(number * unit.inside(unit.text.split()[-1]), unit.text.split()[-1]))


def _written(number: Any, unit: str) -> str:
    """Return a speed as it would be written."""
    return f"{int(number) if number == int(number) else float(number):g} {unit}"
