"""Values that slips are made in, how a slip is made, and how the values are then written out, line by line."""

from __future__ import annotations

import json
import re
from copy import deepcopy
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lampwright.documents import read

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

ROOT = Path(__file__).parents[2]
RULESETS = ROOT / "rulesets"
EXAMPLES = tuple(sorted(RULESETS.glob("*/examples/*.yaml")))
WIRED = Path(__file__).with_name("wired.yaml")
"""A plan with what no example says of its wiring: currents, levels, a fuse, an LED of two leads."""
PLANS = (*EXAMPLES, WIRED)
Values = dict[str, Any]
Way = tuple[str | int, ...]
"""Where a value stands in a file, as findings have it."""


@dataclass(frozen=True, eq=False)
class Mutant:
    """A file with one slip in it. ``target`` is where it was made; a thing taken out was somewhere in it.

    ``held`` tells that the file holds what the slip contradicts, so that it must be found.
    """

    name: str
    values: Values
    target: Way
    held: bool = True

    @property
    def text(self) -> str:
        """The file, each value on a line of its own."""
        return written(self.values)


@dataclass(frozen=True)
class Operator:
    """A kind of slip: what makes every one of it, and why some of it cannot be found, if some cannot."""

    group: str
    make: Callable[[Values], Iterator[Mutant]]
    blind: str = ""

    @property
    def name(self) -> str:
        """What the slip is called."""
        return self.make.__name__.replace("_", " ")


SLIPS: list[Operator] = []
"""All kinds of slips in plans, in the order of the table."""


def slip(
    group: str, *, blind: str = "", among: list[Operator] = SLIPS
) -> Callable[[Callable[[Values], Iterator[Mutant]]], Callable[[Values], Iterator[Mutant]]]:
    """Enter what makes slips as an operator of a group; ``blind`` says why those that are not held may survive."""

    def entered(make: Callable[[Values], Iterator[Mutant]]) -> Callable[[Values], Iterator[Mutant]]:
        among.append(Operator(group, make, blind))
        return make

    return entered


def plan(path: Path) -> Values:
    """Return the values of a file."""
    values: Values = read(path, path.name).values
    return values


def written(values: Values) -> str:
    """Return values as a file: JSON is YAML, and decimals keep their digits."""
    text = json.dumps(
        values, indent=1, default=lambda value: f"<{value}>" if isinstance(value, Decimal) else str(value)
    )
    return re.sub(r'"<(-?[0-9.]+)>"', r"\1", text)


def at(values: Values, way: Way) -> Any:
    """Return what stands in a place."""
    found: Any = values
    for step in way:
        found = found[step]
    return found


def put(values: Values, way: Way, new: Any) -> Values:
    """Return the values with something else, or more, in one place."""
    made = deepcopy(values)
    at(made, way[:-1])[way[-1]] = new
    return made


def without(values: Values, way: Way) -> Values:
    """Return the values without what stands in one place."""
    made = deepcopy(values)
    del at(made, way[:-1])[way[-1]]
    return made


def renamed(values: Values, way: Way, new: str) -> Values:
    """Return the values with another key in one place; the order stays."""
    made = deepcopy(values)
    mine = at(made, way[:-1])
    kept = [(new if key == way[-1] else key, value) for key, value in mine.items()]
    mine.clear()
    mine.update(kept)
    return made


def words(value: Any) -> list[str]:
    """Return a word or a list of words as a list."""
    return [str(item) for item in value] if isinstance(value, list) else [str(value)]


def near(name: str, known: Collection[str]) -> str:
    """Return a near miss of a name, which is no name there is: a letter twice, or one that slipped in."""
    misses = (f"{name[:-1]}{name[-1]}{name[-1]}", *(f"{name}{letter}" for letter in "zqxj"))
    return next(miss for miss in misses if miss not in known)


def spread(found: list[Any], most: int) -> list[Any]:
    """Return at most so many, from all over."""
    step = max(1, -(-len(found) // most))
    return found[::step]
