"""Whether each signal can say what its routes ask of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.words import listed
from lampwright.working.lacks import lacks, never_going
from lampwright.working.reach import reach
from lampwright.working.stories import story
from lampwright.working.units import post
from lampwright_working.asked import enlarged, form_spots, kind_of, nothing_asked, rule_spot, smallest, without
from lampwright_working.flashing import flashing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Citation, Finding, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.working.lacks import Lack
    from lampwright.working.reach import State


class MissingIndication(Check):
    """Finds a signal that must be able to show an aspect which its form does not have.

    What a signal shows follows from its route and from what the signal ahead shows. Without a yellow a driver runs at
    line speed up to a red; without a position light no engine ever gets into the yard. On the model the lamp is soon
    missed, and the post must come out again. The finding tells the shortest story that asks for the aspect: which
    route is set, and what the signals ahead then show. Routes that exclude each other are never part of one story.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF2:
            form: two-aspect-stop            # expect: missing-indication "HF2 must be able to show caution"
            from: off-stage
            routes: [{to: HF4, points: {102: normal, 103: normal}}]
          HF4: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF2:
            form: three-aspect
            from: off-stage
            routes: [{to: HF4, points: {102: normal, 103: normal}}]
          HF4: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1938
        signals:
          HF2D: {form: two-aspect-distant, repeats: [HF2, HF4], from: off-stage}
          HF2: {form: two-aspect-stop, from: off-stage, routes: [{to: HF4}]}
          HF4: {form: two-aspect-stop}

    Limits: it asks what the plan says of routes, and no more: a signal without routes is asked nothing. A distant that
    tells of the signal at danger, wherever it stands, counts as a warning; so does bringing the train nearly to a
    stand before the signal clears. What lies beyond the edge of the layout is what `assume` says. One finding tells of
    all aspects that a signal lacks.
    """

    name = "missing-indication"

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding if the signal lacks an aspect, with the shortest story."""
        book = subject.rulebook
        if book is None or not subject.form_name:
            return
        found = {lack.aspect: lack for lack in reversed(_lacking(subject, book))}
        if found:
            yield self._lacks(subject, book, list(reversed(found.values())))

    def _lacks(self, signal: BoundSignal, book: Rulebook, found: list[Lack]) -> Finding:
        """Return the finding for all that a signal lacks."""
        first = found[0]
        names = listed(lack.aspect for lack in found)
        return self.finding(
            f"{signal.name} must be able to show {names}, and {kind_of(signal)} {without(signal, [first.aspect])}",
            signal.spot("form") if signal.entry.form else signal.spot(),
            related=(*_route_spot(signal, first), book.spot(*first.step.path, label="asked by this rule")),
            citations=(_asked_by(book, first),),
            because=story(reach(signal.layout), first.state),
            tip=_mended(signal, first),
            fixes=enlarged(signal),
        )


