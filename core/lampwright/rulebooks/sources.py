"""Why a datum is believed: the nearest source named above it, and where it is written."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

from lampwright.findings import Basis, Citation, Path, Spot

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Source

WITHOUT_ENTRY = {
    "memory": "what is remembered",
    "common-practice": "what the trade does",
    "derived": "worked out from other data",
}
"""Sources that need no entry in the list of a file."""


class Sourced(Protocol):
    """Data with their sources: a rulebook, or what else is written in the same way."""

    @property
    def file(self) -> str:
        """The file the data stand in."""

    @property
    def values(self) -> Mapping[str, Any]:
        """Everything in the file."""

    @property
    def sources(self) -> Mapping[str, Source]:
        """The sources it names."""

    @property
    def origins(self) -> Mapping[Path, Spot]:
        """Where data that were copied are written."""


def spot(data: Sourced, path: Path, *, label: str = "", on_key: bool = False) -> Spot:
    """Return where the datum at ``path`` is written: its own place, or that of what it was copied from."""
    for length in range(len(path), 0, -1):
        if found := data.origins.get(path[:length]):
            return Spot(found.file, found.path + path[length:], label, on_key)
    return Spot(data.file, path, label, on_key)


def why(data: Sourced, path: Path) -> Citation:
    """Return the source of the datum at ``path``; several sources of one datum count as the best of them."""
    names = _nearest(data.values, path)
    cited = [_citation(data, name) for name in names] or [("no source given", Basis.MEMORY)]
    return Citation(
        "; ".join(text for text, _ in cited),
        max(basis for _, basis in cited),
        spot(data, path),
    )


def cited(data: Sourced, name: str) -> Citation:
    """Return the citation of a source by its name: ``enc``, ``rs521 2.5``."""
    return Citation(*_citation(data, name))


def named(data: Sourced, path: Path) -> tuple[str, ...]:
    """Return the names of the sources of the datum at ``path``, sections included; none if no source is named."""
    return _nearest(data.values, path)


def _nearest(values: Any, path: Path) -> tuple[str, ...]:
    """Return the source names that reach deepest towards ``path``."""
    best: tuple[str, ...] = ()
    depth = -1
    for level in range(len(path) + 1):
        if isinstance(values, dict):
            reach, named = _stated(values, path, level)
            if named and reach >= depth:
                best, depth = named, reach
        if level < len(path):
            values = _child(values, path[level])
    return best


def _stated(values: dict[str, Any], path: Path, level: int) -> tuple[int, tuple[str, ...]]:
    """Return what one map says of the path below it, and how deep the statement reaches."""
    reach, names = level, _names(values.get("source"))
    for dotted, stated in (values.get("source-of") or {}).items():
        target = tuple(str(dotted).split("."))
        below = tuple(str(step) for step in path[level : level + len(target)])
        if target == below and level + len(target) >= reach:
            reach, names = level + len(target), _names(stated)
    return reach, names


def _names(value: Any) -> tuple[str, ...]:
    """Return a source, or several, as names with their sections."""
    if value is None:
        return ()
    return tuple(str(item) for item in value) if isinstance(value, list) else (str(value),)


def _child(values: Any, step: str | int) -> Any:
    """Return what stands at a step, or None."""
    if isinstance(values, dict):
        return values.get(step)
    if isinstance(values, list) and isinstance(step, int) and step < len(values):
        return values[step]
    return None


def _citation(data: Sourced, name: str) -> tuple[str, Basis]:
    """Return the text and basis of ``rs521 2.5``: an entry's id and, after a space, the section."""
    key, _, section = name.partition(" ")
    if key in WITHOUT_ENTRY and key not in data.sources:
        return WITHOUT_ENTRY[key], Basis.of(key)
    source = data.sources.get(key)
    if source is None:
        return f"unknown source {key}", Basis.MEMORY
    words = [f'"{source.title}"', source.publisher, source.issue and f"issue {source.issue}", source.date, section]
    return ", ".join(word for word in words if word), Basis.of(source.basis)
