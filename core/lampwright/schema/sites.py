"""Where values are not as their schema has them.

The functions that accept lead the way: what they accept is not looked at again, so that a slip in a large file
costs little more than reading it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from lampwright.schema.accept import acceptor, admits, plain_class
from lampwright.schema.keywords import BY_CLASS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Path
    from lampwright.schema.files import Schema


class Site(NamedTuple):
    """A value (or a key: then it is itself the value) with the nodes that judge it and the keywords it breaks."""

    path: Path
    value: Any
    is_key: bool
    judging: list[Schema]
    slips: list[tuple[str, Schema]]
    like_it: int = 0
    """How many more entries of the same map or list are wrong in the same way."""

    def breaking(self, keyword: str) -> list[Schema]:
        """Return the nodes whose keyword is broken."""
        return [schema for name, schema in self.slips if name == keyword]


Entries = list[tuple[str | int, Any, list["Schema"]]]


def wrong_sites(nodes: Iterable[Schema], value: Any, path: Path = (), *, is_key: bool = False) -> Iterator[Site]:
    """Yield this value if it is wrong by itself, then every wrong value inside it, in the order of the file."""
    judging = [one for node in nodes for one in judged(node, value)]
    if broken := [(keyword, one) for one in judging for keyword in slips(one, value)]:
        yield Site(path, value, is_key, judging, broken)
    if isinstance(value, dict):
        yield from _wrong_keys(value, judging, path)
        yield from _wrong_entries(_of_map(value, judging), path)
    elif isinstance(value, list):
        yield from _wrong_entries(_of_list(value, judging), path)


def _wrong_keys(value: dict[str, Any], judging: list[Schema], path: Path) -> Iterator[Site]:
    """Yield keys that cannot be names; unknown ones are the fault of the map."""
    naming = [one.inner(one.node["propertyNames"]) for one in judging if "propertyNames" in one.node]
    for key in value:
        if not all(acceptor(node)(key) for node in naming) and not any(one.forbids(key) for one in judging):
            yield from wrong_sites(naming, key, (*path, key), is_key=True)


def _of_map(value: dict[str, Any], judging: list[Schema]) -> Entries:
    """Return the entries of a map with the nodes that judge each."""
    return [(key, item, [inner for one in judging if (inner := one.entry(key))]) for key, item in value.items()]


def _of_list(value: list[Any], judging: list[Schema]) -> Entries:
    """Return the items of a list with the nodes that judge each."""
    nodes = [one.inner(one.node["items"]) for one in judging if "items" in one.node]
    return [(position, item, nodes) for position, item in enumerate(value)]


def _wrong_entries(entries: Entries, path: Path) -> Iterator[Site]:
    """Yield what is wrong inside; where all entries are of a wrong type it is one slip, shown at the first."""
    wrong = [entry for entry in entries if not all(acceptor(node)(entry[1]) for node in entry[2])]
    alike = len(wrong) if len(wrong) == len(entries) and all(map(_mistyped, wrong)) else 1
    for step, item, nodes in wrong[: 1 if alike > 1 else None]:
        for site in wrong_sites(nodes, item, (*path, step)):
            yield site._replace(like_it=alike - 1) if alike > 1 else site


def _mistyped(entry: tuple[str | int, Any, list[Schema]]) -> bool:
    """Tell whether an entry is of a type it cannot have."""
    _, item, nodes = entry
    return any("type" in slips(one, item) for node in nodes for one in judged(node, item))


def judged(schema: Schema, value: Any) -> Iterator[Schema]:
    """Yield every node that judges a value itself: this one, and those it refers to, collects or chooses."""
    yield schema
    node = schema.node
    inner = [schema.target()] if "$ref" in node else []
    inner += [schema.inner(one) for one in node.get("allOf", ())]
    if "if" in node:
        branch = "then" if acceptor(schema.inner(node["if"]))(value) else "else"
        inner.append(schema.inner(node.get(branch, True)))
    for one in inner:
        yield from judged(one, value)


def slips(schema: Schema, value: Any) -> list[str]:
    """Return the keywords of a node that a value breaks by itself, leaving aside what it holds."""
    node, cls = schema.node, plain_class(value.__class__)
    if not admits(node, cls):
        return ["type"]
    makers = {**BY_CLASS[object], **BY_CLASS.get(cls, {})}
    broken = [keyword for keyword in makers if keyword in node and not makers[keyword](node, cls)(value)]
    return [*broken, "additionalProperties"] if cls is dict and any(map(schema.forbids, value)) else broken
