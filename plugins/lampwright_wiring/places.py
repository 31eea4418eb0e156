"""Where a plan says what: outputs, resistors, LEDs; and findings about one place told once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Path, Spot
    from lampwright.layout import Layout
    from lampwright_wiring.model import Feed, Output, WiredLamp, Wiring

SHOWN = 3
"""How many lamps of one finding are pointed to; its message counts them all."""


def feeds(wiring: Wiring) -> Iterator[tuple[WiredLamp, Feed]]:
    """Yield every feed that has an output, the LEDs of a fibre once."""
    for lamp in wiring.lamps:
        for feed in () if lamp.fibre else lamp.feeds:
            if feed.output is not None:
                yield lamp, feed


def said(layout: Layout, lamp: WiredLamp, colour: str, *keys: str) -> Path:
    """Return where the first of some keys is said of a lamp's LEDs: by the lamp, else for the colour; else the lamp."""
    for key in keys:
        if key in lamp.detail and not ("mix" in lamp.detail and colour != lamp.colour and key == "level"):
            return (*lamp.path, key)
    usual = (layout.plan.values.get("leds") or {}).get(colour)
    for key in keys:
        if isinstance(usual, dict) and _plan_key(key) in usual:
            return ("leds", colour, _plan_key(key))
    return ("leds", colour) if usual is not None else lamp.path


def output_path(layout: Layout, lamp: WiredLamp, output: Output) -> Path:
    """Return where a lamp says an output."""
    value = value_at(layout, lamp.path)
    if not isinstance(value, dict):
        return lamp.path
    outputs = [str(one) for one in value.get("outputs") or ()]
    if str(output) in outputs:
        return (*lamp.path, "outputs", outputs.index(str(output)))
    return (*lamp.path, "output") if "output" in value else lamp.path


def value_at(layout: Layout, path: Path) -> Any:
    """Return what the plan says at a path; None if nothing."""
    value: Any = layout.plan.values
    for step in path:
        try:
            value = value[step]
        except (KeyError, IndexError, TypeError):
            return None
    return value


def grouped(found: Iterable[tuple[Path, WiredLamp, Feed]]) -> dict[Path, list[tuple[WiredLamp, Feed]]]:
    """Return feeds by the place that is to be mended: what one line says of many lamps is one finding."""
    groups: dict[Path, list[tuple[WiredLamp, Feed]]] = {}
    for path, lamp, feed in found:
        groups.setdefault(path, []).append((lamp, feed))
    return groups


def pointed(layout: Layout, lamps: Iterable[WiredLamp], besides: Path, label: str) -> list[Spot]:
    """Return where the first lamps are, apart from the place itself."""
    paths = list(dict.fromkeys(lamp.path for lamp in lamps if lamp.path != besides[: len(lamp.path)]))
    return [layout.spot(*path, label=label) for path in paths[:SHOWN]]


def _plan_key(key: str) -> str:
    """Return what the section of LEDs calls a key of a lamp's wiring."""
    return "kind" if key == "led" else key
