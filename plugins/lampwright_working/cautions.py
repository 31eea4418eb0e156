"""Which signals warn of a red, and from how far: the way back from a signal at stop to the last one still clear."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.working.measures import UNKNOWN, total
from lampwright.working.posts import DISTANT, STOP, STOPPING
from lampwright.working.reach import reach
from lampwright.working.units import post
from lampwright.working.warning import warns
from lampwright.working.worlds import excludes
from lampwright_working.stretches import Stretch, leaving, stretch_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.working.faces import Face
    from lampwright.working.measures import Length
    from lampwright.working.network import Stand
    from lampwright.working.reach import Reach, State

FARTHEST: Final = 6
"""Signals that are looked at on the way back; no sequence warns from farther."""
PROCEED: Final = "proceed"


class Warned(Struct, frozen=True):
    """A signal on the way to a red, what it then shows, and how far on the red is."""

    signal: BoundSignal
    aspect: str
    distance: Length


class Approach(Struct, frozen=True):
    """A way to a signal at stop. ``way`` are its stretches from the first that has a warning signal, in running order.

    ``warnings`` are in running order too, the first caution first; that may be a distant inside the first stretch.
    ``clear`` is the stretch that brings trains from a signal which is still clear; with a distant it is the first of
    the way. None at the edge of the layout.
    """

    way: tuple[Stretch, ...]
    warnings: tuple[Warned, ...]
    clear: Stretch | None

    @property
    def red(self) -> str:
        """The signal at stop."""
        return self.way[-1].route.to

    @property
    def first(self) -> Warned:
        """The first caution."""
        return self.warnings[0]

    @property
    def by_distant(self) -> bool:
        """Tell whether the first caution is a distant's."""
        return self.clear is self.way[0]

    @property
    def following(self) -> Length:
        """How far the red is from the signal still clear: what a train must keep between it and the one before."""
        if self.clear is None:
            return UNKNOWN
        return total(stretch.length for stretch in (self.way if self.by_distant else (self.clear, *self.way)))


def approaches(layout: Layout) -> tuple[Approach, ...]:
    """Return every way to a signal that can stand at stop, as far back as signals warn of it; worked out once."""
    if "approaches" not in layout.cache:
        known = reach(layout)
        stands = [stand for stand in known.network.stands.values() if stand.post.has(STOP)]
        ways = {way: None for stand in stands for way in _Walk(layout, known, stand)}
        layout.cache["approaches"] = tuple(ways)
    found: tuple[Approach, ...] = layout.cache["approaches"]
    return found


def warns_early(signal: BoundSignal) -> bool:
    """Tell whether a signal can warn of a stop that is not at the next signal but at the second."""
    stood = post(signal)
    if stood is None:
        return False
    known = stood.rulebook.aspects
    return any(known[aspect].says.get("stop-at") == "second" for unit in stood.units for aspect in unit.able)


def always_warns(signal: BoundSignal) -> str:
    """Return the one aspect of a distant that can never show another, if it warns; else an empty text."""
    stood = post(signal) if signal.form_name else None
    if stood is None or not all(unit.role == DISTANT for unit in stood.units):
        return ""
    able = {aspect for unit in stood.units for aspect in unit.able}
    return next((aspect for aspect in able if len(able) == 1 and warns(stood.rulebook, aspect)), "")


class _Trail(Struct, frozen=True):
    """What was found on the way back so far; ``distants`` warn too, and it is not known yet where they stand."""

    way: tuple[Stretch, ...] = ()
    warnings: tuple[Warned, ...] = ()
    states: tuple[State, ...] = ()
    distants: tuple[tuple[BoundSignal, str], ...] = ()


