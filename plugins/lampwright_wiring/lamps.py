"""Every lamp of a plan with its loads and outputs; what a lamp does not say is said for its colour, or not at all."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.placed import lamp_of, placed, places, shared
from lampwright.plans.load import LAMP_WORDS
from lampwright.quantities import quantity
from lampwright.rulebooks.codec import as_text
from lampwright_wiring.model import BUILT, Feed, Load, Output, Resistor, WiredLamp
from lampwright_wiring.reading import amount

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright.placed import Placed
    from lampwright.plans import Carried
    from lampwright_wiring.kinds import LedKind
    from lampwright_wiring.model import Wiring

DUMMY = "dummy"
PLACES = frozenset({"output", "outputs", "pinned"})
"""What ``like`` does not lend: an output is a signal's own."""


def wired(layout: Layout, wiring: Wiring) -> tuple[WiredLamp, ...]:
    """Return the lamps and indicators of every signal that is no dummy; ``wiring`` has the boards."""
    leds = layout.plan.values.get("leds") or {}
    return tuple(
        lamp
        for signal in layout.signals.values()
        if signal.entry.stage != DUMMY
        for lamp in _Binder(signal, wiring, leds).all()
    )


@dataclass(frozen=True, slots=True)
class _Told:
    """What the plan tells of one lamp before its LEDs are looked at."""

    names: tuple[str, ...]
    colour: str
    path: Path
    detail: Mapping[str, Any]
    many: bool = False
    indicator: str = ""
    content: str = ""
    said: bool = True


