"""What it takes to stop: by the plan's own trains if they were measured, else by the rulebook's rate of braking."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.rulebooks.codec import as_text
from lampwright.working.measures import Length, Yardstick, read
from lampwright.working.parameters import parameter
from lampwright_working.braking import measured_distance, stopping_distance
from lampwright_working.units import number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Citation, Spot
    from lampwright.layout import Layout

ANY_KIND = ""
"""Stands for all trains that have no speed of their own on a line."""
RATE = "deceleration"


class Stop(Struct, frozen=True):
    """What it takes to stop from a speed: ``metres`` in the measure of the ``Brakes`` it came from."""

    speed: Fraction
    metres: Fraction
    how: str
    citation: Citation | None = None
    spots: tuple[Spot, ...] = ()

    @property
    def term(self) -> tuple[str, Citation | None]:
        """How it is known, and by whom."""
        return self.how, self.citation


class Train(Struct, frozen=True):
    """A train of the plan whose stopping is known.

    ``stops`` holds distances on the layout by speeds of the prototype; ``rate`` is on the layout too, in model metres
    per second squared and scaled speeds, where nothing was measured.
    """

    name: str
    kind: str
    limit: Fraction | None
    stops: Mapping[Fraction, Fraction]
    written: Mapping[Fraction, str]
    rate: Fraction | None

    def stop(self, speed: Fraction) -> tuple[Fraction, str]:
        """Return how far it runs on the layout from a speed, in metres, and how that is known."""
        if self.stops:
            nearest = min(self.stops, key=lambda known: (known < speed, abs(known - speed)))
            told = "measured" if nearest == speed else f"worked out from {self.written[nearest]}"
            return measured_distance(self.stops, speed), f"{self.name}, {told}"
        found = stopping_distance(speed, self.rate) if self.rate else None
        return found or Fraction(0), f"{self.name}, by its rate of braking"


class Brakes:
    """How trains stop on a layout, and in what measure that is compared with its track.

    With trains of its own that were measured it is metres of the layout: they stop where they stop, whatever the
    track stands for. Otherwise it is metres of the prototype, and the plan must say what its track stands for.
    """

    def __init__(self, layout: Layout) -> None:
        """Gather what the plan and its rulebook say."""
        self.layout = layout
        self.yard = Yardstick.of(layout)
        self.trains = tuple(_trains(layout, self.yard))
        self.rate = parameter(layout, RATE, "acceleration")

    @classmethod
    def of(cls, layout: Layout) -> Brakes:
        """Return the brakes of a layout, gathered once."""
        if "brakes" not in layout.cache:
            layout.cache["brakes"] = cls(layout)
        found: Brakes = layout.cache["brakes"]
        return found

    @property
    def own(self) -> bool:
        """Tell whether the plan's own trains are the measure."""
        return bool(self.trains)

    def measure(self, length: Length) -> Fraction | None:
        """Return a length in the measure that stopping distances have; None if it is not known."""
        return length.model if self.own else length.stands

    def pace(self, speed: Fraction) -> Fraction | None:
        """Return a speed of the prototype as metres of the measure in a second; None if the scale is not known."""
        if not self.own:
            return speed
        return speed / self.yard.scale.ratio if self.yard.scale else None

    def length(self, metres: Fraction) -> Length:
        """Return an amount of the measure as a length; what the plan's own trains need is a matter of the layout."""
        return Length(metres, None, None) if self.own else self.yard.standing(metres)

    def stops(self, speeds: Mapping[str, Fraction], slope: Fraction = Fraction(0)) -> tuple[Stop, ...]:
        """Return what it takes to stop from the speeds that kinds of train have at a place.

        The first counts; the others are what disagreeing sources have instead. Nothing if no speed or rate is known.
        """
        if self.own:
            return tuple(self._worst(speeds))
        return tuple(self.by_rate(speeds[ANY_KIND], slope)) if ANY_KIND in speeds else ()

    def _worst(self, speeds: Mapping[str, Fraction]) -> Iterator[Stop]:
        """Yield the longest stop of the plan's own trains, each at the speed it may run."""
        found = []
        for train in self.trains:
            allowed = speeds.get(train.kind, speeds.get(ANY_KIND))
            limits = [limit for limit in (allowed, train.limit) if limit is not None]
            if limits:
                metres, how = train.stop(min(limits))
                spot = self.layout.spot("trains", train.name, label="the train that runs farthest", on_key=True)
                found.append(Stop(min(limits), metres, how, None, (spot,)))
        yield from sorted(found, key=lambda stop: -stop.metres)[:1]

    def by_rate(self, speed: Fraction, slope: Fraction = Fraction(0)) -> Iterator[Stop]:
        """Yield the stop in metres of the prototype by the rate that counts, then by the rates of other sources.

        Nothing if no rate is known, or it stops nobody.
        """
        steep = f" on a gradient of {number(slope * 100, 1)} %" if slope else ""
        for said in (self.rate.own, *self.rate.others) if self.rate else ():
            metres = stopping_distance(speed, said.value, slope)
            if metres is None:
                return
            spots = (self.rate.spot,) if self.rate else ()
            yield Stop(speed, metres, f"braking at {said.text}{steep}", said.citation, spots)


def _trains(layout: Layout, yard: Yardstick) -> Iterator[Train]:
    """Yield the trains of a plan whose stopping is known."""
    for name, said in (layout.plan.values.get("trains") or {}).items():
        written = dict(_stops(said or {}, yard))
        stops = {speed: metres for speed, (metres, _) in written.items()}
        rate = _rate(said or {}, yard)
        if stops or rate:
            limit = yard.speed(said.get("speed"))
            texts = {speed: text for speed, (_, text) in written.items()}
            yield Train(name, as_text(said.get("kind")), limit, stops, texts, rate)


def _stops(said: Mapping[str, Any], yard: Yardstick) -> Iterator[tuple[Fraction, tuple[Fraction, str]]]:
    """Yield the measured distances on the layout, by speed of the prototype."""
    for speed, length in (said.get("stops") or {}).items():
        scaled, metres = yard.speed(speed), yard.length(length).model
        if scaled is not None and metres is not None:
            yield scaled, (metres, speed)


def _rate(said: Mapping[str, Any], yard: Yardstick) -> Fraction | None:
    """Return the rate that turns scaled speeds into metres of the layout.

    A train that brakes at ``rate`` to scale runs speed squared over twice the rate to scale, so on the layout that
    divided by the scale: compression has no part in it.
    """
    found = read(said.get("braking"), "acceleration")
    if found is None or yard.scale is None or found.amount <= 0:
        return None
    ratio = yard.scale.ratio
    return found.amount * ratio * ratio if found.frame == "model" else found.amount * ratio
