"""Flashing aspects before a junction: whether the signals before it can show them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import Check
from lampwright.routes import FLASHING, release
from lampwright.words import listed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.lacks import Lack
from lampwright.working.reach import reach
from lampwright.working.stories import story
from lampwright_working.asked import kind_of, nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Citation, Finding, Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.sequence import Step
    from lampwright.working.bound import BoundRoute
    from lampwright.working.reach import Reach, State


class UnannouncedFlashingRelease(Check):
    """Finds a release with flashing aspects that a signal before the junction cannot announce.

    Flashing yellows let a train keep its speed towards a turn: the junction signal stands at yellow with its indicator,
    and the signals before it flash. If the one before cannot flash, nothing tells the driver to slow down for the turn.
    Or the year is too early: then no signal flashes at all, and the junction signal has to be released from red.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        ends: {north: {kind: off-stage, assume: clear}, branch: {kind: off-stage, assume: clear}}
        signals:
          HF1: {form: searchlight, installed: 1950, from: off-stage, routes: [{to: HF3}]}
          HF3:
            form: three-aspect
            routes:
              - {to: north, turns: straight}
              - to: branch
                turns: left
                indicator: position-1
                release: {from: yellow, flashing: true}  # expect: unannounced-flashing-release "HF1 before it"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        ends: {north: {kind: off-stage, assume: clear}, branch: {kind: off-stage, assume: clear}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}
          HF3:
            form: three-aspect
            routes:
              - {to: north, turns: straight}
              - {to: branch, turns: left, indicator: position-1, release: {from: yellow, flashing: true}}

    Limits: it asks the signal next before the junction. One farther back that cannot flash shows what its form allows.
    """

    name = "unannounced-flashing-release"
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding if signals before the junction cannot flash for this route."""
        before = _not_flashing(subject.layout).get(subject.path, [])
        if before:
            signal, lack = before[0]
            names = listed(dict.fromkeys(other.name for other, _ in before))
            yield self.finding(
                f"{subject} is released with flashing aspects, and {names} before it cannot show {lack.aspect}",
                subject.spot("release"),
                related=[other.spot("form", label=kind_of(other)) for other, _ in before if other.entry.form],
                citations=_why_flash(signal, lack),
                because=story(reach(subject.layout), lack.state),
                tip=_flash_tip(signal, lack),
            )


def flashing_asked(book: Rulebook, step: Step) -> bool:
    """Tell whether a rule asks for an aspect because of how the next signal is released."""
    when: Any = book.values
    for key in step.path:
        when = when[key]
    return "release" in when.get("when", {}).get("next-route", {})


def _not_flashing(layout: Layout) -> dict[Path, list[tuple[BoundSignal, Lack]]]:
    """Return, by the route of the junction, the signals before it that cannot show what its release asks of them."""
    found: dict[Path, list[tuple[BoundSignal, Lack]]] | None = layout.cache.get("not flashing")
    if found is None:
        found = layout.cache["not flashing"] = {}
        if any(release(route.entry) == FLASHING for route in bound_routes(layout)):
            for signal in layout.signals.values():
                for path, lack in _of_signal(signal):
                    known = found.setdefault(path, [])
                    if signal not in [other for other, _ in known]:
                        known.append((signal, lack))
    return found


def _of_signal(signal: BoundSignal) -> Iterator[tuple[Path, Lack]]:
    """Yield what a signal cannot show of what the release of the signal ahead asks, with that one's route."""
    seen, book = reach(signal.layout), signal.rulebook
    if book is None or not signal.form_name:
        return
    for state in seen.of(signal.name):
        for step in state.answer.steps if state.choice == 0 else ():
            if step.wanted and step.must != step.wanted[0] and flashing_asked(book, step):
                junction = _ahead(seen, state)
                if junction is not None and junction.route is not None:
                    yield junction.route.path, Lack(state, step.wanted[0], step)


def _ahead(seen: Reach, state: State) -> State | None:
    """Return the state of the signal ahead that a state takes."""
    stand = seen.network.stands.get(state.needs[0].key)
    world = seen.worlds.of(state)
    return world.get(stand.name) if world is not None and stand is not None else None


def _why_flash(signal: BoundSignal, lack: Lack) -> tuple[Citation, ...]:
    """Return who says that the signal must flash, and since when signals did, if that is the trouble."""
    book = signal.rulebook
    if book is None:
        return ()
    rule = book.why(*lack.step.path, "show")
    return (rule, book.why("aspects", lack.aspect, "years")) if _too_early(signal, lack.aspect) else (rule,)


def _flash_tip(signal: BoundSignal, lack: Lack) -> str:
    """Say what would have been right."""
    book = signal.rulebook
    if book is not None and _too_early(signal, lack.aspect):
        return f"{lack.aspect} was in use {book.aspects[lack.aspect].years}: release it from red"
    able = [name for name, form in book.forms.items() if lack.aspect in form.shows] if book is not None else []
    return f"{listed(able[:3], 'or')} can show {lack.aspect}; or release it from red" if able else "release it from red"


def _too_early(signal: BoundSignal, aspect: str) -> bool:
    """Tell whether an aspect was not in use in the signal's years."""
    book, years = signal.rulebook, signal.years
    return book is not None and years is not None and not book.aspects[aspect].years.covers(years)
