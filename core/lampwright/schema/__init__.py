"""Values against the schemas of the formats: whether they are as they should be, and what is wrong if not."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.schema.accept import acceptor
from lampwright.schema.files import Schema, load

if TYPE_CHECKING:
    from lampwright.findings import Path

__all__ = ["SchemaFault", "accepts", "faults", "load"]


class SchemaFault(Struct, frozen=True):
    """One thing that is not as the format has it: where, what, and what would have been right.

    ``path`` leads to the value, or with ``on_key`` to its key.
    """

    path: Path
    on_key: bool
    message: str
    tip: str = ""


def accepts(kind: str, values: Any) -> bool:
    """Tell whether the values of a document of a kind are as its format has them."""
    root = load(kind)
    return acceptor(Schema(root, root))(values)


def faults(kind: str, values: Any) -> list[SchemaFault]:
    """Return what is wrong with the values of a document of a kind (``plan``, ``rulebook``); empty if nothing is.

    At most fifty faults are told, and then how many more places there are.
    Raises FileNotFoundError for a kind there is no schema of.
    """
    if accepts(kind, values):
        return []
    from lampwright.schema.explain import explained  # what is right needs no explaining

    root = load(kind)
    return explained(Schema(root, root), values)