class _Binder:
    """Binds the lamps of one signal."""

    def __init__(self, signal: BoundSignal, wiring: Wiring, leds: Mapping[str, Any]) -> None:
        self.signal = signal
        self.wiring = wiring
        self.leds = leds

    def all(self) -> list[WiredLamp]:
        """Return the signal's lamps, then its indicators; those lit through fibres get the LEDs of others."""
        told = [*self._lamps(), *self._indicators()]
        found = [self._wired(one, told) for one in told]
        return [self._through_fibre(lamp, found) if lamp.fibre else lamp for lamp in found]

    def _lamps(self) -> Iterator[_Told]:
        """Yield what is told of lamps; if nothing is, the form's."""
        entry, form = self.signal.entry, self.signal.reader
        if entry.lamps is not None:
            yield from (self._told(item) for item in placed(self.signal))
        elif form is not None:
            blanked = {name for lamp in entry.blanked if (name := self.signal.element(lamp))}
            for name, colour in places(form):
                if name not in blanked:
                    many = len(lamp_of(form, name).colours) > 1
                    yield _Told(shared(form, name), colour, entry.path, {}, many=many, said=False)

    def _told(self, item: Placed) -> _Told:
        """Return what is told of one lamp."""
        detail = _detail(item.built.output, item.built.detail)
        if "lamps" in self.signal.entry.inherited:
            detail = {key: said for key, said in detail.items() if key not in PLACES}
        return _Told(item.names, item.colour, item.built.path, detail, many=item.many)

    def _indicators(self) -> Iterator[_Told]:
        """Yield what is told of the indicators that the signal carries."""
        for item in self.signal.entry.carries or ():
            if item.detail and not item.detail.keys() & LAMP_WORDS:
                for content, said in item.detail.items():
                    yield self._indicator(item, (*item.path, content), _detail(said, said), content)
            else:
                yield self._indicator(item, item.path, _detail(item.output, item.detail), "")

    def _indicator(self, item: Carried, path: Path, detail: Mapping[str, Any], content: str) -> _Told:
        """Return what is told of an indicator, a position or a character of it."""
        found, book = self.signal.indicator(item.name), self.signal.rulebook
        if found is None or book is None:
            return _Told((item.name,), "", path, detail, indicator=item.name, content=content)
        name, position = found
        record = book.indicators[name]
        if content in record.positions and not position:
            position, content = content, ""
        names = (f"{name}.{position}", position) if position else (name,)
        if "carries" in self.signal.entry.inherited:
            detail = {key: said for key, said in detail.items() if key not in PLACES}
        colour = record.colour or as_text(record.lamps.get("colour"))
        return _Told(names, colour, path, detail, indicator=name, content=content)

    def _wired(self, told: _Told, others: list[_Told]) -> WiredLamp:
        """Return a lamp with its feeds."""
        entry, detail = self.signal.entry, told.detail
        polarity = as_text(detail.get("wiring")) or entry.wiring
        lamp = WiredLamp(
            signal=self.signal.name,
            names=told.names,
            colour=told.colour,
            path=told.path,
            many=told.many,
            indicator=told.indicator,
            content=told.content,
            said=told.said,
            fibre=as_text(detail.get("fibre")),
            dummy=detail.get("output") == DUMMY,
            pinned=bool(detail.get("pinned")),
            built=entry.stage in BUILT,
            polarity=polarity,
            level=self._level(told.colour, detail),
            detail=detail,
        )
        return lamp if lamp.fibre or lamp.dummy else replace(lamp, feeds=tuple(self._feeds(lamp, others)))

    def _feeds(self, lamp: WiredLamp, others: list[_Told]) -> Iterator[Feed]:
        """Yield one feed for each colour that is mixed, else for each output; one without if it has none yet."""
        outputs: list[Output | None] = list(_outputs(lamp.detail))
        mix: Mapping[str, Any] = lamp.detail.get("mix") or {}  # type: ignore[assignment]
        for index, (colour, share) in enumerate(mix.items()):
            own = outputs[index] if index < len(outputs) else None
            yield self._die(lamp, colour, amount(share) or Fraction(0), own, others)
        if mix:
            return
        load = self._load(lamp, lamp.colour, lamp.detail, lamp.level)
        if load.both_ways:
            first, back = [*outputs, None, None][:2]
            yield self._feed(lamp, load, first, back)
            return
        for output in outputs or [None]:
            yield self._feed(lamp, load, output)

    def _die(self, lamp: WiredLamp, colour: str, share: Fraction, own: Output | None, others: list[_Told]) -> Feed:
        """Return the feed of one colour of a mix: by its own output, or that of the same lens in that colour."""
        twin = next((one for one in others if one.names == lamp.names and one.colour == colour), None)
        detail = {**(twin.detail if twin else {}), **{key: said for key, said in lamp.detail.items() if key != "mix"}}
        load = self._load(lamp, colour, detail, share * lamp.level)
        output = own or next(iter(_outputs(twin.detail) if twin else ()), None)
        return self._feed(lamp, load, output)

    def _feed(self, lamp: WiredLamp, load: Load, output: Output | None, returns: Output | None = None) -> Feed:
        """Return a feed with what it draws."""
        draw = self.wiring.draw(load, output.board if output else "", lamp.polarity)
        light = f"{lamp.signal} {lamp.name} {load.colour} {lamp.content} {output or ''}"
        return Feed(light, load, output, returns, draw)

    def _load(self, lamp: WiredLamp, colour: str, detail: Mapping[str, Any], level: Fraction) -> Load:
        """Return the LEDs of a colour as the lamp says, else as the plan says for the colour."""
        usual = self.leds.get(colour) or {}
        usual = usual if isinstance(usual, dict) else {"kind": usual}
        said = {**usual, **detail}
        package = self.wiring.parts.led(as_text(said.get("led") or usual.get("kind")))
        led = self._one_colour(package, colour)
        count, joined = _number(said.get("leds"))
        return Load(
            path=lamp.path,
            colour=colour,
            led=led,
            package=package if package is not None and package.dies else None,
            count=count,
            joined=joined,
            resistor=_resistor(said.get("resistor")),
            aim=amount(said.get("current")),
            level=level,
            switch=self.wiring.parts.switch(as_text(said.get("switch"))),
            supply=as_text(said.get("supply")),
            polarity=lamp.polarity or (package.leads if package else ""),
        )

    def _one_colour(self, kind: LedKind | None, colour: str) -> LedKind | None:
        """Return the LED that makes a colour: the kind itself, or that of its dies."""
        if kind is None or not kind.dies:
            return kind
        return self.wiring.parts.led(kind.dies.get(colour, ""))

    def _level(self, colour: str, detail: Mapping[str, Any]) -> Fraction:
        """Return the lightness a lamp is set to, as a share."""
        usual = None if "mix" in detail else self.leds.get(colour)  # that of a colour speaks of its own LEDs
        said = detail.get("level") or (usual.get("level") if isinstance(usual, dict) else None)
        return Fraction(1) if said is None else quantity(said).amount

    def _through_fibre(self, lamp: WiredLamp, lamps: list[WiredLamp]) -> WiredLamp:
        """Return a lamp with the LEDs of the one that lights it."""
        wanted = {lamp.fibre, self.signal.element(lamp.fibre)}
        source = next((one for one in lamps if wanted.intersection(one.names) and not one.fibre), None)
        return replace(lamp, feeds=source.feeds) if source else lamp


def _detail(output: Any, detail: Any) -> Mapping[str, Any]:
    """Return a lamp's details as a map, its output in it if that is all that is said."""
    if isinstance(detail, dict) and detail:
        return detail
    return {"output": as_text(output)} if output else {}


def _outputs(detail: Mapping[str, Any]) -> list[Output]:
    """Return the outputs a lamp says."""
    said = detail.get("outputs") or [detail.get("output")]
    named = [as_text(one).partition(".") for one in said if one is not None and as_text(one) not in ("", DUMMY)]
    return [Output(board, name) for board, _, name in named]


def _number(said: Any) -> tuple[int, str]:
    """Read ``5 parallel``, ``3 series`` or a plain number."""
    number, _, joined = as_text(said).partition(" ")
    return (int(number) if number else 1), joined


def _resistor(said: Any) -> Resistor:
    """Read a resistor: ``330 ohm``, ``68 ohm shared``, or a word."""
    text = as_text(said)
    if text in ("", "none", "built-in", "unknown"):
        return Resistor(how=text)
    value = text.removesuffix(" shared")
    return Resistor(quantity(value).amount, "said", shared=value != text)
