"""What is to be changed in a file, in terms of its values."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any, Literal

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.findings import Path


class Change(Struct, frozen=True):
    """One change to the values of a document; make it by ``replace``, ``rename``, ``add``, ``append`` or ``remove``.

    Paths are those of the document as it is, whatever other changes are made with it. Values are plain ones, as the
    reader gives them: ``dict``, ``list``, ``str``, ``int``, ``Decimal``, ``bool``, ``None``. How they are written
    (quotes, brackets or lines) follows from where they stand.
    """

    how: Literal["replace", "rename", "add", "append", "remove"]
    path: Path
    key: str = ""
    value: Any = None

    @classmethod
    def replace(cls, path: Path, value: Any) -> Change:
        """Put another value where one is."""
        return cls("replace", path, value=value)

    @classmethod
    def rename(cls, path: Path, key: str) -> Change:
        """Give the key at ``path`` another name; it stays where it stands."""
        return cls("rename", path, key)

    @classmethod
    def add(cls, path: Path, key: str, value: Any) -> Change:
        """Add a key to the map at ``path``, behind those there; a map left empty (``boards:``) counts as one."""
        return cls("add", path, key, value)

    @classmethod
    def append(cls, path: Path, value: Any) -> Change:
        """Add an item to the list at ``path``, behind those there."""
        return cls("append", path, value=value)

    @classmethod
    def remove(cls, path: Path) -> Change:
        """Take away a key with its value, or an item of a list."""
        return cls("remove", path)


ORDER = ("replace", "add", "append", "rename", "remove")
"""In which order changes are made so that every path still leads where it led."""


def changed(values: Any, changes: Iterable[Change]) -> Any:
    """Return what the values of a document become. Raises ``KeyError`` if a path leads nowhere.

    The innermost are changed first, and of a list the last: so no change moves what another speaks of.
    """
    root = {"": deepcopy(values)}
    by_place = sorted(enumerate(changes), key=lambda one: (ORDER.index(one[1].how), *_depth(one[1], one[0])))
    for _, change in by_place:
        _make(root, change)
    return root[""]


def _depth(change: Change, number: int) -> tuple[int, tuple[int, ...], int]:
    """Return what sorts changes of one kind: deep ones first, late items of a list first, then as given."""
    late = tuple(-step if isinstance(step, int) else 0 for step in change.path) if change.how == "remove" else ()
    return -len(change.path), late, number


def _make(root: dict[str, Any], change: Change) -> None:
    """Make one change in place."""
    *way, last = ("", *change.path)
    holder: Any = root
    try:
        for step in way:
            holder = holder[step]
        value = holder[last]
    except (IndexError, KeyError, TypeError) as error:
        raise KeyError(change.path) from error
    if change.how == "replace":
        holder[last] = change.value
    elif change.how == "remove":
        del holder[last]
    elif change.how == "rename":
        renamed = {change.key if key == last else key: held for key, held in holder.items()}
        holder.clear()
        holder.update(renamed)
    elif change.how == "add":
        holder[last] = {**(value or {}), change.key: change.value}
    else:
        holder[last] = [*(value or []), change.value]
