"""Rulebooks, years, and whether forms and aspects are of their time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.words import did_you_mean
from lampwright_signals.dating import Use, not_in_use, parsed, put_up_out_of_time, undated_survivors, year_spot
from lampwright_signals.judging import Verdict, judged
from lampwright_signals.saying import no_rulebook, no_year, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.years import Years


class UnknownRulebook(Check):
    """Finds a plan or signal that names a rulebook nobody has brought.

    Without a rulebook nothing is known of forms, aspects or years, so every other check of them is silent: a plan that
    looks clean may only be unread. A rulebook comes with a plugin, or is a file that is checked together with the plan.

    Wrong:

        plan: 1
        rulebook: gb-color-light         # expect: unknown-rulebook "gb-color-light"
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect}

    Limits: a rulebook that is there but has faults of its own is reported at its own lines.
    """

    name = "unknown-rulebook"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook's name."""
        return no_rulebook(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare every rulebook named with those there are."""
        if subject.rulebook_name:
            yield from self._unknown(subject, subject.rulebook_name, "the plan", subject.spot("rulebook"))
        for signal in subject.signals.values():
            if signal.entry.rulebook and not taken_over(signal, "rulebook"):
                yield from self._unknown(subject, signal.entry.rulebook, signal.name, signal.spot("rulebook"))

    def _unknown(self, layout: Layout, name: str, who: str, spot: Spot) -> Iterator[Finding]:
        """Yield a finding if a rulebook is not there."""
        if layout.library.get(name) is None and name not in layout.library.ids:
            message = f"{who} follows the rulebook {name}, which nobody has brought"
            yield self.finding(message, spot, tip=did_you_mean(name, layout.library.ids, "the rulebooks"))


class UnknownYear(Check):
    """Finds a year that is no year, span of years or era of the rulebook.

    Forms, indicators and aspects came and went. A year that cannot be read leaves all of that unchecked.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: british-rial               # expect: unknown-year "british-rial"
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: british-rail
        signals:
          HF1: {form: three-aspect}

    Limits: eras are the rulebook's; with an unknown rulebook a word is taken for an era of it.
    """

    name = "unknown-year"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Read the plan's years, and those of every signal."""
        if subject.year_text and subject.years is None:
            spot = subject.spot() if subject.settings.year else subject.spot("year")
            yield from self._unread(subject.year_text, subject.rulebook, "the plan is set in", spot)
        for signal in subject.signals.values():
            if signal.entry.year and signal.years is None and not taken_over(signal, "year"):
                said = f"{signal.name} is set in"
                yield from self._unread(signal.entry.year, signal.rulebook, said, signal.spot("year"))
            if signal.entry.installed and not taken_over(signal, "installed"):
                said = f"{signal.name} was put up in"
                yield from self._unread(signal.entry.installed, None, said, signal.spot("installed"))

    def _unread(self, text: str, rulebook: Rulebook | None, said: str, spot: Spot) -> Iterator[Finding]:
        """Yield a finding if a text is neither a span nor, as far as can be told, an era."""
        if parsed(text) is not None or (rulebook is None and text[:1].isalpha()):
            return
        message = f"{said} {text}, which is no year, span of years or era"
        start, dots, end = text.partition("..")
        if dots and parsed(start) and parsed(end):
            tip = f"the earlier year comes first: {end}..{start}"
        else:
            tip = did_you_mean(text, rulebook.eras, "the eras") if rulebook and rulebook.eras else ""
        yield self.finding(message, spot, tip=tip or "write a year (1978) or a span (1974..1979)")


class YearOutsideRulebook(Check):
    """Finds a plan set in years for which its rulebook does not speak.

    What a rulebook says of a form or an aspect holds in the rulebook's own years; before and after them the same
    lamps may have meant something else. If only a part of a span lies outside, it is a warning.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1911                       # expect: year-outside-rulebook "1911"
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1951
        signals:
          HF1: {form: three-aspect}

    Limits: nothing else is asked of the dates of such a plan.
    """

    name = "year-outside-rulebook"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook and a year."""
        return no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the years of the plan and of every signal with those of the rulebooks they follow."""
        bound = [(subject.rulebook, subject.years, subject.spot(*() if subject.settings.year else ("year",)))]
        bound += [
            (signal.rulebook, signal.years, year_spot(signal) or subject.spot("rulebook"))
            for signal in subject.signals.values()
        ]
        seen = set()
        for rulebook, years, spot in bound:
            if rulebook is not None and years is not None and (rulebook.id, spot) not in seen:
                seen.add((rulebook.id, spot))
                if not rulebook.years.covers(years):
                    yield self._outside(rulebook, years, spot)

    def _outside(self, rulebook: Rulebook, years: Years, spot: Spot) -> Finding:
        """Say which years the rulebook is for."""
        partly = rulebook.years.meets(years)
        edge = rulebook.years.first if years.first < rulebook.years.first else rulebook.years.last
        when = f"begins in {edge}" if edge == rulebook.years.first else f"ends with {edge}"
        return self.finding(
            f"{rulebook.id} {when}, and the plan is set in {years}",
            spot,
            related=(rulebook.spot("years", label="the rulebook's years"),),
            citations=(rulebook.why("years"),),
            tip=f"set the plan in {rulebook.years}, or follow a rulebook of {years}",
            level=Level.WARNING if partly else None,
        )


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
    """Finds an aspect in a signal's ``shows`` that drivers were not yet, or no longer, taught in the year of the plan.

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
        uses = [use for signal in subject.signals.values() for use in _aspects_shown(signal)]
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
    """Return every use of a form: the signals', and those of the parts of their posts."""
    return [use for signal in layout.signals.values() for use in _forms_of(signal)]


def _forms_of(signal: BoundSignal) -> list[Use]:
    """Return the form a signal is said to have, and those of the parts of its post."""
    rulebook, form = signal.rulebook, signal.form
    if rulebook is None or form is None or not signal.entry.form:
        return []
    spot = signal.spot("form", label="used here")
    names = dict.fromkeys((signal.form_name, *(part.form for part in form.parts.values())))
    return [Use(signal, rulebook, ("forms", name), rulebook.forms[name], spot) for name in names]


def _aspects_shown(signal: BoundSignal) -> Iterator[Use]:
    """Yield the aspects a signal shows that its form can give, in whatever years."""
    for one in judged(signal):
        if one.verdict not in (Verdict.UNKNOWN, Verdict.BEYOND) and signal.rulebook is not None:
            spot = signal.spot("shows", one.shown.aspect, label="shown here", on_key=True)
            yield Use(signal, signal.rulebook, ("aspects", one.aspect), signal.rulebook.aspects[one.aspect], spot)