class NoRuleFits(Check):
    """Finds a situation of a signal that no rule of the sequence speaks of.

    The rules of a rulebook are read from the top, and the first that fits decides. Where none does, nobody can say
    what the signal has to show: the plan leads from one system into another, or the rulebook forgot a case.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {north: {kind: off-stage, assume: banner-off}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: north}]}      # expect: no-rule-fits "banner-off"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {north: {kind: off-stage, assume: [danger, clear]}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: north}]}

    Limits: a signal ahead of which the plan tells nothing is no such situation.
    """

    name = "no-rule-fits"
    level = Level.WARNING

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for the first situation without a rule."""
        found = [lack for lack in lacks(reach(subject.layout), subject.name) if lack.unsaid]
        if not found or subject.rulebook is None:
            return
        first, book = found[0], subject.rulebook
        ahead = dict.fromkeys(lack.state.ahead.aspect for lack in found if lack.state.ahead is not None)
        yield self.finding(
            f"no rule of {book.id} says what {subject.name} shows while the next signal shows {listed(ahead, 'or')}",
            subject.layout.spot(*first.state.route.path, "to") if first.state.route else subject.spot(),
            related=(book.spot("sequence", label="its rules", on_key=True),),
            because=story(reach(subject.layout), first.state),
            tip=_rule_tip(subject),
        )


class ShowsLacksAspect(Check):
    """Finds an aspect that a signal will be asked to show and that its own displays leave out.

    A form may be able to flash and need not; where a junction ahead is released with flashing aspects, it must. If
    `shows` says how the signal is lit and leaves that aspect out, it will stay dark, or steady.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        ends: {north: {kind: off-stage, assume: [danger, caution, clear]}}
        signals:
          HF1:
            form: three-aspect
            from: off-stage
            shows: {danger: red, caution: yellow, clear: green}    # expect: shows-lacks-aspect "flashing-caution"
            routes: [{to: HF3}]
          HF3:
            form: three-aspect
            routes:
              - {to: north, turns: straight}
              - {to: north, turns: left, indicator: position-1, release: {from: yellow, flashing: true}}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        ends: {north: {kind: off-stage, assume: [danger, caution, clear]}}
        signals:
          HF1:
            form: three-aspect
            from: off-stage
            shows: {danger: red, caution: yellow, clear: green, flashing-caution: {yellow: flash}}
            routes: [{to: HF3}]
          HF3:
            form: three-aspect
            routes:
              - {to: north, turns: straight}
              - {to: north, turns: left, indicator: position-1, release: {from: yellow, flashing: true}}

    Limits: only aspects that the rulebook calls optional for the form; one that the form must show is missed wherever
    the signal stands. Of those that stop trains with no route set, one is enough.
    """

    name = "shows-lacks-aspect"
    scope = that_say("shows")

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare what is asked with what is shown."""
        book, form = subject.rulebook, subject.form
        if book is None or form is None or not subject.entry.shows or subject.entry.gives:
            return
        said = {shown.aspect.rpartition(".")[2] for shown in subject.entry.shows}
        forms = {"": form, **{part: book.forms[item.form] for part, item in form.parts.items()}}
        for (part, aspect), state in reach(subject.layout).first(subject.name).items():
            if state.choice or aspect in said or aspect not in forms[part].optional or not _going(book, aspect):
                continue
            if state.via is not None or said.isdisjoint(_resting(state, part)):
                yield self.finding(
                    f"{subject.name} will be asked to show {aspect}, and its own displays leave it out",
                    subject.spot("shows", on_key=True),
                    related=(*form_spots(subject), *rule_spot(book, state)),
                    citations=tuple(book.why(*step.path) for step in state.answer.steps if aspect in step.wanted),
                    because=story(reach(subject.layout), state),
                    tip=f"add how it shows {aspect}, or say under `gives` which aspects it is meant to give",
                )


def _resting(state: State, part: str) -> tuple[str, ...]:
    """Return what a part may show with no route set: one of them will do, plates tell which."""
    return next((unit.rest for unit in state.stand.post.units if unit.part == part), ())


def _lacking(signal: BoundSignal, book: Rulebook) -> list[Lack]:
    """Return what a signal lacks, without what others tell of: no rule, and flashing before a junction."""
    seen = reach(signal.layout)
    found = [lack for lack in lacks(seen, signal.name) if not lack.unsaid and not flashing_asked(book, lack.step)]
    ideal = post(signal, formless=True)
    return found or (list(never_going(seen, signal.name, ideal)) if ideal is not None and signal.entry.routes else [])


def _route_spot(signal: BoundSignal, lack: Lack) -> tuple[Spot, ...]:
    """Return the route whose setting asks for what is lacking."""
    route = lack.state.route
    return (signal.layout.spot(*route.path, "to", label="asked on this route"),) if route is not None else ()


def _asked_by(book: Rulebook, lack: Lack) -> Citation:
    """Return who says that the aspect must stand: for the first choice of a rule, its source."""
    number = lack.step.wanted.index(lack.aspect)
    return book.why(*lack.step.path, "show", number)


def _mended(signal: BoundSignal, lack: Lack) -> str:
    """Say what would have been right."""
    form = smallest(signal)
    distant = f"or let a distant tell of {lack.state.needs[0].key}" if lack.let_run else ""
    return "; ".join(filter(None, (form, distant)))


def _rule_tip(signal: BoundSignal) -> str:
    """Say what a rulebook, or a plan that leads into another, should have."""
    return f"rules of {signal.rulebook.id} begin with `when:`" if signal.rulebook is not None else ""


def _going(book: Rulebook, aspect: str) -> bool:
    """Tell whether an aspect lets trains go: what is shown at rest need not be written down."""
    return book.aspects[aspect].says.get("authority") not in ("none", None)
