"""Displays the modeller has defined, compared with what a driver would make of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.words import listed
from lampwright_signals.displaying import (
    NAMES_FIRST,
    about,
    display_spot,
    exchanged,
    form_of,
    lit,
    read_as,
    wanted,
)
from lampwright_signals.judging import Verdict, found
from lampwright_signals.saying import form_spot, seen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal


class ImpossibleCombination(Check):
    """Finds a display in ``shows`` that is no aspect of the form: nobody could say what it tells.

    On the prototype a driver who meets such a signal takes it for its most restrictive aspect and reports it. On the
    model it is mostly a lamp too many in a list, or one too few. What is legal is computed from the rulebook's
    displays: ``lampwright rulebooks gb-colour-light --form four-aspect --displays`` lists every combination.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows:
              danger: red
              clear: [green, red]        # expect: impossible-combination "shows green and red together for clear"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows: {danger: red, clear: green}

    Limits: what a display says of another part of the post is judged too, but a part it does not name is not.
    """

    name = "impossible-combination"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that cannot be read."""
        for one in found(subject, Verdict.IMPOSSIBLE):
            together = " together" if len(one.lamps) > 1 else ""
            shown = f"{lit(one)}{together} for {one.shown.aspect}"
            yield about(self, one, f"{subject.name} shows {shown}, which is no aspect of {form_of(one)}")


class DisplayOfAnotherAspect(Check):
    """Finds a display in ``shows`` that is right for an aspect, but not for the one it stands under.

    The signal would light up properly and lie. Two aspects that have each other's display are one finding.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows:
              danger: red
              caution: green             # expect: display-of-another-aspect "each with the other's display"
              clear: yellow

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows: {danger: red, caution: yellow, clear: green}

    Limits: a display that is shown for two aspects of one signal is reported by same-display-twice.
    """

    name = "display-of-another-aspect"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that reads as another aspect."""
        others = list(found(subject, Verdict.ANOTHER))
        for one in others:
            partner = next((other for other in others if exchanged(one, other)), None)
            if partner is None:
                yield about(
                    self, one, f"{subject.name} shows {lit(one)} for {one.shown.aspect}, and that is {read_as(one)}"
                )
            elif others.index(one) < others.index(partner):
                both = f"{one.shown.aspect} and {partner.shown.aspect}"
                message = f"{subject.name} shows {both} each with the other's display"
                yield about(
                    self, one, message, also=(display_spot(partner, "and this is the other"),), tip="exchange the two"
                )


class SameDisplayTwice(Check):
    """Finds two aspects in one signal's ``shows`` that look the same.

    A driver can only read one of them; the other can never be told.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows:
              danger: red
              caution: yellow
              clear: yellow              # expect: same-display-twice "clear and caution alike"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows: {danger: red, caution: yellow, clear: green}

    Limits: two aspects that share a display which is neither's are reported each by itself.
    """

    name = "same-display-twice"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that another aspect of the signal has by right."""
        for one in found(subject, Verdict.TWICE):
            message = f"{subject.name} shows {one.shown.aspect} and {one.twin} alike: {lit(one)}"
            yield about(self, one, message, also=(subject.spot("shows", one.twin, label=f"{one.twin} by right"),))


class DisplayOfAFault(Check):
    """Finds a display in ``shows`` that a driver reads as meant, but that only a failed lamp leaves.

    A single yellow of a four-aspect signal is the lower one. The upper one alone is still taken for caution, as when
    the lower one has failed, but nobody wires it so.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            shows:
              danger: red
              caution: upper-yellow      # expect: display-of-a-fault "upper-yellow for caution"
              preliminary-caution: [upper-yellow, lower-yellow]
              clear: green

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            shows:
              danger: red
              caution: lower-yellow
              preliminary-caution: [upper-yellow, lower-yellow]
              clear: green

    Limits: it needs a rulebook that says how a display with a lamp lost is read.
    """

    name = "display-of-a-fault"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that is read as meant, and never commanded."""
        for one in found(subject, Verdict.OF_A_FAULT):
            message = (
                f"{subject.name} shows {lit(one)} for {one.shown.aspect}, which is what a failed lamp leaves of it"
            )
            yield about(self, one, message)


class NothingLit(Check):
    """Finds an aspect in ``shows`` that lights nothing, where the rulebook has no dark display for it.

    A dark signal is a failed one, and is obeyed at its most restrictive.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows:
              danger: dark               # expect: nothing-lit "lights nothing for danger"
              clear: green

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect-with-position-light
            shows:
              danger: main.red
              caution: main.lower-yellow
              preliminary-caution: [main.upper-yellow, main.lower-yellow]
              clear: main.green
              unlit: dark
              shunt-proceed: [subsidiary.upper, subsidiary.lower]

    Limits: on a post with parts, what counts is the part that has the aspect.
    """

    name = "nothing-lit"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display in which nothing is lit."""
        for one in found(subject, Verdict.NOTHING_LIT):
            where = f" of its {one.part}" if one.part else ""
            yield about(self, one, f"{subject.name} lights nothing{where} for {one.shown.aspect}")


class FlashingSteadyAspect(Check):
    """Finds lamps in ``shows`` that flash where the aspect has them steady, or are steady where they must flash.

    Flashing is part of what is said: the same lamps steady and flashing are two aspects, or one is none.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows:
              danger: {red: flash}       # expect: flashing-steady-aspect "red flashing for danger"
              clear: green

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows: {danger: red, clear: green}

    Limits: where both exist, as with yellow, the slip is a display-of-another-aspect.
    """

    name = "flashing-steady-aspect"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that differs in flashing alone."""
        for one in found(subject, Verdict.FLASH):
            only = f"which {form_of(one)} shows only as {wanted(one)}"
            yield about(self, one, f"{subject.name} shows {lit(one)} for {one.shown.aspect}, {only}")


class ContradictingParts(Check):
    """Finds a display in ``shows`` of a post with several parts that its parts could never show together.

    A position light says proceed at caution only while the main signal above it stands at danger.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop-with-position-light
            shows:
              danger: red
              clear: green
              shunt-proceed: [upper, lower, green]       # expect: contradicting-parts "main must show danger"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop-with-position-light
            shows:
              danger: red
              clear: green
              shunt-proceed: [upper, lower, red]

    Limits: only what the parts alone decide; a coupling that asks for the route is left to checks of the working.
    """

    name = "contradicting-parts"
    scope = that_say("shows")
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that a coupling of the form forbids."""
        for one in found(subject, Verdict.COUPLING):
            if one.breach is None or subject.rulebook is None:
                continue
            path = ("forms", subject.form_name, "coupling", one.breach.number)
            must = "be dark" if one.breach.state == "dark" else f"show {one.breach.state}"
            shown = listed(seen({name: state for name, state in one.display.items() if state != "dark"}))
            yield self.finding(
                f"{subject.name} shows {shown} for {one.shown.aspect}, where {one.breach.element} must {must}",
                display_spot(one),
                related=(*form_spot(subject), subject.rulebook.spot(*path, label="what the parts force on each other")),
                citations=(subject.rulebook.why(*path),),
                tip=f"let {one.breach.element} {must}, or leave it out: it then follows the rulebook",
            )
