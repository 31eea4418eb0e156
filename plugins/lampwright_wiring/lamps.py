"""Every lamp of a plan with its loads and outputs; what a lamp does not say is said for its colour, or not at all."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from lampwright.plans.model import DUMMY
from lampwright.quantities import quantity
from lampwright.rulebooks.codec import as_text
from lampwright.tables.lamps import told
from lampwright_wiring.model import BUILT, Feed, Load, Output, Resistor, WiredLamp
from lampwright_wiring.reading import amount

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables.lamps import Told
    from lampwright_wiring.kinds import LedKind
    from lampwright_wiring.model import Wiring


def wired(layout: Layout, wiring: Wiring) -> tuple[WiredLamp, ...]:
    """Return the lamps and indicators of every signal that is no dummy; ``wiring`` has the boards."""
    leds = layout.plan.values.get("leds") or {}
    return tuple(
        lamp
        for signal in layout.signals.values()
        if signal.entry.stage != DUMMY
        for lamp in _Binder(signal, wiring, leds).all()
    )


class _Binder:
    """Binds the lamps of one signal."""

    def __init__(self, signal: BoundSignal, wiring: Wiring, leds: Mapping[str, Any]) -> None:
        self.signal = signal
        self.wiring = wiring
        self.leds = leds

    def all(self) -> list[WiredLamp]:
        """Return the signal's lamps, then its indicators; those lit through fibres get the LEDs of others."""
        lamps = told(self.signal)
        found = [self._wired(one, lamps) for one in lamps]
        return [self._through_fibre(lamp, found) if lamp.fibre else lamp for lamp in found]

    def _wired(self, item: Told, others: tuple[Told, ...]) -> WiredLamp:
        """Return a lamp with its feeds."""
        entry, detail = self.signal.entry, item.detail
        polarity = as_text(detail.get("wiring")) or entry.wiring
        lamp = WiredLamp(
            signal=self.signal.name,
            names=item.names,
            colour=item.colour,
            path=item.path,
            told=item,
            many=item.many,
            indicator=item.indicator,
            content=item.content,
            said=item.said,
            fibre=as_text(detail.get("fibre")),
            dummy=detail.get("output") == DUMMY,
            pinned=bool(detail.get("pinned")),
            built=entry.stage in BUILT,
            polarity=polarity,
            level=self._level(item.colour, detail),
            detail=detail,
        )
        return lamp if lamp.fibre or lamp.dummy else replace(lamp, feeds=tuple(self._feeds(lamp, others)))

    def _feeds(self, lamp: WiredLamp, others: tuple[Told, ...]) -> Iterator[Feed]:
        """Yield one feed for each colour that is mixed, else for each output; one without if it has none yet."""
        outputs: list[Output | None] = list(_outputs(lamp.told))
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

    def _die(self, lamp: WiredLamp, colour: str, share: Fraction, own: Output | None, others: tuple[Told, ...]) -> Feed:
        """Return the feed of one colour of a mix: by its own output, or that of the same lens in that colour."""
        twin = next((one for one in others if one.names == lamp.names and one.colour == colour), None)
        detail = {**(twin.detail if twin else {}), **{key: said for key, said in lamp.detail.items() if key != "mix"}}
        load = self._load(lamp, colour, detail, share * lamp.level)
        output = own or next(iter(_outputs(twin) if twin else ()), None)
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
            counted="leds" in said,
            resistor=_resistor(said.get("resistor")),
            aim=amount((detail if "resistor" in detail else said).get("current")),
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


def _outputs(item: Told) -> list[Output]:
    """Return the outputs a lamp says."""
    named = [one.partition(".") for one in item.outputs]
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
    ohms = quantity(value).amount
    return Resistor(ohms, "said", shared=value != text) if ohms else Resistor(how="none")  # 0 ohm limits nothing
