"""Who tells of whom: signals, ends, and the routes and repeating that join them, over all files of a layout."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright.layout import Layout
from lampwright.plans.model import DUMMY
from lampwright.routes import MAIN, facts, known_words, release, route_class
from lampwright.rulebooks.codec import as_words
from lampwright.rulebooks.sequence import BUFFERS, END
from lampwright.working.faces import occupied_by
from lampwright.working.posts import DISTANT, SHUNT, Post
from lampwright.working.units import post

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright.rulebooks import Rulebook

NEAREST: Final = ""
ALL_OFF: Final = "all-off"
ONE_OFF: Final = "the-one-off"
"""Which of several signals ahead a distant tells of: the nearest, all at once, or the one that is off."""
FOLLOWING: Final = frozenset({ALL_OFF, ONE_OFF})
STANDS_FOR: Final = {"buffer-stop": BUFFERS, "unsignalled": END}
"""What stands at an end of each kind, where the plan does not say what to assume."""

Facts = tuple[tuple[str, Any], ...]
"""Facts of a route as a key."""
Passing = tuple[str, "Route"]
"""A route that passes a signal, with the signal it begins at."""


class Via(Struct, frozen=True, eq=False, dict=True):
    """A way a signal can be asked to show something: a route set from it, or over it, or signals it repeats.

    ``ahead`` are the keys of what it looks at; ``how`` tells which of several counts. ``exit`` is what the route leads
    to. A ``loose`` one looks past a distant at the exit itself: it is not asked for, but done.

    ``held`` is the route that must be set, from the signal ``owner``: its own, or one that passes it; ``over`` is the
    track of that.
    """

    stand: Stand
    route: Route | None
    facts: Facts
    ahead: tuple[str, ...]
    how: str = NEAREST
    exit: str = ""
    held: Route | None = None
    owner: str = ""
    over: frozenset[str] = frozenset()
    loose: bool = False


class Stand(Struct, eq=False, dict=True):
    """A signal, or a distant as it stands while one of several routes is set past it.

    ``name`` is the signal's, with its file before it if that is another; ``rests`` tells that it may stand with no
    route set, ``unclear`` that what it is asked is not all known: a route ends at no signal that stops trains, or has
    a class or release that no rule knows.
    """

    key: str
    name: str
    signal: BoundSignal
    post: Post
    rests: bool
    unclear: bool = False
    vias: list[Via] = field(default_factory=list)


class Limit(Struct, frozen=True, eq=False, dict=True):
    """Where what is known ends: an end of the plan, a signal nothing is known of, a name that leads nowhere.

    ``shows`` is what the plan says stands there, in the words of the rulebook of ``layout``; ``open`` tells that it may
    be anything as well.
    """

    key: str
    layout: Layout
    shows: tuple[str, ...] = ()
    open: bool = True


class Network:
    """Everything that the signals of a layout look at, however far ahead, by its key."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.stands: dict[str, Stand] = {}
        self.limits: dict[str, Limit] = {}
        self.behind: dict[str, list[Via]] = {}
        self.of_signal: dict[str, list[Stand]] = {}
        self._files = {"": _File(layout, "", layout.plan.stem)}
        self._waiting: deque[str] = deque()
        self._joined: set[str] = set()
        for name in layout.signals:
            self._know(name)
        while self._waiting:
            self._settle(self._waiting.popleft())

    @property
    def books(self) -> dict[str, Rulebook]:
        """The rulebooks of all signals and ends by their ids."""
        books = [stand.post.rulebook for stand in self.stands.values()]
        books += [limit.layout.rulebook for limit in self.limits.values() if limit.layout.rulebook is not None]
        return {book.id: book for book in books}

    def name(self, key: str) -> str:
        """Return the signal, or what stands at the edge of what is known, that a key means."""
        return self.stands[key].name if key in self.stands else key

    def _know(self, name: str) -> str:
        """See to it that a name has a stand or a limit; return the name."""
        if name in self.of_signal or name in self.limits:
            return name
        file, inner = self._place(name)
        if file is None:
            self.limits[name] = Limit(name, self.layout)
        elif inner in file.layout.plan.ends:
            self.limits[name] = _end(name, file.layout, file.layout.plan.ends[inner] or {})
        elif (signal := file.layout.signals.get(inner)) is None or (stood := _post(signal, file)) is None:
            self.limits[name] = Limit(name, file.layout)
        else:
            self.of_signal[name] = [Stand(name, name, signal, stood, rests=not stood.only_tells)]
            self.stands[name] = self.of_signal[name][0]
            self._waiting.append(name)
        return name

    def _join(self, name: str) -> None:
        """Find out what a signal looks at."""
        self._joined.add(name)
        stand = self.stands[name]
        file, inner = self._place(name)
        if file is None:
            return
        for route in stand.signal.entry.routes:
            goal = self._know(file.name(route.to))
            if _understood(stand, route) and not (goal in self.stands and self.stands[goal].post.only_tells):
                self._add(stand, route, stand.name, self._first(stand.name, route, file), goal)
            else:
                stand.unclear = True
        passing = file.passing.get(inner, ())
        if stand.post.only_tells:
            self._repeat(stand, file, passing)
        elif stand.post.has(SHUNT):
            for owner, route in passing:
                goal = self._know(file.name(route.to))
                self._add(stand, route, file.name(owner), goal, goal)

    def _repeat(self, stand: Stand, file: _File, passing: Sequence[Passing]) -> None:
        """Let a distant or repeater look at what it repeats, or at the exits of the routes that pass it."""
        repeated = tuple(self._told(file.name(name)) for name in stand.signal.entry.repeats)
        exits = dict.fromkeys(self._know(file.name(route.to)) for _, route in passing)
        if repeated or len(exits) == 1:
            how = follows(stand) if len(repeated) > 1 else NEAREST
            ahead = repeated or tuple(exits)
            self._see(Via(stand, None, (), ahead if how in FOLLOWING else ahead[:1], how))
            return
        stand.rests = True  # no route set past it, or nothing known to repeat
        for owner, route in passing:
            goal = self._know(file.name(route.to))
            key = _apart(stand.key, file.name(owner), route)
            self.stands[key] = Stand(key, stand.name, stand.signal, stand.post, rests=False)
            self.of_signal[stand.name].append(self.stands[key])
            over = occupied_by(route, goal)
            self._see(Via(self.stands[key], None, (), (goal,), NEAREST, goal, route, file.name(owner), over))

    def _told(self, name: str) -> str:
        """Return what a name tells of where a repeater is named: to repeat that one is to repeat its signal."""
        seen: set[str] = set()
        while (key := self._know(name)) in self.stands and key not in seen:
            seen.add(key)
            stand = self.stands[key]
            if not stand.post.only_tells or stand.post.has(DISTANT) or not stand.signal.entry.repeats:
                break
            file, _ = self._place(key)
            if file is None:
                break
            name = file.name(stand.signal.entry.repeats[0])
        return key

    def _first(self, owner: str, route: Route, file: _File) -> str:
        """Return what a train sees first on a route: a distant on the way, or else its exit."""
        goal = self._know(file.name(route.to))
        for passed in route.passes:
            key = self._know(file.name(passed))
            if key in self.stands and self.stands[key].post.only_tells and self.stands[key].post.has(DISTANT):
                self._settle(key)
                apart = _apart(key, owner, route)
                return apart if apart in self.stands else key
        return goal

    def _settle(self, key: str) -> None:
        """Join a signal, if that has not been done: a distant comes before those that look at it.

        Only then it is known how many stands it has.
        """
        if key not in self._joined:
            self._join(key)

    def _add(self, stand: Stand, route: Route, owner: str, ahead: str, goal: str) -> None:
        """Let a signal look ahead over a route."""
        said, over = tuple(sorted(facts(stand.signal, route).items())), occupied_by(route, goal)
        self._see(Via(stand, route, said, (ahead,), NEAREST, goal, route, owner, over))
        if ahead != goal:
            past = Via(stand, route, said, (goal,), NEAREST, goal, route, owner, over, loose=True)
            self.behind.setdefault(goal, []).append(past)

    def _see(self, via: Via) -> None:
        """Enter a way of looking ahead from both sides."""
        via.stand.vias.append(via)
        for key in via.ahead:
            self.behind.setdefault(key, []).append(via)

    def _place(self, name: str) -> tuple[_File | None, str]:
        """Return the file a name belongs to, and the name in it."""
        stem, slash, inner = name.rpartition("/")
        if stem not in self._files and slash:
            other = self.layout.others.get(stem)
            if other is None:
                return None, inner
            bound = Layout(other, self.layout.library, self.layout.settings, self.layout.others)
            self._files[stem] = _File(bound, stem, self.layout.plan.stem)
        return self._files[stem], inner


