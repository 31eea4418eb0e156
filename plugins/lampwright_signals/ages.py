"""Whether forms and aspects are of the plan's time, and signals no newer than it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check, that_say
from lampwright.findings import Level
from lampwright.years import ALWAYS
from lampwright_signals.dating import Use, not_in_use, parsed, put_up_out_of_time, undated_survivors, year_spot
from lampwright_signals.judging import Verdict, judged, standing
from lampwright_signals.saying import no_year, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout


class FormNotInUse(Check):
    """Finds a form that did not exist in the year of the plan.

    A four-aspect signal of 1920 or a light-emitting-diode head of 1978 is right in every lamp and yet wrong. One
    finding tells of all signals of the form, at the year: that is often the one line to change.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1924                       # expect: form-not-in-use "it came in 1926"
        signals:
          HF1: {form: four-aspect}
          HF3: {form: four-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1: {form: four-aspect}
          HF3: {form: four-aspect}

    Limits: a form is in use from its first day to its last one; whether new ones were still put up is asked by
    fitted-out-of-time and undated-survivor. Where sources disagree, it is a note that names both.
    """

    name = "form-not-in-use"
    scope = PLAN
    needs = ("year-outside-rulebook",)

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook and a year."""
        return no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the years of every form used with the plan's."""
        yield from not_in_use(self, forms_used(subject))


class AspectNotInUse(Check):
    """Finds an aspect in ``shows`` or ``gives`` that drivers were not yet, or no longer, taught in the plan's year.

    A flashing yellow of 1960 is a fault to a driver of 1960: he has no name for it. One finding tells of all signals
    that show the aspect, at the year.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1960                       # expect: aspect-not-in-use "flashing-caution was not in use in 1960"
        signals:
          HF1:
            form: three-aspect
            shows: {danger: red, caution: yellow, clear: green, flashing-caution: {yellow: flash}}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1990
        signals:
          HF1:
            form: three-aspect
            shows: {danger: red, caution: yellow, clear: green, flashing-caution: {yellow: flash}}

    Limits: an aspect has to be in use in all of a span of years. The first year of flashing yellows is known from
    memory alone and sources differ, so this example gets a note.
    """

    name = "aspect-not-in-use"
    scope = PLAN
    needs = ("year-outside-rulebook",)

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook and a year."""
        return no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the years of every aspect shown with the plan's."""
        uses = [use for signal in subject.signals.values() for use in _aspects_said(signal)]
        yield from not_in_use(self, uses, whole=True)


class FittedOutOfTime(Check):
    """Finds a signal put up in a year when no new ones of its form were.

    Old signals stand long after the last new one, so a survivor is no mistake; one said to be new at the wrong time is.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1995
        signals:
          HF1:
            form: searchlight
            installed: 1993              # expect: fitted-out-of-time "put up in 1993"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1995
        signals:
          HF1:
            form: searchlight
            installed: 1938

    Limits: second-hand material was put up again on the prototype too; then allow this finding with that reason. Where
    sources disagree on the last year, a year between the two is a note that names both: here 1960 and 1991.
    """

    name = "fitted-out-of-time"
    level = Level.WARNING
    scope = that_say("installed")
    needs = ("unknown-form", "unknown-year")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare when the signal was put up with when its form was."""
        if not taken_over(subject, "form", "installed"):
            for use in _forms_of(subject):
                yield from put_up_out_of_time(self, use)


class FittedAfterPlanYear(Check):
    """Finds a signal put up after the year in which the plan is set.

    It would not stand there yet.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1: {form: three-aspect, installed: 1987}       # expect: fitted-after-plan-year "put up in 1987"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1: {form: three-aspect, installed: 1958}

    Limits: with a span of years the last one counts.
    """

    name = "fitted-after-plan-year"
    scope = that_say("installed")
    needs = ("unknown-year",)

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook and a year."""
        return no_year(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the two years."""
        installed, years = parsed(subject.entry.installed), subject.years
        if installed and years and installed.first > years.last and not taken_over(subject, "installed", "year"):
            place = year_spot(subject, label="the plan's year")
            yield self.finding(
                f"{subject.name} was put up in {installed}, and the plan is set in {years}",
                subject.spot("installed"),
                related=(place,) if place else (),
                tip=f"give the year it was put up, {years.last} at the latest",
            )


class UndatedSurvivor(Check):
    """Finds signals of a form no longer put up new in the plan's year that do not say how old they are.

    A survivor is nothing wrong: the note asks for the year, which then is compared with the form's. One finding tells
    of all signals of the form, at the year.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1972                       # expect: undated-survivor "after 1960, and HF1 does not say"
        signals:
          HF1: {form: searchlight}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1972
        signals:
          HF1: {form: searchlight, installed: 1938}

    Limits: it is a note at most.
    """

    name = "undated-survivor"
    level = Level.NOTE
    scope = PLAN
    needs = ("year-outside-rulebook",)

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook and a year."""
        return no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Look for forms whose last new one is older than the plan's year."""
        yield from undated_survivors(self, forms_used(subject))


def forms_used(layout: Layout) -> list[Use]:
    """Return every use of a form: the signals', and those of the parts of their posts; worked out once."""
    if "forms used" not in layout.cache:
        layout.cache["forms used"] = [use for signal in layout.signals.values() for use in _forms_of(signal)]
    used: list[Use] = layout.cache["forms used"]
    return used


def _forms_of(signal: BoundSignal) -> list[Use]:
    """Return the form a signal is said to have, and those of the parts of its post."""
    rulebook, form = signal.rulebook, signal.form
    if rulebook is None or form is None or not signal.entry.form:
        return []
    spot = signal.spot("form", label="used here")
    names = dict.fromkeys((signal.form_name, *(part.form for part in form.parts.values())))
    return [Use(signal, rulebook, ("forms", name), rulebook.forms[name], spot) for name in names]


def _aspects_said(signal: BoundSignal) -> Iterator[Use]:
    """Yield the dated aspects a signal shows, or is meant to give, that its form can give in whatever years."""
    rulebook, form = signal.rulebook, signal.reader
    if rulebook is None or form is None:
        return
    said: list[tuple[str, tuple[str | int, ...]]] = [
        (one.aspect, ("shows", one.shown.aspect)) for one in judged(signal)
    ]
    gives = enumerate(signal.entry.gives)
    said += [(name, ("gives", index)) for index, name in gives if standing(signal, form, name) is Verdict.RIGHT]
    for name, steps in said:
        aspect = rulebook.aspects.get(name)
        if aspect is not None and aspect.years != ALWAYS:
            spot = signal.spot(*steps, label="named here", on_key=steps[0] == "shows")
            yield Use(signal, rulebook, ("aspects", name), aspect, spot)
