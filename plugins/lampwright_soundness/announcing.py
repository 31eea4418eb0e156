"""Announced speeds: what one signal announces is what the next then shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.quantities import Quantity
from lampwright.rulebooks.sequence import LINE, measured
from lampwright.rulebooks.speeds import PREVIOUS, UNKNOWN, Range, faster, possible
from lampwright.words import listed
from lampwright_soundness.facts import NEXT
from lampwright_soundness.situations import explored

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.speeds import Speed
    from lampwright_soundness.facts import Fact
    from lampwright_soundness.situations import Outcome

NEXT_SPEED: Final[Fact] = ("next-route", "speed")
GOING: Final = frozenset({"proceed", "proceed-on-sight"})


class FalseAnnouncement(Check):
    """Finds an aspect that announces another speed than the next signal then shows.

    A driver brakes to what was announced. If the next signal shows less he comes too fast; if it shows more he was held
    back for nothing. The sequence says which aspect stands before which.

    Speeds that boxes show count with every figure they can have; where those are not established, any figure will do.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          expect-60: {says: {authority: proceed, speed-next: 60 km/h}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
        order: [[danger, expect-60, slow]]
        forms:
          three-aspect:
            role: stop
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, expect-60: yellow, slow: green}   # expect: false-announcement "announces 60 km/h"
        sequence:
          - {when: {route: {speed: {below: line}}}, show: slow}
          - {when: {next: {authority: [stop, proceed]}}, show: expect-60}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          expect-40: {says: {authority: proceed, speed-next: 40 km/h}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
        order: [[danger, expect-40, slow]]
        forms:
          three-aspect:
            role: stop
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, expect-40: yellow, slow: green}
        sequence:
          - {when: {route: {speed: {below: line}}}, show: slow}
          - {when: {next: {authority: [stop, proceed]}}, show: expect-40}

    Limits: an aspect that announces no speed is not asked for one, nor is one that says no speed asked which it means.
    An announcement that keeps a driver braking (`hold-braking`) may be followed by less. A lower speed than need be is
    a warning, and none where the form has no better aspect.
    """

    name = "false-announcement"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare each aspect that a rule asks for with the one ahead."""
        told: set[tuple[str, str]] = set()
        for made, outcomes in explored(subject):
            for outcome in outcomes or ():
                for aspect in dict.fromkeys(outcome.asks[:1] if made.forms else ()) if outcome.path else ():
                    pair = (aspect, str(outcome.facts.get(NEXT)))
                    if pair not in told and (finding := self._compared(subject, outcome, *pair)):
                        told.add(pair)
                        yield finding

    def _compared(self, subject: Rulebook, outcome: Outcome, here: str, ahead: str) -> Finding | None:
        """Return what is wrong with an aspect before another, if anything is."""
        announced, shown = _announced(subject, here), _shown(subject, ahead, outcome)
        wrong = [speed for speed in shown if not announced.holds(speed)] if announced else []
        if announced is None or not wrong:
            return None
        too_fast = [speed for speed in wrong if all(faster(item, speed) for item in announced.speeds)]
        if too_fast and subject.aspects[here].says.get("hold-braking"):
            return None
        spot = subject.spot("aspects", here, "says", "speed-next")
        message = (
            f"{here} announces {_listed(announced.speeds)}, and stands before {ahead}, which shows {_listed(wrong)}"
        )
        related = [
            subject.spot("aspects", ahead, "says", "speed-now", label=ahead),
            subject.spot(*outcome.path, label="this rule puts the one before the other"),
        ]
        return self.finding(message, spot, related=related, level=None if too_fast else Level.WARNING)


def _announced(rulebook: Rulebook, aspect: str) -> Range | None:
    """Return the speeds an aspect can announce; None if it announces none, or does not say which."""
    said = rulebook.aspects[aspect].says.get("speed-next")
    found = possible(rulebook, said) if said is not None else None
    return None if found is None or not found.speeds or {UNKNOWN, PREVIOUS} & _words(found) else found


def _shown(rulebook: Rulebook, aspect: str, outcome: Outcome) -> list[Speed]:
    """Return the speeds that the aspect ahead may show, by the speed of the route from there if that is known.

    None if that may be any.
    """
    says: Any = rulebook.aspects[aspect].says if aspect in rulebook.aspects else {}
    if says.get("authority") not in GOING or "speed-now" not in says:
        return []
    found = possible(rulebook, says["speed-now"])
    if found.open or {UNKNOWN, PREVIOUS} & _words(found):
        return []
    limit = outcome.facts.get(NEXT_SPEED)
    if limit is None or limit == LINE:
        return list(found.speeds) if limit is None or LINE not in found.speeds else [LINE]
    allowed = measured(rulebook, limit, {})
    within = [speed for speed in found.speeds if isinstance(speed, Quantity) and allowed and not faster(speed, allowed)]
    return [max(within, key=lambda speed: speed.amount)] if within else []


def _words(found: Range) -> set[str]:
    """Return the words among speeds."""
    return {speed for speed in found.speeds if isinstance(speed, str)}


def _listed(speeds: tuple[Speed, ...] | list[Speed]) -> str:
    """Name speeds in a sentence."""
    return listed(["line speed" if speed == LINE else str(speed) for speed in dict.fromkeys(speeds)], "or")
