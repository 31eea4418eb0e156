"""How much of a rulebook rests on which source."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, Final

from lampwright.findings import Basis
from lampwright.rulebooks.sources import named

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Rulebook

UNNAMED: Final = "memory"
"""What a datum without a source rests on."""
NO_DATA: Final = frozenset(
    {"rulebook", "id", "title", "name", "note", "sources", "source", "source-of", "disputed", "like"}
)
"""Keys whose values say nothing of the prototype, or say who does."""
NAMED: Final = frozenset({"lamps", "heads", "parts", "shows", "positions"})
"""Below these, and at the head of a section, keys are names that the rulebook gives."""


def data(rulebook: Rulebook) -> list[Path]:
    """Return the path of every datum: a word, a number, or a list of them."""
    return list(_data(rulebook.values, ()))


def resting(rulebook: Rulebook) -> Counter[str]:
    """Count the data that rest on each source; a datum with several sources counts for each."""
    found: Counter[str] = Counter()
    for path in data(rulebook):
        found.update({name.partition(" ")[0] for name in named(rulebook, path)} or {UNNAMED})
    return found


def remembered(rulebook: Rulebook) -> list[Path]:
    """Return the paths of the data that rest on memory alone."""
    return [path for path in data(rulebook) if rulebook.why(*path).basis is Basis.MEMORY]


def _data(values: Any, path: Path) -> Iterator[Path]:
    """Yield the paths of data in a map."""
    names = len(path) == 1 or (len(path) > 1 and path[-1] in NAMED)
    for key, value in values.items():
        if key in NO_DATA and not names:
            continue
        if isinstance(value, dict):
            yield from _data(value, (*path, key))
        elif isinstance(value, list) and any(isinstance(item, dict) for item in value):
            for position, item in enumerate(value):
                yield from _data(item if isinstance(item, dict) else {}, (*path, key, position))
        else:
            yield (*path, key)
