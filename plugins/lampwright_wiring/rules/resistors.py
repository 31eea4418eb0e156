"""Checks of resistors: missing, too small, too weak, shared, unknown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN
from lampwright.findings import Basis, Citation, Level
from lampwright.words import with_article
from lampwright_wiring.fitting import USUAL, at_most, by_place, fitting, heat, named, over_led
from lampwright_wiring.places import pointed
from lampwright_wiring.scopes import ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.layout import Layout
    from lampwright_wiring.model import Feed, Wiring

RATING = ("stock", "rating")
"""Where a plan says what its resistors stand."""
HOGGING = Citation("LEDs of one kind differ in forward voltage, and the lowest takes most", Basis.COMMON_PRACTICE)
LIMITER = Citation("an LED has no limit of its own to its current", Basis.COMMON_PRACTICE)


class MissingResistor(ElectricalCheck):
    """Finds an LED without anything that limits its current.

    An LED takes whatever it is given: a little more voltage than it needs is many times the current, and it is gone
    within moments, or takes the output with it. A resistor, or a board that sets the current, has to stand before it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: none}}      # expect: missing-resistor "red of HF1 has no resistor"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 330 ohm}, green: {kind: traffic-green-3mm, current: 5 mA}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: an error where the plan says `none`; a warning where it names the kind of LED and neither a resistor nor the
    `current` for which one is to be chosen. What is said of a colour is told once for all its lamps.
    """

    name = "missing-resistor"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that leaves LEDs without a resistor."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        for path, found in by_place(subject, wiring, lambda feed: _bare(wiring, feed) != "").items():
            lamps = [lamp for lamp, _ in found]
            feed = found[0][1]
            stated = _bare(wiring, feed) == "none"
            related = pointed(subject, lamps, path, "lit by such an LED")
            yield self.finding(
                f"{named(lamps)} has no resistor" + ("" if stated else " said, and no current to choose one for"),
                subject.spot(*path),
                related=related,
                citations=(LIMITER,),
                tip=fitting(wiring, feed, feed.load.aim or USUAL),
                level=Level.ERROR if stated else Level.WARNING,
            )


class ResistorTooSmall(ElectricalCheck):
    """Finds LEDs that get more current than they stand.

    Too small a resistor lets more through than the LED is rated for. It lights, grows hot, and dims for good. What
    counts is the worst corner: the supply at its highest, the LED's forward voltage at its lowest.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: twelve}}
        supplies: {twelve: {voltage: 12 V}}
        leds: {red: {kind: red-3mm, resistor: 220 ohm}}   # expect: resistor-too-small "red of HF1 takes 41.1 mA"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: twelve}}
        supplies: {twelve: {voltage: 12 V}}
        leds: {red: {kind: red-3mm, resistor: 1 kohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: a warning where only the worst corner is too much. The tolerance of the resistor itself is not counted.
    """

    name = "resistor-too-small"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that lets too much through."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        for path, found in by_place(subject, wiring, over_led).items():
            lamps = [lamp for lamp, _ in found]
            feed = max((one for _, one in found), key=lambda one: one.draw.each.most if one.draw.each else 0)
            led, each = feed.load.led, feed.draw.each
            assert led is not None  # noqa: S101  (over_led has looked)
            assert each is not None  # noqa: S101
            assert led.limit is not None  # noqa: S101
            sure = each.typical > led.limit
            takes = f"takes {saying.amps(each.typical)}" if sure else f"takes up to {saying.amps(each.most)}"
            related = pointed(subject, lamps, path, "lit by such an LED")
            yield self.finding(
                f"{named(lamps)} {takes}, and {with_article(led.title)} LED stands {saying.amps(led.limit)}",
                subject.spot(*path),
                related=(*related, led.spot("limit", label="what it stands")),
                citations=(led.why("limit"), led.why("vf", "typical" if sure else "min")),
                tip=at_most(wiring, feed, led.limit),
                level=Level.ERROR if sure else Level.WARNING,
            )


class ResistorTooWeak(ElectricalCheck):
    """Finds resistors that get hotter than they are made for.

    A resistor turns what it takes off the voltage into heat, I x I x R. One that is rated for less than twice that runs
    too hot to touch, and browns the board it stands on; in a closed signal box it is worse.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: twelve}}
        supplies: {twelve: {voltage: 12 V}}
        stock: {rating: 0.125 W}
        leds: {red: {kind: red-3mm, resistor: 680 ohm}}    # expect: resistor-too-weak "gets rid of 0.133 W"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: twelve}}
        supplies: {twelve: {voltage: 12 V}}
        stock: {rating: 0.5 W}
        leds: {red: {kind: red-3mm, resistor: 680 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: counts the worst corner, and a lamp that stays lit. Where the plan does not say what its resistors stand
    (`rating` of `stock`), they are taken for 0.25 W.
    """

    name = "resistor-too-weak"
    level = Level.WARNING
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place whose resistors get too hot."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind
        from lampwright_wiring.reading import amount

        wiring = bind(subject)
        usual = wiring.parts.resistors
        stated = amount((subject.plan.values.get("stock") or {}).get("rating"))
        rating = stated or (usual.rating if usual else None)
        if usual is None or rating is None:
            return
        hot = by_place(subject, wiring, lambda feed: not over_led(feed) and heat(feed) * usual.derating > rating)
        places: dict[Path, Path] = (
            dict.fromkeys(hot, RATING) if stated and len(hot) > 1 else {path: path for path in hot}
        )
        for place in dict.fromkeys(places.values()):
            found = [pair for path, pairs in hot.items() if places[path] == place for pair in pairs]
            lamps = [lamp for lamp, _ in found]
            warmest = max(heat(feed) for _, feed in found)
            related = pointed(subject, lamps, place, "such a resistor")
            yield self.finding(
                f"the resistor of {named(lamps)} gets rid of {saying.watts(warmest)}, and one for "
                f"{saying.watts(rating)} should get no more than {saying.watts(rating / usual.derating)}",
                subject.spot(*place),
                related=related,
                citations=(usual.why("derating"), *(() if stated else (usual.why("rating"),))),
                tip=f"resistors for {saying.watts(warmest * usual.derating)} or more, or less current",
            )


class SharedResistor(ElectricalCheck):
    """Finds LEDs in parallel that have one resistor together.

    LEDs of one kind differ in the voltage they need. Side by side on one resistor the one that needs least takes most
    of the current and is brightest; when it fails the others get its share.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {white: warm-white-3mm}
        signals:
          HF1:
            form: three-aspect
            carries:
              position-1:
                output: A.0
                leds: 5 parallel
                resistor: 180 ohm shared          # expect: shared-resistor "5 LEDs of position-1 of HF1"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {white: {kind: warm-white-3mm, resistor: 1 kohm}}
        signals:
          HF1: {form: three-aspect, carries: {position-1: {output: A.0, leds: 5 parallel}}}

    Limits: a warning: with LEDs of one batch at small currents it is often seen to work.
    """

    name = "shared-resistor"
    level = Level.WARNING
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that says a shared resistor."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        shared = by_place(subject, wiring, lambda feed: feed.load.resistor.shared and feed.load.strings > 1)
        for path, found in shared.items():
            load, lamps = found[0][1].load, [lamp for lamp, _ in found]
            related = pointed(subject, lamps, path, "and this")
            each = load.resistor.ohms * load.strings if load.resistor.ohms is not None else None
            yield self.finding(
                f"the {load.strings} LEDs of {named(lamps)} share one resistor, and not its current evenly",
                subject.spot(*path),
                related=related,
                citations=(HOGGING,),
                tip=f"one of {saying.ohms(each)} for each LED gives the same light" if each else "one for each LED",
            )


class UnknownResistor(ElectricalCheck):
    """Tells of LEDs of which it is not known whether they have a resistor.

    LEDs are sold with leads and a resistor in the sleeve, or with leads alone, and look the same. Without one, the
    first connection to the supply is the last.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {white: white-chip-wired}      # expect: unknown-resistor "position-1 of HF1"
        signals:
          HF1: {form: three-aspect, carries: {position-1: {output: A.0, leds: 5 parallel}}}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {white: {kind: white-chip-wired, current: 4 mA}}
        signals:
          HF1: {form: three-aspect, carries: {position-1: {output: A.0, leds: 5 parallel}}}

    Limits: a note. A `current` is taken as measured, and ends it.
    """

    name = "unknown-resistor"
    level = Level.NOTE
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a note for each place that leaves it open."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        open_ = by_place(subject, wiring, lambda feed: feed.draw.resistor.how == "unknown" and feed.load.aim is None)
        for path, found in open_.items():
            lamps = [lamp for lamp, _ in found]
            related = pointed(subject, lamps, path, "lit by such an LED")
            yield self.finding(
                f"whether the LED of {named(lamps)} has a resistor is not known, nor what it takes",
                subject.spot(*path),
                related=related,
                tip="measure it behind 1 kohm, and say its `current` and `resistor`",
            )


def _bare(wiring: Wiring, feed: Feed) -> str:
    """Return ``none`` if an LED is said to have no resistor and nothing else limits it, ``unsaid`` if none is said."""
    board = wiring.boards.get(feed.output.board) if feed.output else None
    kind = board.kind if board else None
    if board is None or board.ohms or (kind is not None and kind.constant_current is not None):
        return ""
    if feed.load.led is not None and feed.load.led.resistor:
        return ""
    if feed.draw.resistor.how == "none":
        return "none"
    return "unsaid" if feed.draw.resistor.how == "" and feed.load.led is not None and feed.load.aim is None else ""
