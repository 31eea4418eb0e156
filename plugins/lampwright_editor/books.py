"""Words in the file of a rulebook: what they mean, and where it says what they name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.findings import Spot
from lampwright.schema.vocabulary import aspects, forms, indicators
from lampwright_editor.words import Word, of_schema, word_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.rulebooks import Rulebook

SECTIONS: Final = ("aspects", "forms", "indicators", "plates", "sources", "speeds", "states", "eras")
"""Where names of a rulebook have their home; of a name that several have, the first counts."""
SOURCES: Final = frozenset({"source", "source-of", "disputed"})
"""Keys below which the first word of a text is the name of a source."""


def meaning(book: Rulebook, values: Any, path: Path, *, on_key: bool) -> Word | None:
    """Return what stands at a path of a rulebook, with its meaning."""
    home = next(_homes(values, path, on_key=on_key), None)
    if home is not None and home[0] == "sources":
        source = book.sources.get(str(home[1]))
        return Word(str(home[1]), source.title, f"{source.publisher} ({source.basis})".strip()) if source else None
    tell = {"aspects": aspects, "forms": forms, "indicators": indicators}.get(str(home[0])) if home else None
    if home is not None and tell is not None and len(home) == len(("aspects", "clear")):
        return next((Word(*one) for one in tell(book) if one[0] == home[1]), None)
    return next((one for one in of_schema("rulebook", path, on_key=True) if one.word == path[-1]), None)


def target(file: str, values: Any, path: Path, *, on_key: bool) -> Spot | None:
    """Return where a rulebook says what is named at a path of it."""
    home = next(_homes(values, path, on_key=on_key), None)
    return Spot(file, home, on_key=True) if home is not None else None


def _homes(values: Any, path: Path, *, on_key: bool) -> Iterator[Path]:
    """Yield where a word at a path may have its home: for a lamp its own form, else a section of the rulebook."""
    word = word_at(values, path, on_key=on_key)
    if SOURCES.intersection(map(str, path[:-1] if on_key else path)):
        yield from (("sources", name) for name in word.split()[:1] if name in (values.get("sources") or {}))
        return
    if path[0] == "forms" and len(path) > 2 and path[2] in ("shows", "faults", "coupling"):  # noqa: PLR2004  (below a form)
        lamps = (values["forms"].get(path[1]) or {}).get("lamps") or {}
        yield from (("forms", path[1], "lamps", name) for name in (word,) if name in lamps)
    yield from ((section, word) for section in SECTIONS if word in (values.get(section) or {}))
