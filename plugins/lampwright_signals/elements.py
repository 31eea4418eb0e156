"""Lamps by name, and the states they can be in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import Check, that_say
from lampwright.layout import full_name
from lampwright.words import did_you_mean, listed
from lampwright_signals.built import unknown
from lampwright_signals.judging import Verdict, found
from lampwright_signals.saying import form_spot, kind, short, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import FormReader
    from lampwright_signals.judging import Judged


class UnknownLamp(Check):
    """Finds a lamp named in ``lamps`` or ``shows`` that the form does not have.

    A misspelt lamp is wired to nothing and compared with nothing; a lamp of another form is a sign that the form is not
    the one meant.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: {upper-yellow: A.0, green: A.1, lower-yelow: A.2, red: A.3}   # expect: unknown-lamp "lower-yelow"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: {upper-yellow: A.0, green: A.1, lower-yellow: A.2, red: A.3}

    Limits: on a post with parts a lamp may go without its part if only one part has it: ``red`` for ``main.red``.
    """

    name = "unknown-lamp"
    scope = that_say("lamps", "shows")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Look up every lamp named."""
        form = subject.reader
        if form is None:
            return
        if not taken_over(subject, "form", "lamps"):
            for lamp in unknown(subject):
                spot = subject.spot("lamps", lamp.name, on_key=True)
                yield self._unknown(subject, form, lamp.name, f"{subject.name} has a lamp {lamp.name}", spot)
        for one in found(subject, Verdict.ELEMENT):
            name = one.element[0]
            said = f"{subject.name} lights {name} for {one.shown.aspect}"
            yield self._unknown(subject, form, name, said, _element_spot(one))

    def _unknown(self, signal: BoundSignal, form: FormReader, name: str, said: str, spot: Spot) -> Finding:
        """Return the finding; a lamp that several parts have is not unknown but not told apart."""
        several = [lamp for lamp in form.lamps if lamp.partition(".")[2] == name]
        if several:
            message, tip = f"{said}, and several parts have one", f"name its part: {listed(several, 'or')}"
        else:
            message = f"{said}, and {kind(form.name, form.form)} has none of that name"
            tip = did_you_mean(name, [short(form, lamp) for lamp in form.lamps], "its lamps")
        return self.finding(message, spot, related=form_spot(signal), tip=tip)


class UnknownState(Check):
    """Finds a lamp in ``shows`` in a state that it cannot be in.

    A lens with several colours has to be told which; a lamp of one colour is lit, flashing or dark.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: searchlight
            shows:
              danger: {lens: red}
              caution: {lens: amber}     # expect: unknown-state "lens cannot be amber"
              clear: {lens: green}

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: searchlight
            shows: {danger: {lens: red}, caution: {lens: yellow}, clear: {lens: green}}

    Limits: what an indicator shows is compared with its characters elsewhere.
    """

    name = "unknown-state"
    scope = that_say("shows")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report the first lamp of each display that cannot be so."""
        for one in found(subject, Verdict.STATE):
            name, state = one.element
            said = f"{subject.name} has {name} {state} for {one.shown.aspect}, and {name} cannot be {state}"
            if state == "lit":
                said = f"{subject.name} lights {name} for {one.shown.aspect} and does not say in which colour"
            yield self.finding(
                said,
                _element_spot(one, on_key=False),
                related=form_spot(subject),
                tip=f"it can be {listed(_states(one, name), 'or')}",
            )


def _element_spot(one: Judged, *, on_key: bool = True) -> Spot:
    """Return where the plan names the element of a display that is the slip."""
    raw: Any = one.signal.layout.plan.values
    for step in one.shown.path:
        raw = raw[step]
    name = one.element[0]
    if isinstance(raw, dict):
        return one.signal.spot("shows", one.shown.aspect, name, on_key=on_key)
    steps = (raw.index(name),) if isinstance(raw, list) else ()
    return one.signal.spot("shows", one.shown.aspect, *steps)


def _states(one: Judged, name: str) -> Iterable[str]:
    """Return the states a lamp or head of the post can be in, of whichever part it is."""
    whole = one.signal.reader
    if whole is None:
        return ()
    full = (full_name(whole, f"{one.part}.{name}") if one.part else "") or full_name(whole, name)
    part, _, inner = full.partition(".")
    form, inner = (whole.parts[part], inner) if part in whole.parts else (whole, full)
    faces = form.anatomy.faces.get(inner)
    return [*faces, "dark"] if faces else form.anatomy.tokens(inner)
