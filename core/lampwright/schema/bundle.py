"""One schema in one piece, as editors want it: all that it refers to is inside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.schema.files import SUFFIX, load

if TYPE_CHECKING:
    from lampwright.schema.files import Node


def bundled(kind: str) -> Node:
    """Return the schema of a format with every schema it refers to among its ``$defs``.

    The definitions of another file, ``word`` of ``values``, become ``values-word``. Raises FileNotFoundError for a
    format there is no schema of.
    """
    root = load(kind)
    found: dict[str, Any] = {}
    whole: Node = _moved({key: value for key, value in root.items() if key != "$defs"}, kind, "", found)
    return {**whole, "$defs": dict(sorted(found.items()))}


def _moved(node: Any, home: str, here: str, found: dict[str, Any]) -> Any:
    """Return a node with its references turned; what they lead to is put into ``found``.

    ``home`` is the format that is bundled, ``here`` the file the node is from, empty for the home's own.
    """
    if isinstance(node, list):
        return [_moved(item, home, here, found) for item in node]
    if not isinstance(node, dict):
        return node
    reference = node.get("$ref")
    if not isinstance(reference, str):
        return {key: _moved(value, home, here, found) for key, value in node.items()}
    file, _, steps = reference.partition("#/$defs/")
    source = file.removesuffix(SUFFIX) or here
    source = "" if source == home else source
    name = f"{source}-{steps}" if source else steps
    if name not in found:
        found[name] = {}  # what refers to itself finds it there
        found[name] = _moved(load(source or home)["$defs"][steps], home, source, found)
    return {**{key: value for key, value in node.items() if key != "$ref"}, "$ref": f"#/$defs/{name}"}
