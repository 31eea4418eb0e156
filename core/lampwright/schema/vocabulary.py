"""The schema of plans with the words of one rulebook: what an editor offers, and tells when one rests on it."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING

from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.indications import told
from lampwright.schema.bundle import bundled

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.rulebooks import Rulebook
    from lampwright.schema.files import Node

HERE = "signal-of-this-rulebook"
OTHER: Node = {"pattern": r"[.]"}
"""Names with a part before them (``main.clear``) are not listed one by one."""


def plan_schema(rulebook: Rulebook) -> Node:
    """Return the schema of plans, in one piece, with a rulebook's forms, aspects, lamps and indicators as words.

    They hold for signals that name no rulebook of their own, in plans without forms of their own: the schema cannot
    know those.
    """
    schema = bundled("plan")
    definitions = schema["$defs"]
    definitions[HERE] = _signal(deepcopy(definitions["signal"]), deepcopy(definitions["route"]), definitions, rulebook)
    anywhere, here = {"$ref": "#/$defs/signal"}, {"$ref": f"#/$defs/{HERE}"}
    schema["properties"]["signals"].pop("additionalProperties")
    schema["if"] = {"required": ["forms"]}
    schema["then"] = _signals(anywhere)
    schema["else"] = _signals({"if": {"required": ["rulebook"]}, "then": anywhere, "else": here})
    schema["title"] = f"plan by {rulebook.id}"
    return schema


def _signals(node: Node) -> Node:
    """Return a node that says what every signal is."""
    return {"properties": {"signals": {"additionalProperties": node}}}


def _signal(signal: Node, route: Node, definitions: Node, rulebook: Rulebook) -> Node:
    """Return the node of a signal with the rulebook's words in it."""
    words = {
        "form": _words(forms(rulebook)),
        "aspect": _words(aspects(rulebook), OTHER),
        "element": _words(elements(rulebook), OTHER),
        "indicator": _words(indicators(rulebook), OTHER),
    }
    for name, node in words.items():
        definitions[f"{name}-of-this-rulebook"] = node
    form, aspect, element, indicator = ({"$ref": f"#/$defs/{name}-of-this-rulebook"} for name in words)
    said = signal["properties"]
    said["form"] = {**_described(said["form"]), **form}
    said["shows"] = {**said["shows"], "propertyNames": aspect, "additionalProperties": _display(definitions, element)}
    said["gives"] = {**_described(said["gives"]), **_one_or_many(aspect)}
    said["blanked"] = {**_described(said["blanked"]), **_one_or_many(element)}
    said["carries"] = {**said["carries"], **_held(indicator)}
    indication = {**definitions["indication"], **_held(indicator)}
    route["properties"]["indicator"] = {
        **_described(route["properties"]["indicator"]),
        "if": {"type": "array"},
        "then": {"items": indication},
        "else": indication,
    }
    said["routes"] = {**said["routes"], "items": route}
    return signal


def _described(node: Node) -> Node:
    """Return what a node says to people."""
    return {key: node[key] for key in ("title", "description") if key in node}


def _one_or_many(word: Node) -> Node:
    """Return a node for a word or a list of them."""
    return {"if": {"type": "array"}, "then": {"items": word}, "else": word}


def _held(word: Node) -> Node:
    """Return what a word, a list of words or a map by words takes, whatever else is said of it."""
    return {"items": word, "propertyNames": word, "anyOf": [{"type": ["array", "object"]}, word]}


def _display(definitions: Node, element: Node) -> Node:
    """Return the node of a display with the elements there are."""
    return {**deepcopy(definitions["values-display"]), **_held(element)}


def _words(words: Iterable[tuple[str, str, str]], *others: Node) -> Node:
    """Return a node that accepts words, each with a title and what it means."""
    listed = [
        {"const": word, **({"title": title} if title else {}), **({"description": text} if text else {})}
        for word, title, text in words
    ]
    return {"anyOf": [*listed, *others]}


def forms(rulebook: Rulebook) -> Iterator[tuple[str, str, str]]:
    """Yield the forms, each with the aspects it gives and its years."""
    for name, form in rulebook.forms.items():
        given = reader(rulebook, name, None).gives
        gives = f"Gives {', '.join(given)}. " if given else ""
        yield name, form.title, f"{gives}In use {form.years}. {rulebook.why('forms', name)}"


def aspects(rulebook: Rulebook) -> Iterator[tuple[str, str, str]]:
    """Yield the aspects, each with what it tells the driver and its source."""
    for name, aspect in rulebook.aspects.items():
        text = told(rulebook, name) or "what it tells is not established"
        yield name, aspect.name or aspect.title, f"{text}. {rulebook.why('aspects', name)}"


def elements(rulebook: Rulebook) -> Iterator[tuple[str, str, str]]:
    """Yield all that can stand in a display: lamps by place and by colour, heads, boxes, plates, and dark."""
    found: dict[str, None] = {"dark": None}
    for name in rulebook.forms:
        parts = reader(rulebook, name, None).anatomy
        for lamp, record in parts.places.items():
            found |= dict.fromkeys([lamp, lamp.rpartition(".")[2], lamp.partition(".")[0], *record.colours])
        found |= dict.fromkeys(sorted(parts.others))
    yield from ((name, "", "") for name in found)


def indicators(rulebook: Rulebook) -> Iterator[tuple[str, str, str]]:
    """Yield the indicators and their positions."""
    for name, indicator in rulebook.indicators.items():
        source = str(rulebook.why("indicators", name))
        yield name, indicator.title, source
        for position, side in indicator.positions.items():
            yield position, f"{indicator.title or name}, {side}", source
