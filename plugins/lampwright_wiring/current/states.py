"""What every signal may stand at, with what it lights, and which of it can be at one moment."""

from __future__ import annotations

from functools import cached_property
from itertools import combinations, product
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK, LIT
from lampwright.tables.boxes import box, for_route, stands
from lampwright.tables.boxes import display as box_display
from lampwright.tables.building import displays
from lampwright.words import listed
from lampwright_wiring.current.lighting import Lit, all_of, lit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks.displays import Display
    from lampwright.working.posts import Post, Shows
    from lampwright.working.reach import Reach, State
    from lampwright_wiring.model import WiredLamp, Wiring


class Choice(Struct, frozen=True, eq=False):
    """One thing a signal may stand at: what it ``says`` (``clear to HF5``) and what of it is lit."""

    signal: str
    says: str
    lit: tuple[Lit, ...]
    state: State | None = None

    def __str__(self) -> str:
        """Return it as a report names it."""
        return f"{self.signal} shows {self.says}"


class Legal(Struct, frozen=True, dict=True):
    """What every signal may stand at, by its place in ``signals``.

    ``allowed`` are the pairs of choices of two signals that can be at one moment; two that have no entry never hinder
    each other. ``unread`` are signals whose displays are not known: there anything may be lit.
    """

    signals: tuple[str, ...]
    choices: tuple[tuple[Choice, ...], ...]
    allowed: Mapping[tuple[int, int], frozenset[tuple[int, int]]]
    unread: tuple[str, ...] = ()
    reach: Reach | None = None

    def doubtful(self, choices: Iterable[Choice]) -> bool:
        """Tell whether it is open if a state comes about by itself, for signals tell of each other in a circle."""
        from lampwright.working.moments import circular

        return self.reach is not None and circular(self.reach, [choice.state for choice in choices if choice.state])


def legal(layout: Layout, wiring: Wiring) -> Legal:
    """Return the legal states of a layout; worked out once.

    A signal with routes, or one that tells of others, stands at what the sequence can ask of it; any other at whatever
    its form can give. Without routes in the plan all signals do.
    """
    if "legal" not in layout.cache:
        layout.cache["legal"] = _Finder(layout, wiring).all()
    found: Legal = layout.cache["legal"]
    return found


class _Finder:
    """Finds the states of one layout."""

    def __init__(self, layout: Layout, wiring: Wiring) -> None:
        self.layout = layout
        self.wiring = wiring

    @cached_property
    def reach(self) -> Reach | None:
        """Everything that signals can be asked, where the plan gives routes; what it leaves open may be anything."""
        from lampwright.working.reach import Beyond, reach

        signals = self.layout.plan.signals.values()
        return reach(self.layout, Beyond.ANYTHING) if any(signal.routes for signal in signals) else None

    def all(self) -> Legal:
        """Return what there is to choose from."""
        found = {name: self._asked(name) for name in (self.reach.network.of_signal if self.reach else ())}
        found = {name: choices for name, choices in found.items() if choices}
        unread = []
        for name in self.wiring.by_signal:
            if name not in found:
                found[name] = self._free(self.layout.signals[name])
                if not found[name]:
                    unread.append(name)
                    found[name] = [Choice(name, "anything", all_of(self.wiring.by_signal[name]))]
        choices = tuple(tuple(each) for each in found.values())
        return Legal(tuple(found), choices, dict(self._allowed(choices)), tuple(unread), self.reach)

    def _asked(self, name: str) -> list[Choice]:
        """Return what the sequence can ask of a signal; nothing if no route and no repeating leads on from it."""
        from lampwright.working.worlds import train_clear

        assert self.reach is not None  # noqa: S101  (only then it is asked)
        stands = self.reach.network.of_signal[name]
        if not any(stand.vias for stand in stands):
            return []
        states = [state for stand in stands for state in self.reach.states.get(stand.key, ())]
        return list(_different(choice for state in states if train_clear(state, state) for choice in self._of(state)))

    def _of(self, state: State) -> Iterator[Choice]:
        """Yield a state with each of the displays that it may be shown by."""
        stand, route = state.stand, state.route
        cleared = route is not None and stand.post.cleared(state.answer.shows)
        boxes = box_display(stand.signal, for_route(stand.signal, route)) if route is not None and cleared else {}
        where = f" to {route.to}" if route is not None else ""
        lamps = self.wiring.by_signal.get(stand.name, [])
        for shows in _meant(stand.post, state.answer.shows):
            for display in displays(stand.signal.reader, shows):
                yield Choice(stand.name, says(shows) + where, lit(lamps, {**display, **boxes}), state)

    def _free(self, signal: BoundSignal) -> list[Choice]:
        """Return whatever a form can give, with each that its indicators can show beside it; nothing if it is none."""
        from lampwright.working.units import of_form, post

        if signal.rulebook is None or signal.reader is None:
            return []
        stood = post(signal) or of_form(signal, signal.rulebook, signal.form_name)
        lamps = self.wiring.by_signal[signal.name]
        shown = [(shows, display) for shows in stood.every() for display in displays(signal.reader, shows)]
        return list(
            _different(
                Choice(signal.name, f"{says(shows)}{_beside(boxes)}", lit(lamps, {**display, **boxes}))
                for shows, display in shown
                for boxes in _contents(signal, lamps, shows)
            )
        )

    def _allowed(
        self, choices: tuple[tuple[Choice, ...], ...]
    ) -> Iterator[tuple[tuple[int, int], frozenset[tuple[int, int]]]]:
        """Yield the pairs of signals that can hinder each other, with what they can stand at together."""
        from lampwright.working.moments import together

        for (one, first), (other, second) in combinations(enumerate(choices), 2):
            if self.reach is None or not _may_hinder(self.reach, first, second):
                continue
            pairs = frozenset(
                (here, there)
                for here, mine in enumerate(first)
                for there, its in enumerate(second)
                if mine.state and its.state and together(self.reach, mine.state, its.state)
            )
            if len(pairs) < len(first) * len(second):
                yield (one, other), pairs