def network_of(layout: Layout) -> Network:
    """Return the network of a layout, worked out once."""
    if "network" not in layout.cache:
        layout.cache["network"] = Network(layout)
    found: Network = layout.cache["network"]
    return found


class _File:
    """One file of the layout: its signals, and the routes that pass each.

    ``stem`` is empty for the file that is looked at, which the others call ``first``.
    """

    def __init__(self, layout: Layout, stem: str, first: str) -> None:
        self.layout = layout
        self._stem = stem
        self._first = first
        self.passing: dict[str, list[Passing]] = {}
        for signal in layout.signals.values():
            for route in signal.entry.routes:
                for passed in route.passes:
                    self.passing.setdefault(passed, []).append((signal.name, route))

    def name(self, written: str) -> str:
        """Return a name as the whole layout knows it."""
        stem, slash, inner = written.rpartition("/")
        if not slash:
            return f"{self._stem}/{written}" if self._stem else written
        return inner if stem == self._first else written


def _apart(key: str, owner: str, route: Route) -> str:
    """Return the key of a distant as it stands while one of several routes is set past it."""
    return f"{key} on {owner} to {route.to}, {route.path[-1]}"


def follows(stand: Stand) -> str:
    """Return which of several signals ahead a distant tells of, by the data of its form."""
    book = stand.post.rulebook
    forms = (book.forms[unit.form] for unit in stand.post.units if unit.form)
    return next((form.follows for form in forms if form.follows), NEAREST)


def _understood(stand: Stand, route: Route) -> bool:
    """Tell whether the rules know the words by which a route is described."""
    book = stand.post.rulebook
    known = ((MAIN, *known_words(book, "class")), ("", *known_words(book, "release")))
    return route_class(route) in known[0] and release(route) in known[1]


def _post(signal: BoundSignal, file: _File) -> Post | None:
    """Return the post of a signal; None if nothing can be known of it."""
    entry = signal.entry
    if entry.stage == DUMMY:
        return None
    if signal.form_name or (entry.routes and not entry.repeats and entry.name not in file.passing):
        return post(signal)
    return None


def _end(key: str, layout: Layout, said: Mapping[str, Any]) -> Limit:
    """Return what stands at an end of the plan."""
    assumed = as_words(said["assume"]) if said.get("assume") is not None else ()
    kind = str(said.get("kind", ""))
    if assumed:
        return Limit(key, layout, assumed, open=kind not in STANDS_FOR)
    return Limit(key, layout, (STANDS_FOR[kind],), open=False) if kind in STANDS_FOR else Limit(key, layout)
