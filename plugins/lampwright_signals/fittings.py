"""What a signal has and how it is worked, by names of the rulebook: plates, blanked lamps, regime, classes, mount."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.rulebooks.anatomy import told_by
from lampwright.words import did_you_mean, listed
from lampwright_signals import saying

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Form


class UnknownPlate(Check):
    """Finds a plate that the form does not have.

    Plates tell how a signal is worked and how a failed one is to be read: a plate that says "distant" on a signal with
    a red, or the other way about, tells a driver to do the wrong thing at a dark signal.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            plates: [r]                   # expect: unknown-plate "r"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            plates: [semi]

    Limits: what is written on a plate is not compared.
    """

    name = "unknown-plate"
    scope = that_say("plates")
    needs = saying.FORM_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each plate that may not hang there."""
        book, form = subject.rulebook, subject.form
        if book is None or form is None or saying.taken_over(subject, "plates", "form"):
            return
        forms = [form, *(book.forms[part.form] for part in form.parts.values())]
        allowed = list(dict.fromkeys([*(plate for one in forms for plate in one.plates), *told_by(book)]))
        for plate in subject.entry.plates:
            if plate not in allowed:
                lacking = f"{book.id} does not have" if plate not in book.plates else "its form does not have"
                yield self.finding(
                    f"{subject.name} has the plate {plate}, which {lacking}",
                    _said(subject, "plates", plate),
                    related=saying.form_spot(subject),
                    citations=(book.why("forms", subject.form_name, "plates"),),
                    tip=did_you_mean(plate, allowed, f"the plates of {saying.kind(subject.form_name, form)}")
                    or "leave it off",
                )


class UnknownBlankedLamp(Check):
    """Finds a blanked lamp that the form does not have.

    A place that is plated over stays dark for good; if the name leads nowhere, a lamp that should be blanked is wired
    and checked as if it could be lit.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            blanked: gren                 # expect: unknown-blanked-lamp "gren"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            blanked: green

    Limits: whether the signal can still say all it must is another question.
    """

    name = "unknown-blanked-lamp"
    scope = that_say("blanked")
    needs = saying.FORM_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each name that is no lamp of the form."""
        if subject.reader is None or subject.form is None or saying.taken_over(subject, "blanked", "form"):
            return
        places = _places(subject.reader)
        for lamp in subject.entry.blanked:
            if lamp not in places and not _once(lamp, places):
                kind = saying.kind(subject.form_name, subject.form)
                yield self.finding(
                    f"{subject.name} has {lamp} blanked, and {kind} has no {lamp}",
                    _said(subject, "blanked", lamp),
                    related=saying.form_spot(subject),
                    tip=did_you_mean(lamp, places, "its lamps"),
                )


class UnknownRegime(Check):
    """Finds a regime that the rulebook does not have.

    Under a regime every display changes alike. If the name leads nowhere, the displays are read as if there were none.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            regime: counter-flow          # expect: unknown-regime "counter-flow"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect}

    Limits: whether the plate that tells of the regime is there is not asked.
    """

    name = "unknown-regime"
    scope = that_say("regime")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the regime with those there are."""
        regime, book = subject.entry.regime, subject.rulebook
        if book is None or not regime or regime in book.regimes or saying.taken_over(subject, "regime"):
            return
        yield self.finding(
            f"{subject.name} stands under the regime {regime}, which {book.id} does not have",
            subject.spot("regime"),
            tip=did_you_mean(regime, book.regimes, "regimes in it"),
        )