class _Walk:
    """The ways back from one red, over everything that looks at it."""

    def __init__(self, layout: Layout, known: Reach, red: Stand) -> None:
        """Take the red, and all that is known of what signals show."""
        self.layout = layout
        self.known = known
        self.red = red

    def __iter__(self) -> Iterator[Approach]:
        """Yield the ways."""
        for face in self.known.faces.get(self.red.key, {}):
            if self.red.post.authority(face.aspect) in STOPPING:
                yield from self._behind(self.red.key, face, _Trail())

    def _behind(self, key: str, face: Face, trail: _Trail) -> Iterator[Approach]:
        """Yield the ways over everything that looks at a signal while it shows a face."""
        states = [state for state in self._looking(key, face) if self._together(state, trail)]
        if trail.warnings and (not states or len(trail.states) >= FARTHEST):
            yield Approach(trail.way, trail.warnings, None)
            return
        for state in states:
            yield from self._at(state, trail)

    def _looking(self, key: str, face: Face) -> Iterator[State]:
        """Yield what signals show when they see a face: what must stand, and before a train has come near."""
        stands = {via.stand.key: via.stand for via in self.known.network.behind.get(key, ())}
        for stand in stands.values():
            for state in self.known.states.get(stand.key, ()):
                if not state.choice and state.near is None and any((n.key, n.face) == (key, face) for n in state.needs):
                    yield state

    def _at(self, state: State, trail: _Trail) -> Iterator[Approach]:
        """Yield the ways past a signal: on if it warns, to an end if it is clear; none if it stops trains."""
        stood, aspect = state.stand.post, state.face.aspect
        if stood.authority(aspect) != PROCEED or state.via is None:
            return
        warning = self._warning(state)
        if state.via.route is None:
            if stood.has(DISTANT):
                told = ((state.stand.signal, warning),) if warning else ()
                past = _Trail(trail.way, trail.warnings, trail.states, (*told, *trail.distants))
                yield from self._behind(state.stand.key, state.face, past)
            return
        stretch = stretch_of(self.layout, state.stand.signal, state.via.route)
        way = self._joined(stretch, trail)
        if not way:
            return
        warnings = (*_placed(stretch, way[1:], trail), *trail.warnings)
        if warning:
            here = Warned(state.stand.signal, warning, total(item.length for item in way))
            more = _Trail(way, (here, *warnings), (state, *trail.states))
            yield from self._behind(state.stand.key, state.face, more)
        elif trail.distants:
            yield Approach(way, warnings, stretch)
        elif warnings:
            yield Approach(trail.way, warnings, stretch)

    def _warning(self, state: State) -> str:
        """Return the aspect by which a post warns of a stop; of a post whose heads share out the routes, as seen.

        A distant below a stop signal warns by itself.
        """
        stood = state.stand.post
        shown = [state.face.aspect]
        if not any("next-route" in coupling.when for coupling in stood.coupling):
            roles = (unit.role for unit in stood.units)
            shown += [aspect for role, (_, aspect) in zip(roles, state.answer.shows, strict=True) if role == DISTANT]
        return next((aspect for aspect in shown if warns(stood.rulebook, aspect)), "")

    def _together(self, state: State, trail: _Trail) -> bool:
        """Tell whether a route can be set with those on the way so far, and is not one of them."""
        return not any(state is other or excludes(state, other) for other in trail.states)

    def _joined(self, stretch: Stretch, trail: _Trail) -> tuple[Stretch, ...]:
        """Return the way from the beginning of a stretch to the red, which a distant may see past other signals.

        Nothing if there is no such way.
        """
        if trail.way or stretch.route.to.rpartition("/")[2] == self.red.signal.name:
            return (stretch, *trail.way)
        rest = _between(self.layout, stretch.route.to, self.red.name)
        return (stretch, *rest) if rest else ()


def _placed(stretch: Stretch, beyond: tuple[Stretch, ...], trail: _Trail) -> Iterator[Warned]:
    """Yield the distants passed on a stretch, each with how far on the red is."""
    for signal, aspect in trail.distants:
        yield Warned(signal, aspect, _ahead(signal, stretch) + total(item.length for item in beyond))


def _ahead(signal: BoundSignal, stretch: Stretch) -> Length:
    """Return how far a signal passed on a stretch stands from its exit."""
    if said := signal.entry.rest.get("distance"):
        return stretch.yard.length(said)
    section = signal.entry.rest.get("section")
    return UNKNOWN if section is None else stretch.beyond(str(section))


def _between(layout: Layout, start: str, end: str) -> tuple[Stretch, ...]:
    """Return the stretches of the way with fewest signals from one to another; none if there is no such way."""
    ways: list[tuple[Stretch, ...]] = [()]
    seen = {start}
    for way in ways:
        here = way[-1].route.to if way else start
        if here == end:
            return way
        for stretch in leaving(layout, here):
            if stretch.route.to not in seen:
                seen.add(stretch.route.to)
                ways.append((*way, stretch))
    return ()
