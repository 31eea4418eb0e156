"""Whether a value is as a schema has it: yes or no, and nothing else.

A schema becomes plain functions, one for each node and class of value. A node is compiled when the first
such value reaches it, so that a small plan pays only for the part of the format it uses. What can be
decided without the value (its class against ``type``, which keywords speak of that class) is decided then.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from lampwright.schema.keywords import BY_CLASS, UnknownKeywordError, always, never

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.schema.files import Node, Schema
    from lampwright.schema.keywords import Accepts, Maker

TYPES: Final[dict[str, tuple[type, ...]]] = {
    "null": (type(None),),
    "boolean": (bool,),
    "integer": (int,),
    "number": (int, Decimal, float),
    "string": (str,),
    "array": (list,),
    "object": (dict,),
}
"""The classes a document's values are of, by the words of JSON Schema; ``bool`` is no number."""

CLASSES: Final = (bool, int, Decimal, float, str, list, dict, type(None))
"""The same, in the order in which a subclass is to be asked what it is."""

_known: dict[int, tuple[Accepts, Schema]] = {}
"""Functions by node; the schema beside it keeps the node alive, and so its id its own."""


def acceptor(schema: Schema) -> Accepts:
    """Return the function that tells whether a value is accepted.

    Raises UnknownKeywordError for a keyword outside the subset; one further down, when it is first met.
    """
    key = id(schema.node)
    if key not in _known:
        _known[key] = _compiled(schema), schema
    return _known[key][0]


def _compiled(schema: Schema) -> Accepts:
    """Return a function that looks at the class of the value first."""
    if unknown := schema.node.keys() - KEYWORDS:
        raise UnknownKeywordError(f"the schema says {', '.join(sorted(unknown))}, which is not looked at here")
    by_class: dict[type, Accepts] = {}

    def accepts(value: Any) -> bool:
        check = by_class.get(value.__class__)
        if check is None:
            check = by_class[value.__class__] = _for_class(schema, plain_class(value.__class__))
        return check(value)

    return accepts


@cache
def plain_class(cls: type) -> type:
    """Return the class that counts: a map that carries marks is a ``dict``."""
    return next((plain for plain in CLASSES if issubclass(cls, plain)), object)


def _for_class(schema: Schema, cls: type) -> Accepts:
    """Return the function for values of one class."""
    node = schema.node
    if not admits(node, cls):
        return never
    plain, deep = _makers(cls)
    checks = [plain[keyword](node, cls) for keyword in node if keyword in plain]
    makers = [deep[keyword] for keyword in node if keyword in deep]
    if makers:
        checks += [maker(schema, cls) for maker in (dict.fromkeys(makers) if len(makers) > 1 else makers)]
    return _every(checks)


@cache
def _makers(cls: type) -> tuple[dict[str, Maker], dict[str, Callable[[Schema, type], Accepts]]]:
    """Return by keyword what makes the function of one that speaks of a class: of the value itself, or of its parts."""
    return {**BY_CLASS[object], **BY_CLASS.get(cls, {})}, {**DEEP[object], **DEEP.get(cls, {})}


def admits(node: Node, cls: type) -> bool:
    """Tell whether ``type`` has a place for the class."""
    types = node.get("type")
    if types is None:
        return True
    return cls in TYPES[types] if isinstance(types, str) else any(cls in TYPES[name] for name in types)


def _every(checks: list[Accepts]) -> Accepts:
    """Return one function for several."""
    if always in checks:
        checks = [check for check in checks if check is not always]
    if never in checks:
        return never
    if len(checks) < 2:  # noqa: PLR2004  (the common cases by themselves: a loop is slower)
        return checks[0] if checks else always
    if len(checks) == 2:  # noqa: PLR2004
        first, second = checks
        return lambda value: first(value) and second(value)
    return lambda value: all(check(value) for check in checks)


def _at_once(schema: Schema, cls: type) -> Accepts:
    """Return the function of a node that judges the same value, so that nothing of the step is left."""
    acceptor(schema)  # its keywords are known, or this raises
    return _for_class(schema, cls)


def _reference(schema: Schema, cls: type) -> Accepts:
    return _at_once(schema.target(), cls)


def _all_of(schema: Schema, cls: type) -> Accepts:
    return _every([_at_once(schema.inner(node), cls) for node in schema.node["allOf"]])


def _conditional(schema: Schema, cls: type) -> Accepts:
    """Choose the branch here if the condition speaks of the class alone."""
    test = _at_once(schema.inner(schema.node["if"]), cls)
    then, otherwise = (schema.inner(schema.node.get(branch, True)) for branch in ("then", "else"))
    if test in (always, never):
        return _at_once(then if test is always else otherwise, cls)
    fitting, other = _at_once(then, cls), _at_once(otherwise, cls)
    return lambda value: fitting(value) if test(value) else other(value)


def _items(schema: Schema, _cls: type) -> Accepts:
    """Ask ``prefixItems`` of the first items, ``items`` of the others."""
    first = [acceptor(schema.inner(node)) for node in schema.node.get("prefixItems", ())]
    check = acceptor(schema.inner(schema.node.get("items", True)))

    if not first:
        return lambda value: all(map(check, value))
    length = len(first)
    return lambda value: (
        all(ask(item) for ask, item in zip(first, value, strict=False)) and all(map(check, value[length:]))
    )


def _names(schema: Schema, _cls: type) -> Accepts:
    check = acceptor(schema.inner(schema.node["propertyNames"]))
    return lambda value: all(map(check, value))


def _entries(schema: Schema, _cls: type) -> Accepts:
    """Ask each entry the schema of its key, or the one for all others; a key is compiled when it is met."""
    nodes = schema.node.get("properties", {})
    others = acceptor(schema.inner(schema.node.get("additionalProperties", True)))
    checks: dict[str, Accepts] = {}

    def accepts(value: dict[str, Any]) -> bool:
        for key, item in value.items():
            check = checks.get(key)
            if check is None:
                check = others
                if key in nodes:
                    check = checks[key] = acceptor(schema.inner(nodes[key]))
            if not check(item):
                return False
        return True

    return accepts


DEEP: Final[dict[type, dict[str, Callable[[Schema, type], Accepts]]]] = {
    object: {"$ref": _reference, "allOf": _all_of, "if": _conditional},
    list: {"prefixItems": _items, "items": _items},
    dict: {"propertyNames": _names, "properties": _entries, "additionalProperties": _entries},
}
"""What makes the function of a keyword that leads to other nodes, by the class of value it speaks of."""

TOLD_ONLY: Final = frozenset({"$schema", "$id", "$defs", "title", "description", "examples", "type", "then", "else"})
KEYWORDS: Final = TOLD_ONLY.union(*BY_CLASS.values(), *DEEP.values())
"""Every keyword that is understood."""