class UnknownClass(Check):
    """Finds a class of route that nobody knows.

    The class says by which aspect a movement goes: a shunting movement by the position light, a train by the main
    aspect. A slip in it leaves both open.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        ends: {yard: {kind: unsignalled}}
        signals:
          HF1:
            form: three-aspect-with-position-light
            routes: [{to: yard, class: shutn}]    # expect: unknown-class "shutn"

    Right:

        plan: 1
        rulebook: gb-colour-light
        ends: {yard: {kind: unsignalled}, down-main: {kind: off-stage}}
        signals:
          HF1:
            form: three-aspect-with-position-light
            routes: [{to: down-main}, {to: yard, class: shunt}]

    Limits: a rulebook adds classes by naming them in its sequence.
    """

    name = "unknown-class"
    scope = that_say("routes")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare every route's class with those there are."""
        named = [route for route in subject.entry.routes if route.kind]
        classes = _classes(subject.rulebook) if named else []
        for route in named:
            if route.kind not in classes:
                yield self.finding(
                    f"{subject.name} has a route to {route.to} of the class {route.kind}, which nobody knows",
                    subject.layout.spot(*route.path, "class"),
                    tip=did_you_mean(route.kind, classes, "the classes"),
                )


class MountAgainstForm(Check):
    """Finds a signal that stands otherwise than its form does.

    A head on the ground is not the head of a post turned round at will: red is nearest the driver's eye, so the lamps
    stand in another order. A rulebook has a form of its own for each way to stand, if they differ.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            mount: ground                 # expect: mount-against-form "ground-mounted-three-aspect"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: ground-mounted-three-aspect
            mount: ground

    Limits: a form that does not say how it stands may stand in any way, unless another form with the same lamps is the
    one for that way.
    """

    name = "mount-against-form"
    scope = that_say("mount")
    needs = saying.FORM_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare how the signal stands with its form, and with the forms that have its lamps."""
        book, form, mount = subject.rulebook, subject.form, subject.entry.mount
        if book is None or form is None or not mount or mount == form.mount:
            return
        twins = [
            name for name, other in book.forms.items() if other.mount == mount and _lamps(other) == _lamps(form) != {}
        ]
        if saying.taken_over(subject, "mount", "form") or not (form.mount or twins):
            return
        owner = subject.form_name if form.mount else twins[0]
        says = f"its form {subject.form_name} is for {form.mount}" if form.mount else f"{twins[0]} is the form for that"
        yield self.finding(
            f"{subject.name} is mounted {mount}, and {says}",
            subject.spot("mount"),
            related=(*saying.form_spot(subject), book.spot("forms", owner, "mount", label="how that form stands")),
            citations=(book.why("forms", owner, "mount"),),
            tip=f"write `form: {listed(twins, 'or')}`" if twins else f"write `mount: {form.mount}`, or leave it out",
        )


def _said(signal: BoundSignal, key: str, name: str) -> Spot:
    """Return where a name stands in a map, a list, or alone."""
    path = signal.entry.at(key)
    value = signal.layout.plan.values["signals"][path[1]][key]
    if isinstance(value, dict):
        return signal.spot(key, name, on_key=True)
    return signal.spot(key, [str(item) for item in value].index(name)) if isinstance(value, list) else signal.spot(key)


def _places(reader: FormReader) -> list[str]:
    """Return every lamp place of a form by its full name, blanked ones included, and its heads."""
    if reader.parts:
        return [f"{part}.{place}" for part, inner in reader.parts.items() for place in _places(inner)]
    return [*reader.anatomy.places, *reader.anatomy.faces]


def _once(lamp: str, places: list[str]) -> bool:
    """Tell whether one part of a post has a lamp of that name."""
    return sum(place.partition(".")[2] == lamp for place in places) == 1


def _lamps(form: Form) -> dict[str, tuple[str, ...]]:
    """Return the lamps of a form by name and colour, wherever they stand."""
    return {name: lamp.colours for name, lamp in form.lamps.items()}


def _classes(book: Rulebook | None) -> list[str]:
    """Return the classes of route there are: the format's, and those that a rulebook's rules ask for."""
    found = ["main", "warner", "call-on", "shunt"]
    for rules in book.sequence.values() if book is not None else ():
        for rule in rules:
            asked = rule.when.get("route", {}).get("class", ())
            found += asked if isinstance(asked, list) else [asked]
    return list(dict.fromkeys(found))
