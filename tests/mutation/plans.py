"""Plans that slips are made in, and how a slip is made: in the values, which are then written out line by line."""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lampwright.documents import read

ROOT = Path(__file__).parents[2]
EXAMPLES = tuple(sorted((ROOT / "rulesets/gb-colour-light/examples").glob("*.yaml")))
Values = dict[str, Any]
Way = tuple[str | int, ...]
"""Where a value stands in a plan, as findings have it."""


@dataclass(frozen=True, eq=False)
class Mutant:
    """A plan with one slip in it. ``target`` is where it was made; a thing taken out was somewhere in it."""

    name: str
    values: Values
    target: Way

    @property
    def text(self) -> str:
        """The plan as a file, each value on a line of its own."""
        return written(self.values)


def plan(path: Path) -> Values:
    """Return the values of an example."""
    values: Values = read(path, path.name).values
    return values


def written(values: Values) -> str:
    """Return values as a file: JSON is YAML."""
    return json.dumps(values, indent=1, default=str)


def at(values: Values, way: Way) -> Any:
    """Return what stands in a place."""
    found: Any = values
    for step in way:
        found = found[step]
    return found


def put(values: Values, way: Way, new: Any) -> Values:
    """Return the values with something else in one place."""
    made = deepcopy(values)
    at(made, way[:-1])[way[-1]] = new
    return made


def without(values: Values, way: Way) -> Values:
    """Return the values without what stands in one place."""
    made = deepcopy(values)
    del at(made, way[:-1])[way[-1]]
    return made


def routes(values: Values) -> list[Way]:
    """Return the places of all routes."""
    return [
        ("signals", name, "routes", number)
        for name, signal in values["signals"].items()
        for number in range(len((signal or {}).get("routes", ())))
    ]


def words(value: Any) -> list[str]:
    """Return a word or a list of words as a list."""
    return [str(item) for item in value] if isinstance(value, list) else [str(value)]


def called(values: Values, way: Way) -> str:
    """Return what the plan calls a route."""
    return f"{way[1]} to {at(values, way)['to']}"


def inserted(values: Values, way: Way, key: str, new: Any) -> Values:
    """Return the values with one key more in a map."""
    made = deepcopy(values)
    at(made, way)[key] = new
    return made


def is_main(values: Values, way: Way) -> bool:
    """Tell whether a route is a main one."""
    return "class" not in at(values, way)
