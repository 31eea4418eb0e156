"""Checks of the names of parts: those nobody knows, and ways of wiring that are refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.checks import PLAN, Check
from lampwright.rulebooks.codec import as_text
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Finding, Path
    from lampwright.layout import Layout
    from lampwright.plans.model import BuiltLamp, Carried
    from lampwright_wiring.catalogue import Catalogue

SECTIONS = ("leds", "boards", "switches", "controllers", "supplies")
WORDS = {
    "leds": "kind of LED",
    "boards": "kind of board",
    "switches": "kind of transistor or driver",
    "controllers": "kind of controller",
    "supplies": "kind of supply",
    "wires": "size of wire",
}
"""What a name of each section of the parts data is."""
WIRE_SIZES = "a size is written as AWG 24 or 0.14 mm2"
PLAIN = {"leds": "kinds of LED", "boards": "kinds of board", "switches": "transistors and drivers"}
SHOWN = 3


class Named(Struct, frozen=True):
    """A part that a plan names: the section it must be in, and where the name stands."""

    section: str
    name: str
    path: Path
    on_key: bool = False


class UnknownPart(Check):
    """Finds a kind of LED, board, driver, controller, supply or wire that no parts data know.

    What a part can stand and what it takes is looked up by its kind. Of one that nobody knows nothing can be worked
    out, and a slip of the pen would go unnoticed until something is warm.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm16}}                # expect: unknown-part "pwm16 is no kind of board"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}

    Limits: parts of your own go into a file that begins with `parts: 1`, brought by a plugin. One finding tells of all
    places that name one unknown kind.
    """

    name = "unknown-part"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Return that no part is named."""
        return "" if any(True for _ in named(whole)) else "no kinds of parts given"

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each name that is nowhere."""
        from lampwright_wiring.catalogue import catalogue

        parts = catalogue(subject)
        unknown: dict[tuple[str, str], list[Named]] = {}
        for one in named(subject):
            if not _known(parts, one) and parts.refusal(one.name) is None:
                unknown.setdefault((one.section, one.name), []).append(one)
        for places in unknown.values():
            yield self._unknown(subject, parts, places)

    def _unknown(self, layout: Layout, parts: Catalogue, places: list[Named]) -> Finding:
        """Return the finding for one unknown kind, at the first place that names it."""
        first, *more = places
        return self.finding(
            f"{first.name} is no {WORDS[first.section]} that the parts data know",
            layout.spot(*first.path, on_key=first.on_key),
            related=[layout.spot(*one.path, label="named here too", on_key=one.on_key) for one in more[:SHOWN]],
            tip=_tip(parts, first),
        )


class ScannedWiring(Check):
    """Finds boards whose lamps would be lit in turns: charlieplexing, rows and columns, multiplexing.

    Scanning saves pins and costs what a signal needs: no lamp is steady, each has only its share of the current,
    cameras see bands, and one LED that fails can light or darken others. A signal must fail to something known.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: charlieplexed}}        # expect: scanned-wiring "charlieplexing is not for signals"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: shift-register-8}}

    Limits: known by the name of the kind only; outputs that are scanned under another name are taken as steady.
    """

    name = "scanned-wiring"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Return that no part is named."""
        return "" if any(True for _ in named(whole)) else "no kinds of parts given"

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that names a way of wiring which is refused."""
        from lampwright_wiring.catalogue import catalogue

        parts = catalogue(subject)
        for one in named(subject):
            if (refusal := parts.refusal(one.name)) is not None:
                yield self.finding(
                    f"{refusal.title} is not for signals: {refusal.because}",
                    subject.spot(*one.path, on_key=one.on_key),
                    citations=(refusal.why(),),
                    tip="one output for each lamp: chained shift registers or PWM boards have as many as are wanted",
                )


def named(layout: Layout) -> Iterator[Named]:
    """Yield every name of a kind of part in a plan."""
    values = layout.plan.values
    for section, where in (("boards", "boards"), ("controllers", "controllers"), ("supplies", "supplies")):
        for name, said in (values.get(where) or {}).items():
            keys = {"kind": section, "switch": "switches", "wire": "wires"}
            yield from _of(said or {}, (where, name), keys)
    for colour, said in (values.get("leds") or {}).items():
        if isinstance(said, dict):
            yield from _of(said, ("leds", colour), {"kind": "leds"})
        else:
            yield Named("leds", as_text(said), ("leds", colour))
    for signal in layout.plan.signals.values():
        told: tuple[BuiltLamp | Carried, ...] = (*(signal.lamps or ()), *(signal.carries or ()))
        for lamp in told:
            if lamp.detail:
                yield from _of_lamp(lamp.detail, lamp.path)
    stock = values.get("stock") or {}
    for section in ("leds", "boards"):
        for name in stock.get(section) or ():
            yield Named(section, name, ("stock", section, name), on_key=True)


def _of_lamp(detail: Mapping[str, object], path: Path) -> Iterator[Named]:
    """Yield the parts that a lamp names, or what an indicator can show."""
    keys = {"led": "leds", "switch": "switches"}
    if detail.keys() & keys.keys():
        yield from _of(detail, path, keys)
    else:
        for content, said in detail.items():
            if isinstance(said, dict):
                yield from _of(said, (*path, content), keys)


def _of(said: Mapping[str, object], path: Path, keys: Mapping[str, str]) -> Iterator[Named]:
    """Yield the names under some keys of a map."""
    for key, section in keys.items():
        if key in said:
            yield Named(section, as_text(said[key]), (*path, key))


def _known(parts: Catalogue, one: Named) -> bool:
    """Tell whether a name is that of a part in the data."""
    if one.section == "wires":
        from lampwright_wiring.wires import wire

        return wire(parts, one.name) is not None
    return one.name in parts.names(one.section)


def _tip(parts: Catalogue, one: Named) -> str:
    """Return what would have been right: the section a name belongs to, or the near miss."""
    if one.section == "wires":
        return WIRE_SIZES
    elsewhere = next((section for section in SECTIONS if one.name in parts.names(section)), "")
    several = PLAIN.get(one.section, one.section)
    return (
        f"it is a {WORDS[elsewhere]}"
        if elsewhere
        else did_you_mean(one.name, parts.names(one.section), f"the {several}")
    )
