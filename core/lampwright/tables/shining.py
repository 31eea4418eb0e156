"""What each lamp of a signal does in a display, output by output."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.quantities import quantity
from lampwright.rulebooks.codec import as_text
from lampwright.tables.beats import beat
from lampwright.tables.lamps import told
from lampwright.tables.model import Shine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import Display
    from lampwright.tables.lamps import Told

Fed = tuple[str | None, Fraction]
"""An output of a lamp, and the share of full lightness it is set to while the lamp is lit."""


class Lamps:
    """The lamps of one signal in an order that does not depend on the file: the form's, then indicators by name."""

    def __init__(self, signal: BoundSignal) -> None:
        """Find the outputs and levels of every lamp."""
        self.signal = signal
        self.usual: Mapping[str, Any] = signal.layout.plan.values.get("leds") or {}
        self.told: tuple[Told, ...] = told(signal)
        lamps = sorted(self.told, key=self._order)
        self._fed = [(lamp, sorted(self._feeds(lamp), key=_natural)) for lamp in lamps]

    def shines(self, display: Display) -> tuple[Shine, ...]:
        """Return every lamp as it is in a display by full names."""
        return tuple(shine for lamp, feeds in self._fed for shine in self._shines(lamp, feeds, lamp.state(display)))

    def _shines(self, lamp: Told, feeds: Sequence[Fed], state: str) -> Iterator[Shine]:
        """Yield a lamp in a state, once for each of its outputs."""
        flash = beat(self.signal.rulebook, state)
        fades = as_text(lamp.detail.get("fades"))
        for output, level in feeds:
            yield Shine(lamp.label, lamp.colour, output, level if state else Fraction(0), flash, fades)

    def _feeds(self, lamp: Told) -> list[Fed]:
        """Return the outputs of a lamp with their levels; one that is not wired has none but its level."""
        lamp = self._source(lamp)
        level = self._level(lamp)
        mix = lamp.detail.get("mix") or {}
        if mix:
            return list(self._mixed(lamp, mix, level))
        outputs = lamp.outputs
        if self._turned(lamp):
            outputs = outputs[:1]
        return [(output, level) for output in outputs] or [(None, level)]

    def _mixed(self, lamp: Told, mix: Mapping[str, Any], level: Fraction) -> Iterator[Fed]:
        """Yield the outputs of the colours that are mixed: the lamp's own, or those of the same lens in that colour."""
        own = lamp.outputs
        for index, (colour, share) in enumerate(mix.items()):
            twin = next((one for one in self.told if one.names == lamp.names and one.colour == colour), None)
            outputs = own[index : index + 1] or (twin.outputs[:1] if twin else ())
            yield next(iter(outputs), None), quantity(share).amount * level

    def _turned(self, lamp: Told) -> bool:
        """Tell whether its LED stands between two outputs: in another colour the same two are the other way round."""
        back = lamp.outputs[::-1]
        return len(back) > 1 and any(
            one is not lamp and one.names == lamp.names and one.outputs == back for one in self.told
        )

    def _source(self, lamp: Told) -> Told:
        """Return the lamp whose LED lights this one: itself, or that at the other end of a fibre."""
        fibre = as_text(lamp.detail.get("fibre"))
        wanted = {fibre, self.signal.element(fibre)} - {""}
        return next((one for one in self.told if wanted & {*one.names} and "fibre" not in one.detail), lamp)

    def _level(self, lamp: Told) -> Fraction:
        """Return the lightness a lamp is set to: its own, or that of its colour, which speaks of its own LEDs only."""
        usual = None if "mix" in lamp.detail else self.usual.get(lamp.colour)
        said = lamp.detail.get("level") or (usual.get("level") if isinstance(usual, dict) else None)
        return Fraction(1) if said is None else quantity(said).amount

    def _order(self, lamp: Told) -> tuple[Any, ...]:
        """Return where a lamp comes: lamps as the form has them, what is not known of it, then indicators."""
        form = self.signal.reader
        names = list(form.lamps) if form is not None else []
        place = names.index(lamp.names[0]) if lamp.names and lamp.names[0] in names else len(names)
        return (
            bool(lamp.indicator),
            place,
            lamp.label,
            lamp.colour,
            [_natural((one, Fraction(0))) for one in lamp.outputs],
        )


def _natural(feed: Fed) -> tuple[Any, ...]:
    """Return a key by which A.2 comes before A.10."""
    return tuple(
        (not part.isdecimal(), int(part) if part.isdecimal() else part) for part in re.split(r"(\d+)", feed[0] or "")
    )
