"""The order of restriction: no circle in it, and decided wherever a fault turns one aspect into another."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks.failing import answer, failings, verdict
from lampwright.rulebooks.order import Verdict
from lampwright_soundness.reading import clause, readers, shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.failing import Failing


class CircularOrder(Check):
    """Finds aspects that the order of restriction makes freer than themselves.

    Each chain goes from the most restrictive aspect to the freest. Two chains that disagree about a pair make both
    aspects freer than each other; then no failure of a lamp can be called dangerous or harmless.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order:
          - [danger, caution, clear]
          - [clear, caution]             # expect: circular-order "caution, clear, caution"
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}

    Limits: one shortest circle is told of each set of aspects that are in circles together.
    """

    name = "circular-order"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Follow the chains until they close."""
        steps = _steps(subject)
        told: set[str] = set()
        for aspect in subject.order.circle():
            if aspect not in told:
                circle = _shortest(aspect, steps)
                told |= {other for other in subject.order.circle() if other in subject.order.freer(aspect)}
                spots = [
                    subject.spot(*steps[one, other], label=f"{other} is freer than {one}")
                    for one, other in pairwise(circle)
                ]
                yield self.finding(
                    f"the order of restriction goes in a circle: {', '.join(circle)}", spots[-1], related=spots[:-1]
                )


class OrderedIncomparable(Check):
    """Finds two aspects that are called incomparable although a chain orders them.

    Of two aspects that cannot be compared neither is the more restrictive. If chains say which is, one of the two
    statements is wrong; the chains count.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        incomparable:
          - {pair: [danger, clear], because: one is red}         # expect: ordered-incomparable "danger and clear"
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
          warning: {says: {authority: proceed, stop-at: next}}
        order: [[danger, slow], [danger, warning]]
        incomparable:
          - {pair: [slow, warning], because: one tells of speed and one of a stop}
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, slow: yellow, warning: green}

    Limits: whether the reason given is a good one is for people to judge.
    """

    name = "ordered-incomparable"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare the pairs with the chains."""
        for number, item in enumerate(subject.incomparable):
            one, other = item.pair
            if other in subject.order.freer(one) or one in subject.order.freer(other):
                freer, tighter = (other, one) if other in subject.order.freer(one) else (one, other)
                message = f"{one} and {other} are called incomparable, and the order makes {freer} freer than {tighter}"
                yield self.finding(message, subject.spot("incomparable", number, "pair"))


class UndecidedOrder(Check):
    """Finds two aspects that a fault turns into each other, and of which nothing says which is the freer.

    A lamp fails, and a driver reads another aspect: that is harmless if the other one lets him do no more. A rulebook
    must decide it for each such pair, in a chain of `order` or, with the reason, as `incomparable`; of pairs that no
    fault joins nothing need be said.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution], [danger, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows:
              danger: red
              caution: yellow
              clear: [green, yellow]     # expect: undecided-order "clear or caution"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows:
              danger: red
              caution: yellow
              clear: [green, yellow]

    Limits: single faults of displays that read as themselves: a lamp, box or plate lost, a flasher stuck steady. A
    fault that the form's `faults` answer asks nothing of the order.
    """

    name = "undecided-order"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Let every single thing fail, and ask the order."""
        told: set[frozenset[str]] = set()
        for form, when in readers(subject):
            for failing in failings(form):
                found, read = verdict(form, failing.meaning.aspect, failing.reading)
                pair = frozenset((failing.meaning.aspect, read))
                if found is Verdict.UNSAID and pair not in told and answer(form, failing) is None:
                    told.add(pair)
                    yield self._finding(form, when, failing, read)

    def _finding(self, form: FormReader, when: str, failing: Failing, read: str) -> Finding:
        aspect = failing.meaning.aspect
        message = clause(f"nothing says whether {aspect} or {read} is the freer, and a fault makes one the other", when)
        doubt = "" if read in failing.reading.aspects else ", in doubt,"
        because = f"{form.name} at {aspect} with {failing} is read{doubt} as {read}"
        tip = "put both into a chain of `order`, or name the pair under `incomparable` with the reason"
        return self.finding(message, shown_at(form, failing.meaning), because=because, tip=tip)


def _steps(rulebook: Rulebook) -> dict[tuple[str, str], Path]:
    """Return every step of the chains, from an aspect to the next freer one, and where it is written."""
    found: dict[tuple[str, str], Path] = {}
    for row, chain in enumerate(rulebook.chains):
        for column, (one, other) in enumerate(pairwise(chain)):
            found.setdefault((one, other), ("order", row, column + 1))
    return found


def _shortest(aspect: str, steps: dict[tuple[str, str], Path]) -> list[str]:
    """Return the shortest way from an aspect back to itself."""
    ways = [[aspect]]
    for way in ways:
        for one, other in steps:
            if one == way[-1]:
                if other == aspect:
                    return [*way, other]
                if other not in way:
                    ways.append([*way, other])
    return [aspect, aspect]
