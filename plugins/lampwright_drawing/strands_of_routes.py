"""Strands from routes alone: sections in the order in which trains run over them."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from lampwright_drawing.strands import END, SECTION, TURNS, Place, Strands, Ways, kind_of_end, odd, routes_of, strand

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.plans import Plan, Route

YARD: Final = "unsignalled"


def from_routes(plan: Plan) -> Strands:
    """Return the strands of a plan without a track."""
    return _Reader(plan).strands()


class _Reader:
    """Reads routes one after the other."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.made = Strands()
        self.routes = _with_track(routes_of(plan))
        self.right = _ways(plan, self.routes)
        self.routes = _parting(self.routes, self.right)
        self.leading: dict[str, list[str]] = {}
        for _, _, route in self.routes:
            if route.over:
                self.leading.setdefault(route.to, []).append(route.over[-1])

    def strands(self) -> Strands:
        """Return everything."""
        for signal, index, route in self.routes:
            self._route(signal, index, route)
        for name in self.plan.signals:
            self._enter(name, [route.over[0] for signal, _, route in self.routes if signal == name and route.over])
        self._repeaters()
        self._points()
        return self.made

    def _route(self, signal: str, index: int, route: Route) -> None:
        """Add the sections of a route, what leads to it, and the end it leads to."""
        run = [*self.leading.get(signal, ())[:1], *route.over]
        line = ""
        for name in run:
            self.made.strands.setdefault(name, strand(self.plan, name, SECTION))
            line = line or self.made.strands[name].line
        if route.to in self.plan.ends and run:
            run.append(self._end(route.to, run[-1], to_right=self.right[signal]))
        self._join(run, signal, main=_straight(route))
        for before in self.leading.get(signal, ())[1:]:
            if route.over:
                self._join([before, route.over[0]], signal, main=_straight(route))
        own = len(self.leading.get(signal, ())[:1])
        self.made.routes[signal, index] = run[own:]

    def _end(self, name: str, at: str, *, to_right: bool) -> str:
        """Add an end of the plan beyond a section; one that is reached from both sides is drawn at each."""
        key = name if name not in self.made.strands or self._joined(name, at) else f"{name} {at} {to_right}"
        self.made.strands.setdefault(key, strand(self.plan, name, END, self.made.strands[at].line))
        return key

    def _joined(self, name: str, at: str) -> bool:
        """Tell whether an end is drawn beyond a section already."""
        return (at, name) in self.made.joints or (name, at) in self.made.joints

    def _join(self, run: list[str], signal: str, *, main: bool) -> None:
        """Join strands as a train from a signal runs over them."""
        ordered = run if self.right[signal] else run[::-1]
        for left, right in pairwise(ordered):
            self.made.join(left, right, main=main)

    def _enter(self, name: str, first: list[str]) -> None:
        """Let a signal stand where its routes begin, or where those to it end; add what a train comes from."""
        right, leading = self.right[name], self.leading.get(name, [])
        if leading and (not first or self._merges(set(leading), first[0], to_right=right)):
            self.made.places[name] = Place(leading[0], at_right=right, rightward=right)
        elif first:
            self.made.places[name] = Place(first[0], at_right=not right, rightward=right)
            came = self.made.before(first[0]) if right else self.made.after(first[0])
            start = next(iter(self.plan.signals[name].starts), "")
            if start and not leading and not came:
                key = f"from {name}"
                said = strand(self.plan, start, END, self.made.strands[first[0]].line)
                self.made.strands[key] = said
                self._join([key, first[0]], name, main=True)

    def _merges(self, leading: set[str], first: str, *, to_right: bool) -> bool:
        """Tell whether others join where a signal's routes begin, so that it stands before that."""
        came = self.made.before(first) if to_right else self.made.after(first)
        return len(leading) == 1 and len(came) > 1

    def _repeaters(self) -> None:
        """Let repeaters and distants stand before what they repeat, on the section that leads there."""
        for name, signal in self.plan.signals.items():
            passed = [route for _, _, route in self.routes if name in route.passes and route.over]
            repeated = next((one for one in signal.repeats if one in self.made.places), "")
            if name in self.made.places or not (passed or repeated):
                continue
            if passed:
                goal = self.right.get(passed[0].to, True)
                self.made.places[name] = Place(passed[0].over[-1], at_right=goal, rightward=goal, back=1)
            else:
                ahead = self.made.places[repeated]
                came = self.made.before(ahead.strand) if ahead.rightward else self.made.after(ahead.strand)
                if came and ahead.at_right != ahead.rightward:
                    self.made.places[name] = Place(came[0], at_right=ahead.rightward, rightward=ahead.rightward, back=1)

    def _points(self) -> None:
        """Name points where strands part: those that lie otherwise for one branch than for another."""
        lies: dict[tuple[str, bool], dict[str, dict[str, set[str]]]] = {}
        for signal, _, route in self.routes:
            for one, other in pairwise(route.over):
                right = self.right[signal]
                for place, branch in (((one, right), other), ((other, not right), one)):
                    for points, lie in route.points.items():
                        lies.setdefault(place, {}).setdefault(points, {}).setdefault(lie, set()).add(branch)
        named: set[str] = set()
        for place, of in lies.items():
            for points, by_lie in of.items():
                branches = list(by_lie.values())
                if len(branches) > 1 and not branches[0] & branches[1] and points not in named:
                    named.add(points)
                    self.made.named.setdefault(place, []).append(points)


