"""Keywords that judge a value by itself: lists of values, patterns, bounds, lengths, required keys.

Each function makes, from a schema's node and the class of the values to come, a function that accepts them.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any, Final

from lampwright.schema.files import Node

Accepts = Callable[[Any], bool]
Maker = Callable[[Node, type], Accepts]


class UnknownKeywordError(ValueError):
    """A schema uses a keyword, or a form of one, that nobody here would look at."""


def always(_value: Any) -> bool:
    """Accept anything."""
    return True


def never(_value: Any) -> bool:
    """Accept nothing."""
    return False


def _enum(node: Node, cls: type) -> Accepts:
    return _among(node["enum"], cls)


def _const(node: Node, cls: type) -> Accepts:
    return _among([node["const"]], cls)


def _among(listed: list[Any], cls: type) -> Accepts:
    """Compare with values of the same kind only: 1 is not true."""
    if any(isinstance(value, (list, dict)) for value in listed):
        raise UnknownKeywordError("the schema lists a map or a list, which is not compared here")
    allowed = frozenset(value for value in listed if isinstance(value, bool) == (cls is bool))
    return never if cls in (list, dict) else allowed.__contains__


def _pattern(node: Node, _cls: type) -> Accepts:
    """Search for the pattern; names come again and again, so those that fitted are remembered."""
    import re  # compiled when the first such text comes

    search = re.compile(node["pattern"]).search
    fitted: set[str] = set()

    def accepts(value: str) -> bool:
        if value in fitted:
            return True
        if search(value) is None:
            return False
        fitted.add(value)
        return True

    return accepts


def _least(node: Node, _cls: type) -> Accepts:
    least = node["minimum"]
    return lambda value: bool(value >= least)


def _most(node: Node, _cls: type) -> Accepts:
    most = node["maximum"]
    return lambda value: bool(value <= most)


def _shortest(node: Node, cls: type) -> Accepts:
    least = node["minItems" if cls is list else "minProperties"]
    return lambda value: len(value) >= least


def _longest(node: Node, cls: type) -> Accepts:
    most = node["maxItems" if cls is list else "maxProperties"]
    return lambda value: len(value) <= most


def _unique(node: Node, _cls: type) -> Accepts:
    if not node["uniqueItems"]:
        return always
    return lambda value: len(value) < 2 or len(set(map(_frozen, value))) == len(value)  # noqa: PLR2004


def _frozen(value: Any) -> Any:
    """Return something that is equal, and hashes equally, for values that are equal as JSON."""
    if isinstance(value, list):
        return list, *map(_frozen, value)
    if isinstance(value, dict):
        return dict, frozenset((key, _frozen(item)) for key, item in value.items())
    return (bool, value) if isinstance(value, bool) else value


def _required(node: Node, _cls: type) -> Accepts:
    names = frozenset(node["required"])
    return lambda value: names <= value.keys()


NUMBERS: Final[dict[str, Maker]] = {"minimum": _least, "maximum": _most}
BY_CLASS: Final[dict[type, dict[str, Maker]]] = {
    object: {"enum": _enum, "const": _const},
    str: {"pattern": _pattern},
    int: NUMBERS,
    Decimal: NUMBERS,
    float: NUMBERS,
    list: {"minItems": _shortest, "maxItems": _longest, "uniqueItems": _unique},
    dict: {"minProperties": _shortest, "maxProperties": _longest, "required": _required},
}
"""What makes the function of a keyword, by the class of value it speaks of; ``object`` stands for every class."""
