"""Forms: known, told from the lamps if left out, and with red where the driver's eye is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check, that_say
from lampwright.findings import Level
from lampwright.words import did_you_mean, listed
from lampwright_signals.eyeline import FarFromEye, far_from_eye
from lampwright_signals.saying import kind, no_rulebook, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook


class UnknownForm(Check):
    """Finds a form that neither the rulebook nor the plan has.

    The form says which lamps a signal has and what they can mean; without it nothing else is asked of the signal.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: four-aspekt}       # expect: unknown-form "four-aspekt"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: four-aspect}

    Limits: a form the plan defines under ``forms`` is known, even if it has faults: those are reported there.
    """

    name = "unknown-form"
    scope = that_say("form")

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook."""
        return no_rulebook(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Look the form up."""
        form, rulebook = subject.entry.form, subject.rulebook
        if not form or rulebook is None or form in rulebook.forms or form in subject.layout.plan.forms:
            return
        if not taken_over(subject, "form", "rulebook"):
            message = f"{subject.name} is of the form {form}, which {rulebook.id} does not have"
            yield self.finding(message, subject.spot("form"), tip=did_you_mean(form, rulebook.forms, "its forms"))


class UnidentifiedForm(Check):
    """Finds a signal without a form whose lamps as built are those of no form in use.

    A plan may leave the form out if the lamps tell it. These do not: the finding names the nearest form and what
    differs. A signal that says neither form nor lamps, but what it shows, gets a note: nothing can be compared.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            lamps: [green, white, red]           # expect: unidentified-form "nearest is three-aspect"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            lamps: [green, yellow, red]

    Limits: forms of posts with several parts are told from names of lamps only.
    """

    name = "unidentified-form"
    scope = that_say("lamps", "shows")

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook."""
        return no_rulebook(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Ask what the lamps as built say of the form."""
        if subject.entry.form or subject.rulebook is None:
            return
        known = subject.identified
        if known is None:
            if subject.entry.shows and not taken_over(subject, "shows"):
                message = f"{subject.name} says what it shows, but neither its form nor its lamps"
                tip = "give a form, or the lamps as built"
                yield self.finding(message, subject.spot("shows", on_key=True), tip=tip, level=Level.NOTE)
        elif not known.forms and not taken_over(subject, "lamps", "rulebook", "mount", "year"):
            nearest = f"; nearest is {known.nearest}" if known.nearest else ""
            yield self.finding(
                f"{subject.name} has the lamps of no form of {subject.rulebook.id}{nearest}",
                subject.spot("lamps", on_key=True),
                related=_form_spots(subject.rulebook, (known.nearest,) if known.nearest else ()),
                because=known.difference,
                tip=f"say `form: {known.nearest}` to have the lamps compared with it" if known.nearest else "",
            )


class AmbiguousForm(Check):
    """Finds a signal without a form whose lamps as built fit several.

    The lamps agree, and more than they tell the forms apart. Until the plan says which is meant, what the signal shows
    is not compared with anything.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            lamps: {green: A.0, yellow: A.1, red: A.2}   # expect: ambiguous-form "ground-mounted-three-aspect"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: three-aspect
            lamps: {green: A.0, yellow: A.1, red: A.2}

    Limits: a list of colours from the top down tells more than names; ``mount`` and the plan's year narrow it too.
    """

    name = "ambiguous-form"
    level = Level.NOTE
    scope = that_say("lamps")
    needs = ("unidentified-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Ask what the lamps as built say of the form."""
        known, rulebook = subject.identified, subject.rulebook
        if known is None or rulebook is None or len(known.forms) < 2:  # noqa: PLR2004  (several)
            return
        if not taken_over(subject, "lamps", "rulebook", "mount", "year"):
            yield self.finding(
                f"{subject.name} has the lamps of several forms: {listed(known.forms)}",
                subject.spot("lamps", on_key=True),
                tip=f"say which, as in `form: {known.forms[0]}`",
            )


class RedFarFromEye(Check):
    """Finds a form, defined by the plan itself, whose red is not the lamp nearest the driver's eye.

    Red is the lamp that must be seen last and longest, by a driver standing right before it: it is the lowest one on a
    post or gantry, and the highest on a signal on the ground. There is then no hood below it for snow to lie on.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        forms:
          upside-down:
            like: three-aspect
            lamps:
              red:    {colour: red,    at: [0, 2]}       # expect: red-far-from-eye "red is not the lowest"
              yellow: {colour: yellow, at: [0, 1]}
              green:  {colour: green,  at: [0, 0]}
        signals:
          HF1: {form: upside-down}

    Right:

        plan: 1
        rulebook: gb-colour-light
        forms:
          low-down:
            like: three-aspect
            mount: ground
            lamps:
              red:    {colour: red,    at: [0, 2]}
              yellow: {colour: yellow, at: [0, 1]}
              green:  {colour: green,  at: [0, 0]}
        signals:
          HF1: {form: low-down}

    Limits: asked only where the rulebook has an ``eye-level`` lamp on a form of its own, and of forms for stop signals
    whose lamps have places.
    """

    name = "red-far-from-eye"
    scope = PLAN
    sources = ("common practice: red lowest on a post, highest on the ground; derived from red nearest the eye line",)

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook."""
        return no_rulebook(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Look at the plan's own forms."""
        rulebook = subject.rulebook
        for name in subject.plan.forms if rulebook is not None else ():
            if rulebook is not None and name in rulebook.forms:
                far = far_from_eye(rulebook, name, subject.plan.forms)
                if far is not None:
                    yield self._far(subject, rulebook, name, far)

    def _far(self, layout: Layout, rulebook: Rulebook, name: str, far: FarFromEye) -> Finding:
        """Return the finding, with what stands where red belongs."""
        where = "highest" if far.on_ground else "lowest"
        return self.finding(
            f"the form {name} has {far.nearest} nearest the driver's eye: {far.eye} is not the {where} lamp",
            _own_place(layout, name, far),
            related=_form_spots(rulebook, (far.witness,)),
            citations=(rulebook.why("forms", far.witness, "eye-level"),),
            tip=f"{far.eye} belongs at the {'top' if far.on_ground else 'bottom'}",
        )


def _own_place(layout: Layout, name: str, far: FarFromEye) -> Spot:
    """Return where the plan says what is wrong with its form: the lamp, or what it stands on."""
    said = layout.plan.forms[name]
    if far.eye in (said.get("lamps") or {}):
        return layout.spot("forms", name, "lamps", far.eye, on_key=True)
    if "mount" in said:
        return layout.spot("forms", name, "mount")
    return layout.spot("forms", name, on_key=True)


def _form_spots(rulebook: Rulebook, names: tuple[str, ...]) -> list[Spot]:
    """Return where forms are written."""
    return [rulebook.spot("forms", name, label=kind(name, rulebook.forms[name]), on_key=True) for name in names]
