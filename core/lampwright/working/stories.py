"""What a state takes, in words: which route may be set while which signal shows what, down to a signal at stop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.sequence import BUFFERS, ENDS
from lampwright.words import listed

if TYPE_CHECKING:
    from lampwright.plans import Route
    from lampwright.working.faces import Face, Need
    from lampwright.working.reach import Reach, State
    from lampwright.working.worlds import World


def story(reach: Reach, state: State) -> str:
    """Tell the shortest story of a state, without what the signal itself shows; empty if no route is set."""
    world = reach.worlds.of(state) or {state.stand.name: state}
    told = [_clause(reach, state, world)]
    seen = {state.stand.name}
    while state.needs:
        stand = reach.network.stands.get(state.needs[0].key)
        if stand is None or stand.name in seen or stand.name not in world:
            break
        state = world[stand.name]
        seen.add(stand.name)
        told.append(_clause(reach, state, world))
    first, *others = [clause for clause in told if clause] or [""]
    return "".join((first, *(f", {clause.replace(' may be set', ' being set', 1)}" for clause in others)))


def way(state: State, route: Route) -> str:
    """Return a route as a story tells it: ``route TB1 to TB3 (101 reverse)``."""
    lies = ", ".join(f"{points} {lie}" for points, lie in route.points.items())
    kind = f"{route.kind} " if route.kind else ""
    return f"{kind}route {state.stand.name} to {route.to}{f' ({lies})' if lies else ''}"


def shown(state: State) -> str:
    """Return what a signal shows, part by part, without what is dark: ``danger and shunt-proceed``."""
    aspects = [aspect for _, aspect in state.answer.shows if aspect and aspect != DARK]
    lit = [aspect for aspect in aspects if state.stand.post.authority(aspect) != "none"]
    return listed(dict.fromkeys(lit or aspects))


def _clause(reach: Reach, state: State, world: World) -> str:
    """Tell what one signal takes."""
    if state.via is None:
        return ""
    ahead = listed(_stands(reach, need, world) for need in state.needs)
    if state.route is None:
        return f"{state.stand.name} tells of {listed(need.key for need in state.needs)}: {ahead}"
    near = " with a train near" if state.near is not None else ""
    return f"{way(state, state.route)} may be set{near} while {ahead}"


def _stands(reach: Reach, need: Need, world: World) -> str:
    """Tell what one thing ahead shows."""
    stand = reach.network.stands.get(need.key)
    state = world.get(stand.name) if stand is not None else None
    if state is not None:
        return f"{state.stand.name} {verb(state.stand.post.authority(state.face.aspect))} {shown(state)}"
    if need.face is None:
        return f"{need.key} is off" if need.off else f"{need.key} is at stop"
    return _ends(need.key, need.face)


def verb(authority: str) -> str:
    """Return how a signal is said to show an aspect."""
    return "stands at" if authority == "stop" else "shows"


def _ends(name: str, face: Face) -> str:
    """Tell what is known of the edge of the layout."""
    if face.aspect not in ENDS:
        return f"{name} is taken to show {face.aspect}"
    return f"the line ends at {name}" if face.aspect == BUFFERS else f"signalling ends at {name}"
