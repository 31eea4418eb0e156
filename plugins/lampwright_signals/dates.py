"""Rulebooks and years: known, and of one time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.words import did_you_mean
from lampwright_signals.dating import parsed, when_in_words, year_spot
from lampwright_signals.saying import no_rulebook, no_year, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import Layout
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
        where = "rulebook" if subject.settings.year else "year"
        bound = [(subject.rulebook, subject.years, subject.spot(where))]
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
            tip=f"set the plan {when_in_words(rulebook.years)}, or follow a rulebook of {years}",
            level=Level.WARNING if partly else None,
        )
