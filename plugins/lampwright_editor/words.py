"""What could stand at a place of a plan, and what stands there: words with their meaning."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

from lampwright.mentions import GOAL, SIGNAL, known, mentioned
from lampwright.schema.files import Schema, load
from lampwright.schema.vocabulary import aspects, elements, forms, indicators

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Path
    from lampwright.layout import Layout
    from lampwright.rulebooks import Rulebook


class Word(NamedTuple):
    """A word with a title and what it means, in plain sentences; either may be empty."""

    word: str
    title: str = ""
    text: str = ""


SHOWS: Final = ("signals", "*", "shows")
LISTS: Final = {"gives": aspects, "blanked": elements, "carries": indicators, "indicator": indicators}
"""Keys of a signal or route whose value, items or keys are words of the rulebook."""


def words_at(layout: Layout, values: Any, path: Path, *, on_key: bool) -> list[Word]:
    """Return the words that can stand at a path of a plan; what the plan names is looked up in ``layout``.

    ``values`` are those of the plan as it is being written, with something at that path.
    """
    mention = next((one for one in mentioned(values) if one.path == path and one.on_key is on_key), None)
    if mention is not None:
        return _names(layout, mention.kind, path)
    return list(_of_rulebook(layout, path, on_key=on_key)) or list(of_schema("plan", path, on_key=on_key))


def meaning(layout: Layout, values: Any, path: Path, *, on_key: bool) -> Word | None:
    """Return what stands at a path, with its meaning."""
    word = word_at(values, path, on_key=on_key)
    found = (one for one in words_at(layout, values, path, on_key=on_key) if one.word == word)
    return next(found, None) or next(
        (one for one in of_schema("plan", path, on_key=True) if one.word == path[-1]), None
    )


def word_at(values: Any, path: Path, *, on_key: bool) -> str:
    """Return the word at a path."""
    value = values
    for step in path:
        value = value[step]
    return str(path[-1]) if on_key else str(value)


def _names(layout: Layout, kind: str, path: Path) -> list[Word]:
    """Return the names of a kind that the plan, or another for signals, has."""
    own = path[1] if path[:1] == ("signals",) and len(path) > 1 else None
    found = [_told(layout, name) for name in known(layout)[kind] or () if name != own]
    if kind in {SIGNAL, GOAL}:
        found += [Word(f"{file}/{name}") for file, other in layout.others.items() for name in other.signals]
    return found


def _told(layout: Layout, name: str) -> Word:
    """Return a name with what is said of it."""
    signal = layout.signals.get(name)
    if signal is None:
        return Word(name)
    routes = ", ".join(route.to for route in signal.entry.routes)
    text = f"Leads to {routes}." if routes else ""
    return Word(name, signal.form_name or "signal without a form", text)


def _of_rulebook(layout: Layout, path: Path, *, on_key: bool) -> Iterator[Word]:
    """Yield the words of the rulebook that can stand at a path."""
    if path[-1] == "rulebook" and not on_key:
        yield from map(Word, layout.library.ids)
        return
    signal = layout.signals.get(str(path[1])) if path[:1] == ("signals",) and len(path) > 1 else None
    book = signal.rulebook if signal is not None else layout.rulebook
    if book is not None:
        yield from (Word(*one) for one in _of_book(book, path, on_key=on_key))


def _of_book(book: Rulebook, path: Path, *, on_key: bool) -> Iterable[tuple[str, str, str]]:
    """Return the words of one rulebook that can stand at a path."""
    names = [step for step in path if isinstance(step, str)]
    if path[0] == "ends" and "assume" in names[2:] and not on_key:
        return aspects(book)
    if path[0] != "signals" or len(names) < len(SHOWS):
        return ()
    key = names[2]
    if key == "form" and not on_key:
        return forms(book)
    if key == "shows":
        return aspects(book) if on_key and len(path) == len(SHOWS) + 1 else elements(book)
    key = names[-2] if on_key and len(names) > len(SHOWS) else names[-1]
    return LISTS[key](book) if key in LISTS else ()


def of_schema(kind: str, path: Path, *, on_key: bool) -> Iterator[Word]:
    """Yield the keys or words that the format of a kind of file has at a path."""
    nodes = [*_resolved(Schema(load(kind), load(kind)))]
    for step in path[:-1] if on_key else path:
        nodes = [one for node in nodes for below in _below(node, step) for one in _resolved(below)]
    seen: set[str] = set()
    for node in nodes:
        said = node.node.get("properties", {}) if on_key else dict.fromkeys(map(str, node.node.get("enum", ())))
        for word, inner in said.items():
            if word not in seen:
                seen.add(word)
                yield Word(word, "", (inner or {}).get("description", ""))


def _resolved(schema: Schema) -> Iterator[Schema]:
    """Yield a node, what it refers to and its branches."""
    yield schema
    if "$ref" in schema.node:
        yield from _resolved(schema.target())
    for branch in ("then", "else"):
        if branch in schema.node:
            yield from _resolved(schema.inner(schema.node[branch]))


def _below(schema: Schema, step: str | int) -> Iterator[Schema]:
    """Yield the node of an entry or item."""
    if isinstance(step, str):
        found = schema.entry(step)
        if found is not None:
            yield found
    elif "items" in schema.node:
        yield schema.inner(schema.node["items"])
