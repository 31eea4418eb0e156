"""Displays the modeller has defined, compared with what a driver would make of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check
from lampwright.rulebooks.displays import Kind
from lampwright.words import listed
from lampwright_signals.judging import Judged, Verdict, found
from lampwright_signals.saying import form_spot, kind, seen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Citation, Finding, Spot
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import Display

NAMES_FIRST = ("unknown-form", "unknown-aspect", "aspect-beyond-form", "unknown-lamp", "unknown-state")


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that cannot be read."""
        for one in found(subject, Verdict.IMPOSSIBLE):
            together = " together" if len(one.lamps) > 1 else ""
            message = (
                f"{subject.name} shows {_lit(one)}{together} for {one.shown.aspect}, which is no aspect of {_of(one)}"
            )
            yield _about(self, one, message)


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that reads as another aspect."""
        others = list(found(subject, Verdict.ANOTHER))
        for one in others:
            partner = next((other for other in others if _exchanged(one, other)), None)
            if partner is None:
                yield _about(
                    self, one, f"{subject.name} shows {_lit(one)} for {one.shown.aspect}, and that is {_read(one)}"
                )
            elif others.index(one) < others.index(partner):
                both = f"{one.shown.aspect} and {partner.shown.aspect}"
                message = f"{subject.name} shows {both} each with the other's display"
                yield _about(
                    self, one, message, also=(_spot(partner, "and this is the other"),), tip="exchange the two"
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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that another aspect of the signal has by right."""
        for one in found(subject, Verdict.TWICE):
            message = f"{subject.name} shows {one.shown.aspect} and {one.twin} alike: {_lit(one)}"
            yield _about(self, one, message, also=(subject.spot("shows", one.twin, label=f"{one.twin} by right"),))


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that is read as meant, and never commanded."""
        for one in found(subject, Verdict.OF_A_FAULT):
            message = (
                f"{subject.name} shows {_lit(one)} for {one.shown.aspect}, which is what a failed lamp leaves of it"
            )
            yield _about(self, one, message)


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display in which nothing is lit."""
        for one in found(subject, Verdict.NOTHING_LIT):
            where = f" of its {one.part}" if one.part else ""
            yield _about(self, one, f"{subject.name} lights nothing{where} for {one.shown.aspect}")


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that differs in flashing alone."""
        for one in found(subject, Verdict.FLASH):
            only = f"which {_of(one)} shows only as {_wanted(one)}"
            yield _about(self, one, f"{subject.name} shows {_lit(one)} for {one.shown.aspect}, {only}")


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
    needs = NAMES_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each display that a coupling of the form forbids."""
        for one in found(subject, Verdict.COUPLING):
            if one.breach is None or subject.rulebook is None:
                continue
            path = ("forms", subject.form_name, "coupling", one.breach.number)
            must = "be dark" if one.breach.state == "dark" else f"show {one.breach.state}"
            lit = listed(seen({name: state for name, state in one.display.items() if state != "dark"}))
            yield self.finding(
                f"{subject.name} shows {lit} for {one.shown.aspect}, where {one.breach.element} must {must}",
                _spot(one),
                related=(*form_spot(subject), subject.rulebook.spot(*path, label="what the parts force on each other")),
                citations=(subject.rulebook.why(*path),),
                tip=f"let {one.breach.element} {must}, or leave it out: it then follows the rulebook",
            )


def _about(check: Check, one: Judged, message: str, *, also: tuple[Spot, ...] = (), tip: str = "") -> Finding:
    """Return a finding on a display, beside the form and the rulebook's own display of the aspect."""
    related = (*also, *form_spot(one.signal))
    citations: tuple[Citation, ...] = ()
    if one.form is not None:
        rulebook = one.form.rulebook
        path = next((item.path for item in one.form.meanings if item.aspect == one.aspect and item.commanded), None)
        if path is not None:
            related += (rulebook.spot(*path, label=f"the rulebook's {one.aspect}"),)
            citations = (rulebook.why(*path),)
    return check.finding(message, _spot(one), related=related, citations=citations, tip=tip or _instead(one))


def _spot(one: Judged, label: str = "") -> Spot:
    """Return where the plan has a display, with what a driver would make of it."""
    return one.signal.spot("shows", one.shown.aspect, label=label or _taken_for(one))


def _taken_for(one: Judged) -> str:
    """Say what a driver would make of a display."""
    if one.reading is None or one.verdict is Verdict.COUPLING:
        return ""
    if one.reading.aspect:
        return f"a driver reads {one.reading.aspect}"
    if len(one.reading.aspects) > 1:
        return f"a driver may read {listed(one.reading.aspects, 'or')}"
    if one.reading.kind is Kind.REST:
        return "this is how it stands when nothing is asked of it"
    return f"a driver would take this for {one.reading.in_doubt}" if one.reading.in_doubt else "no driver can read this"


def _read(one: Judged) -> str:
    """Return what a display is read as."""
    aspects = one.reading.aspects if one.reading else ()
    return listed(aspects, "or")


def _lit(one: Judged) -> str:
    """Return the lamps that are lit, as they look."""
    return listed(seen(one.lamps))


def _wanted(one: Judged) -> str:
    """Return what the rulebook lights for the aspect, flashing or steady."""
    looks = (f"{look} steady" if "flash" not in look else look for look in _look(one.wanted))
    return listed(looks)


def _look(display: Display) -> list[str]:
    """Return the elements of a display as they look; a lamp that merely is lit says so only by flashing elsewhere."""
    return seen({name: state for name, state in display.items() if state not in ("dark", "absent")})


def _instead(one: Judged) -> str:
    """Return what would have been right."""
    if one.form is None or one.aspect not in one.form.gives:
        return ""
    lights = _look(one.wanted)
    if not lights:
        return "light nothing"
    return f"light {lights[0]} alone" if len(lights) == 1 else f"light {listed(lights)}, and nothing else"


def _exchanged(one: Judged, other: Judged) -> bool:
    """Tell whether two aspects have each other's display."""
    if one.part != other.part or one.reading is None or other.reading is None:
        return False
    return one.reading.aspect == other.aspect and other.reading.aspect == one.aspect


def _of(one: Judged) -> str:
    """Return what the form of a display is called."""
    return kind(one.form.name, one.form.form) if one.form else "its form"
