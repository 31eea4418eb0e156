"""What is wrong with a value, in words a writer can act on.

The schema carries the words: ``title`` names what was expected, ``examples`` say how it may look, ``description``
what it is. Where several nodes judge a value, the outermost names it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from lampwright.words import Meant, counted, did_you_mean, with_article

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from lampwright.findings import Path
    from lampwright.schema.files import Node, Schema
    from lampwright.schema.sites import Site

UNITS = {"kmh": "km/h", "kph": "km/h", "km/hr": "km/h", "k/h": "km/h", "m.p.h.": "mph", "mi/h": "mph", "mps": "m/s"}
"""Units as some write them, by what the formats have."""
LONGEST = 40
"""Most characters of a value that a message shows."""


def told(nodes: Iterable[Schema], key: str) -> Any:
    """Return the first ``title``, ``description`` or ``examples`` that the nodes have; empty if none has."""
    return next((schema.node[key] for schema in nodes if key in schema.node), "")


def described(nodes: Iterable[Schema]) -> str:
    """Return the innermost description, as a tip."""
    return str(told(reversed(list(nodes)), "description")).removesuffix(".")


def named(path: Path) -> str:
    """Return what to call a value: ``stage of HF1``, ``101 in points of HF1``, ``item 2 of over of HF1``, ``HF1``."""
    if not path:
        return "the file"
    *before, last = path
    name = shown(last) if isinstance(last, str) else f"item {last + 1} of {before.pop()}"
    if len(before) > 2 and isinstance(before[-1], str):  # noqa: PLR2004  (section, name, and what holds the value)
        name = f"{name} in {shown(before[-1])}"
    return f"{name} of {shown(before[1])}" if len(before) > 1 and isinstance(before[1], str) else name


def shown(value: Any) -> str:
    """Return a value as a message shows it: short, and on one line."""
    text = " ".join(str(value)[: 4 * LONGEST].split())
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."


def sort_of(value: Any) -> str:
    """Return what a value is: ``a list``, ``the number 60``, ``empty``."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (dict, list)):
        return "a map" if isinstance(value, dict) else "a list"
    if value is None or value == "":
        return "empty"
    if isinstance(value, str):
        return f"{'the text' if ' ' in value.strip() else 'the word'} {shown(value)}"
    return f"the number {value}"


def expected(site: Site, node: Node) -> tuple[str, str]:
    """Say what a value is and what was expected, by title and example; the description is the tip."""
    title, examples = told(site.judging, "title"), told(site.judging, "examples")
    tip = described(site.judging)
    if site.is_key:
        return f"{shown(site.value)} is not {with_article(title)}", tip
    if site.value is None and node.get("type") == "object":
        tip = "if nothing is to be said of it, write {}"
    like = f", like {examples[0]}" if examples else ""
    if examples and isinstance(site.value, int | Decimal) and not isinstance(site.value, bool):
        tip = _with_unit(site.value, examples[0], tip)
    alike = f" (and {site.like_it} more like it)" if site.like_it else ""
    return f"{named(site.path)} is {sort_of(site.value)}; expected {with_article(title)}{like}{alike}", tip


def misspelt(site: Site, node: Node) -> tuple[str, str]:
    """Say what a text was expected to look like; if a slip of the pen explains it, the tip knows what is meant."""
    message, tip = expected(site, node)
    if site.is_key or not isinstance(site.value, str):
        return message, tip
    for meant, sure in _respelt(site.value):
        if all(_matches(meant, schema.node["pattern"]) for schema in site.judging if "pattern" in schema.node):
            return message, Meant.said(f"did you mean {shown(meant)}? {tip}", meant, sure=sure)
    return message, tip


def _respelt(text: str) -> Iterator[tuple[str, bool]]:
    """Yield what a text may be a slip for, and whether it can hardly be anything else."""
    number, _, unit = text.strip().partition(" ")
    if unit.casefold() in UNITS:
        yield f"{number} {UNITS[unit.casefold()]}", True
    yield "-".join(text.split()), False
    yield "-".join(text.casefold().split()), False


def _matches(text: str, pattern: str) -> bool:
    """Tell whether a text is as a pattern has it."""
    import re  # only what is wrong pays for it

    return re.search(pattern, text) is not None


def _with_unit(value: int | Decimal, example: str, tip: str) -> str:
    """Return the tip, which knows what a bare number means with the unit of the example: ``60 mph``."""
    number, _, unit = str(example).partition(" ")
    return Meant.said(tip, f"{value} {unit}") if unit.isalpha() and number.replace(".", "").isdigit() else tip


def not_listed(site: Site, node: Node) -> tuple[str, str]:
    """Say that a word is none of those there are."""
    if site.is_key:
        message = f"{shown(site.value)} is not {with_article(node.get('title') or told(site.judging, 'title'))}"
    elif isinstance(site.value, str):
        message = f"{named(site.path)} cannot be {shown(site.value)}"
    else:
        message, _ = expected(site, node)
    return message, did_you_mean(shown(site.value), map(str, node["enum"]), "its keys" if site.is_key else "")


def other_version(site: Site, node: Node) -> tuple[str, str]:
    """Say that a file is of another version of its format."""
    return f"{named(site.path)} is {shown(site.value)}; this Lampwright reads {site.path[-1]}: {node['const']}", ""


def out_of_bounds(site: Site, node: Node) -> tuple[str, str]:
    """Say which numbers would do."""
    least, most = node.get("minimum"), node.get("maximum")
    bounds = (
        f"from {least} to {most}"
        if None not in (least, most)
        else f"of at {'most' if least is None else 'least'} {most if least is None else least}"
    )
    title = with_article(told(site.judging, "title"))
    return f"{named(site.path)} is {site.value}; expected {title} {bounds}", described(site.judging)


def wrong_length(site: Site, node: Node) -> tuple[str, str]:
    """Say how many items or keys would do."""
    title, tip = with_article(told(site.judging, "title")), described(site.judging)
    if not site.value:
        return f"{named(site.path)} is empty; expected {title}", tip
    noun, keys = (
        ("item", ("minItems", "maxItems"))
        if isinstance(site.value, list)
        else ("key", ("minProperties", "maxProperties"))
    )
    least, most = (node.get(key) for key in keys)
    wanted = (
        str(least) if least == most else f"at least {least}" if len(site.value) < (least or 0) else f"at most {most}"
    )
    return f"{named(site.path)} has {counted(len(site.value), noun)}; expected {wanted}", tip


def repeated(site: Site, _node: Node) -> tuple[str, str]:
    """Say what a list has twice."""
    twice = next(item for index, item in enumerate(site.value) if item in site.value[:index])
    return f"{named(site.path)} has {shown(twice)} twice", "once is enough"


SENTENCES: dict[str, Callable[[Site, Node], tuple[str, str]]] = {
    "type": expected,
    "pattern": misspelt,
    "enum": not_listed,
    "const": other_version,
    "minimum": out_of_bounds,
    "maximum": out_of_bounds,
    "minItems": wrong_length,
    "maxItems": wrong_length,
    "minProperties": wrong_length,
    "maxProperties": wrong_length,
    "uniqueItems": repeated,
}
"""Message and tip for a broken keyword."""
