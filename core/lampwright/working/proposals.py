"""Which forms can say everything a signal is asked, fewest lamps first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright.routes import asks_of_line, facts, line_known
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import fits
from lampwright.working.faces import released_by
from lampwright.working.lacks import going
from lampwright.working.posts import STOPPING
from lampwright.working.reach import Beyond, reach
from lampwright.working.units import of_form, post
from lampwright.working.warning import unwarned

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form
    from lampwright.working.posts import Answer, Post
    from lampwright.working.reach import Reach, State


USUAL: Final = "high"
"""How a signal stands if neither plan nor rulebook says more."""


class Proposal(Struct, frozen=True):
    """A form that suffices: what it then shows, part by part as ``main.clear``, and how many lights it has."""

    form: str
    aspects: tuple[str, ...]
    lights: int


class Wanted(Struct, frozen=True):
    """An indicator that a route needs: the condition of the rulebook that says so."""

    route: Route
    indicator: str
    condition: Path


def proposals(signal: BoundSignal) -> list[Proposal]:
    """Return the forms in use in the signal's years that can say all it is asked, fewest lights first.

    A form says what is asked if it never lets trains go otherwise than the sequence would, never unwarned at a red, and
    never holds them back for want of an aspect. A light is one colour of one lamp. Of two forms with as many, one that
    was still put up in those years comes first, then in the rulebook's order.
    """
    book, seen = signal.rulebook, reach(signal.layout, Beyond.GUESSED)
    ideal = post(signal, formless=True)
    own = {route.path for route in signal.entry.routes}
    states = (state for state in seen.of(signal.name) if state.route is not None and state.route.path in own)
    asked = list({(state.via, state.ahead): state for state in states}.values())
    if book is None or ideal is None or not asked:
        return []
    trial = Trial(seen, ideal, asked)
    found = []
    for form in _candidates(signal, book):
        shown = trial.of(of_form(signal, book, form))
        if shown is not None:
            found.append(Proposal(form, shown, _lights(signal, book, form)))
    return sorted(found, key=lambda item: (item.lights, not _still_made(signal, book.forms[item.form])))


class Trial(Struct, frozen=True):
    """Everything a signal is asked, to be put to other posts; ``ideal`` is one that can give every aspect."""

    reach: Reach
    ideal: Post
    asked: list[State]

    def of(self, post: Post) -> tuple[str, ...] | None:
        """Return what a post shows for all that is asked, at stop first; None if it cannot say something."""
        shown = {_named(post, answer.shows): None for answer in post.resting()}
        for state in self.asked:
            put = list(self._put(state, post))
            if any(self._wrong(post, trial) for trial in put):
                return None
            ideal = (going(self.ideal, answers[0]) for _, answers in self.reach.asking.put(state, self.ideal))
            if frozenset().union(*(going(post, trial.answer) for trial in put)) != frozenset().union(*ideal):
                return None
            shown.update(dict.fromkeys(_named(post, trial.answer.shows) for trial in put))
        return tuple(dict.fromkeys(aspect for aspects in shown for aspect in aspects))

    def _put(self, state: State, post: Post) -> Iterator[State]:
        """Yield the states of a post where the signal is asked something, before a train is near and after."""
        for approached, answers in self.reach.asking.put(state, post):
            near = released_by(state.via) if approached and state.via else None
            yield replace(state, stand=replace(state.stand, post=post), answer=answers[0], near=near)

    def _wrong(self, post: Post, trial: State) -> bool:
        """Tell whether a post cannot say what is asked."""
        return (
            trial.answer.failed or _held_back(post, trial.answer) or unwarned(self.reach, trial, edge=True) is not None
        )


def _held_back(post: Post, answer: Answer) -> bool:
    """Tell whether a unit shows something tighter than what is asked first, for want of that."""
    order = post.rulebook.order
    return any(
        step.wanted and step.must != step.wanted[0] and step.wanted[0] in order.freer(step.must)
        for step in answer.steps
    )


def indicators_wanted(signal: BoundSignal) -> Iterator[Wanted]:
    """Yield the route indicators that the signal's routes need, by what the rulebook says of each kind.

    Of kinds that are needed in the same cases the first in use is named.
    """
    book = signal.rulebook
    if book is None:
        return
    for route in signal.entry.routes:
        found = (_needed(book, name, signal, route) for name in book.indicators)
        yield from [wanted for wanted in found if wanted is not None][:1]


def _needed(book: Rulebook, name: str, signal: BoundSignal, route: Route) -> Wanted | None:
    """Return why a route needs an indicator of a kind; None if it does not."""
    indicator = book.indicators[name]
    if not indicator.needed or (signal.years is not None and not indicator.years.covers(signal.years)):
        return None
    known = {"route": facts(signal, route)}
    path: Path = ("indicators", name, "needed")

    def asks(when: Mapping[str, Any]) -> bool:
        return fits(book, when, known) and (not asks_of_line(when) or line_known(signal, route))

    if not isinstance(indicator.needed, list):
        return Wanted(route, name, path) if asks(indicator.needed) else None
    fitting = (number for number, when in enumerate(indicator.needed) if asks(when))
    number = next(fitting, None)
    return None if number is None else Wanted(route, name, (*path, number))


def _candidates(signal: BoundSignal, book: Rulebook) -> Iterator[str]:
    """Yield the forms that may stand where the signal does: in use in its years, mounted as it is, for its work."""
    for name, form in book.forms.items():
        forms = [form, *(book.forms[part.form] for part in form.parts.values())]
        if signal.years is not None and not all(item.years.covers(signal.years) for item in forms):
            continue
        mounts = ("", signal.entry.mount or USUAL)
        if form.mount in mounts and _stops(signal, book, name):
            yield name


def _stops(signal: BoundSignal, book: Rulebook, form: str) -> bool:
    """Tell whether a form can stop a train."""
    units = of_form(signal, book, form).units
    return any(book.aspects[aspect].says.get("authority") in STOPPING for unit in units for aspect in unit.able)


def _named(post: Post, shows: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """Return aspects by their names on the post, without units that are dark by an aspect that tells nothing."""
    told = ((part, aspect) for part, aspect in shows if post.authority(aspect) not in ("", "none"))
    return tuple(f"{part}.{aspect}" if part else aspect for part, aspect in told)


def _lights(signal: BoundSignal, book: Rulebook, form: str) -> int:
    """Return how many lights a form has."""
    return sum(len(tokens) for tokens in _colours(signal, book, form))


def _colours(signal: BoundSignal, book: Rulebook, form: str) -> Iterator[tuple[str, ...]]:
    """Yield the colours of each lamp of a form, its parts' included."""
    reads = reader(book, form, signal.years)
    for inner in reads.parts.values() or (reads,):
        yield from (lamp.colours for lamp in inner.anatomy.lamps.values())


def _still_made(signal: BoundSignal, form: Form) -> bool:
    """Tell whether new ones were put up in the signal's years."""
    return signal.years is None or form.fitted.meets(signal.years)
