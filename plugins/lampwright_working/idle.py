"""Aspects and lamps that nothing on the layout will ever light."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import BUFFERS, ENDS
from lampwright.words import listed
from lampwright.working.reach import Beyond, reach
from lampwright_working.asked import kind_of, nothing_asked
from lampwright_working.sparing import untold, without

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.working.network import Stand
    from lampwright.working.posts import Unit
    from lampwright.working.reach import Reach


class IdleAspect(Check):
    """Finds an aspect that a signal can never be asked to show, and the lamps it has for nothing else.

    A green before buffer stops, a second yellow where every signal ahead stands at red or green: such a lamp is never
    lit. It is no mistake, for the prototype had them too where a signal was to serve later; but on a model it is a lamp
    to be built, wired and driven for nothing, and it may show that a route is missing.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {bay: {kind: buffer-stop}}
        signals:
          HF1:
            form: three-aspect                # expect: idle-aspect "HF1 never shows clear"
            from: off-stage
            routes: [{to: bay}]

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {bay: {kind: buffer-stop}}
        signals:
          HF1:
            form: two-aspect-red-yellow
            from: off-stage
            routes: [{to: bay}]

    Limits: what the plan leaves open may be anything: an end that says no `assume`, a signal without routes or without
    a form. What an end says under `assume` is taken for all that is seen there. A position light for which the plan has
    no shunting route at all is not looked at, nor are aspects for shunting and the like where the plan has no such
    routes. Aspects that a form need not be able to show are only looked at if the plan's `shows` or `gives` has them.
    """

    name = "idle-aspect"
    level = Level.NOTE
    needs = (
        "dead-reference",
        "repeats-itself",
        "distant-of-distant",
        "missing-indication",
        "no-rule-fits",
        "nothing-to-repeat",
        "route-to-itself",
        "splitting-without-junction",
        "unclear-repeat",
    )

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding if aspects of the signal can never be."""
        book, seen = subject.rulebook, reach(subject.layout, Beyond.ASSUMED)
        stands = seen.network.of_signal.get(subject.name, [])
        if book is None or not subject.form_name or not any(_asked(seen, stand) for stand in stands):
            return
        possible = set(seen.first(subject.name))
        units = stands[0].post.units
        used = [unit for unit in units if _used(unit, possible)]
        spared = {(unit.part, aspect) for unit in used for aspect in untold(subject, book, unit)}
        spared |= {(unit.part, aspect) for unit in units if unit not in used for aspect in unit.able}
        seen_or_spared = possible | spared
        meant = [(unit.part, aspect) for unit in units for aspect in _meant(subject, book, unit)]
        idle = [aspect for part, aspect in meant if (part, aspect) not in seen_or_spared]
        if idle:
            kept = {aspect for _, aspect in meant} - set(idle)
            yield self._idle(subject, idle, _dark(subject, book, seen_or_spared), kept)

    def _idle(self, signal: BoundSignal, idle: list[str], lamps: list[str], kept: set[str]) -> Finding:
        """Return the finding for all aspects that can never be, and lamps that are there for nothing else."""
        dark = listed(lamps)
        what = f", so its {dark} {'are' if len(lamps) > 1 else 'is'} never lit" if dark else ""
        seen = reach(signal.layout, Beyond.ASSUMED)
        return self.finding(
            f"{signal.name} never shows {listed(idle)}{what}",
            signal.spot("form") if signal.entry.form else signal.spot(),
            related=_shown_at(signal, idle),
            because="; ".join(_ahead(seen, stand) for stand in seen.network.of_signal[signal.name] if stand.vias),
            tip=without(signal, kept, lamps, seen.network)
            if signal.entry.routes
            else f"{kind_of(signal)} has more than it needs",
        )


def _asked(seen: Reach, stand: Stand) -> bool:
    """Tell whether a signal is asked anything at all."""
    return any(state.via is not None for state in seen.states.get(stand.key, ()))


def _used(unit: Unit, possible: set[tuple[str, str]]) -> bool:
    """Tell whether a unit is ever off; for one that never is, the plan tells no routes."""
    return any((unit.part, aspect) in possible for aspect in unit.able if aspect not in unit.rest)


def _meant(signal: BoundSignal, book: Rulebook, unit: Unit) -> list[str]:
    """Return the aspects that a unit is there to show: those its form must be able to, or the plan names."""
    optional = book.forms[unit.form].optional
    named = {shown.aspect.rpartition(".")[2] for shown in signal.entry.shows}
    named |= {name.rpartition(".")[2] for name in signal.entry.gives}
    return [aspect for aspect in unit.able if aspect not in optional or aspect in named]


def _dark(signal: BoundSignal, book: Rulebook, possible: set[tuple[str, str]]) -> list[str]:
    """Return the lamps that no possible aspect lights; places without one do not count."""
    whole = reader(book, signal.form_name, signal.years, signal.entry.regime)
    lit = {
        lamp
        for part, aspect in possible
        for display in whole.displays(f"{part}.{aspect}" if part else aspect)
        for lamp in display
    }
    empty = {signal.element(lamp) for lamp in signal.entry.blanked}
    return [lamp for lamp in whole.lamps if lamp not in lit | empty]


def _shown_at(signal: BoundSignal, aspects: list[str]) -> list[Spot]:
    """Return where the plan itself has the aspects."""
    return [
        signal.spot("shows", shown.aspect, label="never shown", on_key=True)
        for shown in signal.entry.shows
        if shown.aspect.rpartition(".")[2] in aspects
    ]


def _ahead(seen: Reach, stand: Stand) -> str:
    """Say what stands ahead of a signal at most."""
    told = []
    for key in dict.fromkeys(key for via in stand.vias for key in via.ahead):
        faces = list(dict.fromkeys(face.aspect for face in seen.faces.get(key, ()) if face.near is None))
        if faces and faces[0] in ENDS:
            told.append(f"the line ends at {key}" if faces[0] == BUFFERS else f"signalling ends at {key}")
        else:
            told.append(f"{key} shows {listed(faces, 'or')}" if faces else f"nothing is known of {key}")
    return f"ahead of {stand.name}, {listed(told)}"