def _straight(route: Route) -> bool:
    """Tell whether trains run on by a route as the track does: it is a main one, and not said to turn."""
    return not route.kind and route.turns not in TURNS


def _with_track(routes: list[tuple[str, int, Route]]) -> list[tuple[str, int, Route]]:
    """Give routes that say no sections the track that must be there: to where they lead, and where they part.

    It is called ``to HF3``, or ``at HF1``; no section of a plan has a space in its name.
    """
    led = {route.to for _, _, route in routes}
    exits: dict[str, set[str]] = {}
    for signal, _, route in routes:
        exits.setdefault(signal, set()).add(route.to)
    return [
        (signal, index, route if route.over else replace(route, over=_track(signal, route, exits[signal], led)))
        for signal, index, route in routes
    ]


def _track(signal: str, route: Route, exits: set[str], led: set[str]) -> tuple[str, ...]:
    """Return the track of a route that says none."""
    parting = (_at(signal),) if len(exits) > 1 and signal not in led else ()
    return (*parting, f"to {route.to}")


def _parting(routes: list[tuple[str, int, Route]], right: Mapping[str, bool]) -> list[tuple[str, int, Route]]:
    """Give signals that nothing leads to the track where their routes part, if nothing else leads to these."""
    leading = {route.to: route.over[-1] for _, _, route in routes if route.over}
    reached = set()
    firsts: dict[str, set[str]] = {}
    for signal, _, route in routes:
        run = [leading[signal], *route.over] if signal in leading else [*route.over]
        reached |= {(after, right[signal]) for after in run[1:]} | {(before, not right[signal]) for before in run[:-1]}
        firsts.setdefault(signal, set()).update(run[:1])
    parts = {
        signal
        for signal, first in firsts.items()
        if len(first) > 1 and signal not in leading and not any((name, right[signal]) in reached for name in first)
    }
    return [
        (signal, index, replace(route, over=tuple(dict.fromkeys((_at(signal), *route.over)))))
        if signal in parts
        else (signal, index, route)
        for signal, index, route in routes
    ]


def _at(signal: str) -> str:
    """Return what the track is called where the routes of a signal part."""
    return f"at {signal}"


def _ways(plan: Plan, routes: list[tuple[str, int, Route]]) -> dict[str, bool]:
    """Tell for each signal whether trains run to the right past it: as the first signal does, or against it."""
    ways = Ways(plan.signals)
    for name, _, route in routes:
        for other in (route.to, *route.passes):
            if other in plan.signals:
                ways.tell(name, other, against=False)
    for name, signal in plan.signals.items():
        for other in signal.repeats:
            if other in plan.signals:
                ways.tell(other, name, against=False)
    _by_order(ways, routes)
    _by_ends(plan, ways, routes)
    first = next(iter(plan.signals), "")
    for name in plan.signals:
        here = odd(name)
        ways.tell(first, name, against=here is not None and odd(first) is not None and here != odd(first))
    return {name: ways.root(name)[1] == ways.root(first)[1] for name in plan.signals}


def _by_order(ways: Ways, routes: list[tuple[str, int, Route]]) -> None:
    """Compare the order in which trains run over the same two sections, one behind a signal included."""
    leading = {route.to: route.over[-1] for _, _, route in routes if route.over and not route.kind}
    seen: dict[tuple[str, str], str] = {}
    for name, _, route in routes:
        if route.kind:
            continue
        run = [leading[name], *route.over] if name in leading else route.over
        for pair in pairwise(run):
            if pair in seen:
                ways.tell(seen[pair], name, against=False)
            elif pair[::-1] in seen:
                ways.tell(seen[pair[::-1]], name, against=True)
            seen.setdefault(pair, name)


def _by_ends(plan: Plan, ways: Ways, routes: list[tuple[str, int, Route]]) -> None:
    """Note that what comes from an end runs against what arrives there; a yard may be reached from both sides."""
    arriving = {route.to: name for name, _, route in routes if kind_of_end(plan, route.to) not in ("", YARD)}
    for name, signal in plan.signals.items():
        for start in signal.starts:
            if start in arriving:
                ways.tell(arriving[start], name, against=True)