def says(shows: Shows) -> str:
    """Return aspects as one says them: ``clear``, ``danger and shunt-proceed``."""
    return listed([aspect for _, aspect in shows if aspect and aspect != DARK]) or DARK


def _meant(post: Post, shows: Shows) -> Iterator[Shows]:
    """Yield what a post shows; what a unit should show and cannot may be anything it can."""
    able = [(aspect,) if aspect else unit.able or ("",) for unit, (_, aspect) in zip(post.units, shows, strict=True)]
    for aspects in product(*able):
        yield tuple((unit.part, aspect) for unit, aspect in zip(post.units, aspects, strict=True))


def _contents(signal: BoundSignal, lamps: Iterable[WiredLamp], shows: Shows) -> Iterator[Display]:
    """Yield what the indicators may show beside aspects: each of them nothing, or one of its contents."""
    each: dict[str, list[Display]] = {}
    for lamp in lamps:
        if lamp.indicator and stands(signal, lamp.indicator, shows):
            position = lamp.names[-1] if len(lamp.names) > 1 else ""
            each.setdefault(lamp.indicator, [{}]).append(box(signal, lamp.indicator, position or lamp.content))
    for several in product(*each.values()):
        yield {name: state for display in several for name, state in display.items()}


def _beside(boxes: Display) -> str:
    """Return what indicators show, as a report says it."""
    shown = [name if state == LIT else state for name, state in boxes.items() if "." not in name]
    return f" with {listed(shown)}" if shown else ""


def _different(choices: Iterable[Choice]) -> Iterator[Choice]:
    """Yield choices of one signal, of those that are alike in all that matters the first."""
    seen = set()
    for choice in choices:
        state = choice.state
        key = (
            frozenset(choice.lit),
            state and (state.stand.key, state.route and state.route.path, state.face, state.needs, state.near),
        )
        if key not in seen:
            seen.add(key)
            yield choice


def _may_hinder(reach: Reach, first: Iterable[Choice], second: Iterable[Choice]) -> bool:
    """Tell whether two signals can keep each other from anything at all: quick, and never no where they can."""
    one = [choice.state for choice in first if choice.state]
    other = [choice.state for choice in second if choice.state]
    return bool(one and other) and (_tells(reach, one, other) or _tells(reach, other, one) or _shares(one, other))


def _tells(reach: Reach, one: Iterable[State], other: list[State]) -> bool:
    """Tell whether a signal takes something of another."""
    name = other[0].stand.name
    stands = reach.network.stands
    needs = (stands.get(need.key) for state in one for need in state.needs)
    return any(stand is not None and stand.name == name for stand in needs)


def _shares(one: Iterable[State], other: Iterable[State]) -> bool:
    """Tell whether routes of two signals exclude each other, or the train that has released one is on the other's."""
    from lampwright.working.worlds import excludes, train_clear

    mine = {(state.near, state.stand.key, state.held and state.held.path): state for state in one}.values()
    its = {(state.near, state.stand.key, state.held and state.held.path): state for state in other}.values()
    return any(
        excludes(here, there) or not (train_clear(here, there) and train_clear(there, here))
        for here in mine
        for there in its
    )
