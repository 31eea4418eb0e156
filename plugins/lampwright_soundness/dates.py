"""Years that contradict each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import rules
from lampwright.years import BEGINNING, END, Years

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Rule

SECTIONS: Final = ("aspects", "forms", "indicators", "plates")
"""What is dated, thing by thing."""


class Span(Struct, frozen=True):
    """Years of something, and where they are written."""

    what: str
    years: Years
    path: Path


class ContradictingYears(Check):
    """Finds years of two things of which one needs the other, and that never meet or stick out.

    An aspect is in use as long as signals show it, a form as long as its lamps hang there, and nothing longer than the
    system it belongs to. Where the years say otherwise, one of them is wrong: a plan of those years would be judged by
    it.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        years: 1920..
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          clear: {years: 1930.., says: {authority: proceed}}     # expect: contradicting-years "the first form"
        order: [[danger, clear]]
        forms:
          two-aspect:
            years: 1953..
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        eras: {era-iv: 1990..1965}                           # expect: contradicting-years "'1990..1965' is no span"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        years: 1920..
        source: memory
        eras: {era-iv: 1965..1990}
        aspects:
          danger: {says: {authority: stop}}
          clear: {years: 1953.., says: {authority: proceed}}
        order: [[danger, clear]]
        forms:
          two-aspect:
            years: 1953..
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}

    Limits: an end that is left open contradicts nothing, and an era may reach beyond the rulebook. Years that only
    another source has (`disputed`) are not compared.
    """

    name = "contradicting-years"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare everything dated with what it belongs to."""
        told: set[Spot] = set()
        for inner, outer in _pairs(subject):
            spot = subject.spot(*inner.path)
            known = spot in told or subject.spot(*outer.path) in told
            if (problem := _against(inner, outer)) and not known:
                told.add(spot)
                level = self.level if not inner.years.meets(outer.years) else Level.WARNING
                label = subject.spot(*outer.path, label=outer.what)
                yield self.finding(problem, spot, related=[label] if outer.path else [], level=level)
        yield from self._early(subject)
        yield from self._eras(subject)

    def _eras(self, subject: Rulebook) -> Iterator[Finding]:
        """Yield a finding for every era whose years are none: no plan could be set in it."""
        for name, era in subject.eras.items():
            said = era["years"] if isinstance(era, dict) else era
            try:
                Years.parse(str(said))
            except ValueError as error:
                yield self.finding(f"the era {name}: {error}", subject.spot("eras", name))

    def _early(self, subject: Rulebook) -> Iterator[Finding]:
        """Yield a finding for every aspect that is older or younger than all forms that show it."""
        showing: dict[str, list[str]] = {}
        for name, form in subject.forms.items():
            for aspect in reader(subject, name).gives if not form.parts else ():
                showing.setdefault(aspect, []).append(name)
        for aspect, names in showing.items():
            years = subject.aspects[aspect].years
            first = min(names, key=lambda name: subject.forms[name].years.first)
            last = max(names, key=lambda name: subject.forms[name].years.last)
            spot = subject.spot("aspects", aspect, "years")
            if BEGINNING < years.first < subject.forms[first].years.first:
                came = subject.forms[first].years.first
                message = (
                    f"{aspect} is in use from {years.first}, and the first form that shows it, {first}, came in {came}"
                )
                yield self.finding(message, spot, related=[_years(subject, first)], level=Level.WARNING)
            if END > years.last > subject.forms[last].years.last:
                went = subject.forms[last].years.last
                message = (
                    f"{aspect} is in use until {years.last}, and the last form that shows it, {last}, went in {went}"
                )
                yield self.finding(message, spot, related=[_years(subject, last)], level=Level.WARNING)


def _years(rulebook: Rulebook, form: str) -> Spot:
    """Return where the years of a form are written."""
    return rulebook.spot("forms", form, "years", label=form)


def _against(inner: Span, outer: Span) -> str:
    """Say how years contradict those they belong to; empty if they do not."""
    theirs = f"{outer.what} {'is' if outer.path else 'are'} of {outer.years}"
    if not inner.years.meets(outer.years):
        return f"{inner.what} is of {inner.years}, and {theirs}"
    if BEGINNING < inner.years.first < outer.years.first:
        return f"{inner.what} begins in {inner.years.first}, and {theirs}"
    if END > inner.years.last > outer.years.last:
        return f"{inner.what} ends in {inner.years.last}, and {theirs}"
    return ""


def _pairs(rulebook: Rulebook) -> Iterator[tuple[Span, Span]]:
    """Yield everything dated with what it belongs to."""
    whole = Span(f"the rulebook {rulebook.id}", rulebook.years, ("years",))
    yield from ((span, whole) for span in _things(rulebook))
    for section in SECTIONS:
        for name, thing in getattr(rulebook, section).items():
            yield (
                Span(f"the fitting of {name}", thing.fitted, (section, name, "fitted")),
                _span(rulebook, section, name),
            )
    for name in rulebook.forms:
        yield from _of_form(rulebook, _span(rulebook, "forms", name))
    yield from _of_rules(rulebook)


def _things(rulebook: Rulebook) -> Iterator[Span]:
    """Yield what belongs to the rulebook as a whole."""
    from lampwright.layout import years_of

    for section in SECTIONS:
        yield from (_span(rulebook, section, name) for name in getattr(rulebook, section))
    for name in rulebook.eras:
        years = years_of(name, rulebook)
        if years is not None and not years.meets(rulebook.years):
            yield Span(f"the era {name}", years, ("eras", name))
    for path, rule in _rules(rulebook):
        yield Span(f"rule {int(path[-1]) + 1}", rule.years, (*path, "years"))


def _of_form(rulebook: Rulebook, form: Span) -> Iterator[tuple[Span, Span]]:
    """Yield what belongs to one form: its lamps; and what it needs, if the two are never in use together."""
    said = rulebook.forms[form.what]
    for lamp, record in said.lamps.items():
        yield Span(f"{lamp} of {form.what}", record.years, ("forms", form.what, "lamps", lamp, "years")), form
    needed: tuple[tuple[str, Iterable[str]], ...] = (
        ("forms", [part.form for part in said.parts.values()]),
        ("aspects", said.shows),
        ("indicators", said.indicators),
        ("plates", said.plates),
    )
    for section, names in needed:
        yield from (
            (form, other) for name in names if not (other := _span(rulebook, section, name)).years.meets(form.years)
        )


def _of_rules(rulebook: Rulebook) -> Iterator[tuple[Span, Span]]:
    """Yield rules with aspects that never were in use while they held."""
    for path, rule in _rules(rulebook):
        span = Span(f"rule {int(path[-1]) + 1}", rule.years, (*path, "years"))
        for aspect in (*rule.show, *rule.may):
            other = _span(rulebook, "aspects", aspect)
            if not rule.years.meets(other.years):
                yield span, other


def _span(rulebook: Rulebook, section: str, name: str) -> Span:
    """Return the years of a named thing."""
    return Span(name, getattr(rulebook, section)[name].years, (section, name, "years"))


def _rules(rulebook: Rulebook) -> Iterator[tuple[Path, Rule]]:
    """Yield the rules of all roles."""
    for role in rulebook.sequence:
        yield from rules(rulebook, role)
