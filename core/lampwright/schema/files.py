"""The schema files, and how a node of one refers to another."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct

Node = dict[str, Any]
ANYTHING: Node = {}
NOTHING: Node = {"enum": []}
SUFFIX = ".schema.json"


class Schema(Struct, frozen=True):
    """One node of a schema, and the root of the file it stands in."""

    node: Node
    root: Node

    def inner(self, node: Node | bool) -> Schema:  # noqa: FBT001  (JSON Schema's own: true accepts everything)
        """Return a node that stands inside this one."""
        return Schema((ANYTHING if node else NOTHING) if isinstance(node, bool) else node, self.root)

    def entry(self, key: str) -> Schema | None:
        """Return the node for the entry of a key; None if this node says nothing of it, or forbids it."""
        node = self.node.get("properties", {}).get(key, self.node.get("additionalProperties", True))
        return None if isinstance(node, bool) else self.inner(node)

    def forbids(self, key: str) -> bool:
        """Tell whether this node is closed and does not have the key."""
        return self.node.get("additionalProperties") is False and key not in self.node.get("properties", ())

    def target(self) -> Schema:
        """Return the node that ``$ref`` names, in this file or another; raises KeyError if there is none."""
        file, _, steps = self.node["$ref"].partition("#/")
        root = load(file.removesuffix(SUFFIX)) if file else self.root
        node = root
        for step in steps.split("/"):
            node = node[step]
        return Schema(node, root)


@cache
def load(kind: str) -> Node:
    """Return the JSON Schema of a format: ``plan``, ``rulebook``, ``findings``.

    Raises FileNotFoundError for a format there is no schema of.
    """
    from msgspec.json import decode  # it is there already, and json is not

    node: Node = decode((folder() / (kind + SUFFIX)).read_bytes())
    return node


def folder() -> Path:
    """Return the folder of the schemas; ``importlib.resources`` would take longer than reading what is in it."""
    import lampwright_schemas

    return Path(lampwright_schemas.__path__[0])
