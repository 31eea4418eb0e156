"""A check of single outputs, and of what switches for them: more current than they may carry."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.findings import Level
from lampwright.words import with_article
from lampwright_wiring.fitting import at_most, named, over_led
from lampwright_wiring.places import pointed, said
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Citation, Finding, Path
    from lampwright_wiring.model import Board, Feed, Used, WiredLamp

WORDS = {"sink": "take in", "source": "give"}


class OutputOverloaded(ElectricalCheck):
    """Finds outputs that carry more current than they may, and drivers behind them that do.

    Each output of a board stands so much, and mostly less when it gives than when it takes in. Beyond that its voltage
    falls off, lamps grow dim, and in time the output dies. An output that may give about 10 mA cannot drive a lamp at
    20 mA directly.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five, drive: source}}
        supplies: {five: {voltage: 5 V}}
        leds:
          red: {kind: red-3mm, resistor: 160 ohm}         # expect: output-overloaded "red of HF1 takes 18.8 mA"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five, drive: source, switch: npn-transistor}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 160 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: an error where typical parts are too much, a warning where only the worst corner of LED and supply is. Where
    the plan does not say which way the output drives, the larger of its limits counts.
    """

    name = "output-overloaded"
    scope = BOARD
    needs = ("voltage-out-of-range",)

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for each place that says loads which are too much for outputs of the board."""
        groups: dict[Path, list[_Over]] = {}
        for used in subject.wiring.used_of(subject.thing):
            if over := _over(subject, used):
                path = said(subject.layout, over.lamp, over.feed.load.colour, "resistor", "current", "leds", "led")
                groups.setdefault(path, []).append(over)
        for path, found in groups.items():
            yield self._overloaded(subject, path, found)

    def _overloaded(self, subject: About[Board], path: Path, found: list[_Over]) -> Finding:
        """Return the finding for the loads of one place; the worst gives the figures."""
        from lampwright_wiring import saying

        worst = max(found, key=lambda over: over.most)
        sure = worst.typical > worst.limit
        takes = f"takes {saying.amps(worst.typical)}" if sure else f"takes up to {saying.amps(worst.most)}"
        related = pointed(subject.layout, [over.lamp for over in found], path, "and this")
        return self.finding(
            f"{named([over.lamp for over in found])} {takes}, and {worst.part} may {worst.verb} "
            f"{saying.amps(worst.limit)}",
            subject.layout.spot(*path),
            related=related,
            citations=worst.why,
            tip=ways_out(subject, worst),
            level=Level.ERROR if sure else Level.WARNING,
        )


class _Over(Struct, frozen=True):
    """What is too much for one output, or for what switches for it."""

    lamp: WiredLamp
    feed: Feed
    typical: Fraction
    most: Fraction
    limit: Fraction
    part: str
    verb: str
    why: tuple[Citation, ...]


def ways_out(subject: About[Board], over: _Over) -> str:
    """Return what would help, with the figures it would give."""
    from lampwright_wiring import saying

    board, feed = subject.thing, over.feed
    ways = []
    if (resistor := at_most(subject.wiring, feed, over.limit / feed.load.strings)) and feed.draw.each:
        ways.append(resistor)
    limits = board.kind.limits if board.kind else {}
    other = "sink" if feed.draw.way == "source" else "source"
    if feed.load.switch is None and board.switch is None:
        if limits.get(other, 0) >= over.most:
            heads = "common-anode" if other == "sink" else "common-cathode"
            ways.append(f"{heads} heads on outputs that {other} may take {saying.amps(limits[other])}")
        transistor = subject.wiring.parts.switch("npn-transistor")
        if transistor is not None and transistor.limit is not None and transistor.limit >= over.most:
            control = saying.amps(transistor.control)
            ways.append(f"behind a transistor the output gives {control}, and the LEDs count on their supply")
    return "; or ".join(ways)


def _over(subject: About[Board], used: Used) -> _Over | None:
    """Return what is too much for an output; None if nothing is, or the finding is another check's."""
    from lampwright_wiring.sharing import strangers

    board = subject.thing
    if any(over_led(feed) for _, feed in used.lamps) or strangers(subject.layout, used):
        return None
    lamp, feed = used.lamps[0]
    switch = feed.load.switch or board.switch
    if switch is not None:
        total = [one.draw.total for _, one in _together(used) if one.draw.total is not None]
        if switch.limit is not None and total and sum(one.most for one in total) > switch.limit:
            return _Over(
                lamp,
                feed,
                typical=sum((one.typical for one in total), Fraction(0)),
                most=sum((one.most for one in total), Fraction(0)),
                limit=switch.limit,
                part=f"the {switch.title} at {used.output}",
                verb="carry",
                why=(switch.why("limit"),),
            )
    return _of_output(board, used)


def _of_output(board: Board, used: Used) -> _Over | None:
    """Return what is too much for the output itself."""
    lamp, feed = used.lamps[0]
    kind = board.kind
    if kind is None:
        return None
    ways = (
        [feed.draw.output_way] if feed.draw.output_way in kind.limits else [way for way in WORDS if way in kind.limits]
    )
    carried = [one.draw.at_output for _, one in _together(used) if one.draw.at_output is not None]
    most = sum((one.most for one in carried), Fraction(0))
    limit, way = max(((kind.limits[way], way) for way in ways), default=(most, ""))
    if most <= limit:
        return None
    return _Over(
        lamp,
        feed,
        typical=sum((one.typical for one in carried), Fraction(0)),
        most=most,
        limit=limit,
        part=f"{used.output} of {with_article(kind.title)}",
        verb=WORDS[way],
        why=(kind.why("limits", f"{way}s"),),
    )


def _together(used: Used) -> list[tuple[WiredLamp, Feed]]:
    """Return what on an output is lit at one time: all of it, each LED once; of an antiparallel LED one colour."""
    feeds = {feed.light: (lamp, feed) for lamp, feed in used.lamps}
    first = next(iter(feeds.values()))
    return [first] if first[1].load.both_ways else list(feeds.values())
