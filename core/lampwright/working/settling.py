"""How signals come to stand, all at stop when their routes are set: they look ahead until nothing changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.rulebooks.sequence import END
from lampwright.working.faces import Face
from lampwright.working.network import ALL_OFF, FOLLOWING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from lampwright.working.asking import Asking
    from lampwright.working.faces import Need
    from lampwright.working.network import Via
    from lampwright.working.posts import Post
    from lampwright.working.reach import Reach, State
    from lampwright.working.worlds import World

    Now = Mapping[str, Face | None]
    """What every signal shows at one moment; None where that is not known."""


def circular(reach: Reach, world: World) -> bool:
    """Tell whether something in a world takes itself."""
    waiting = {
        name: {stand.name for need in state.needs if (stand := reach.network.stands.get(need.key)) is not None}
        for name, state in world.items()
    }
    while free := [name for name, needed in waiting.items() if not needed & waiting.keys()]:
        for name in free:
            del waiting[name]
    return bool(waiting)


def settles(reach: Reach, world: World) -> bool:
    """Tell whether the signals of a world come to stand as they do in it, looking ahead until nothing changes."""
    wanted = {name: state.face for name, state in world.items()}
    begin: Now = {name: stopped(state.stand.post) for name, state in world.items()}
    *_, now = until_still(begin, lambda now: {name: _next(reach, state, now) for name, state in world.items()})
    return wanted == now


def until_still(now: Now, step: Callable[[Now], Now]) -> list[Now]:
    """Return what is shown after each look ahead of all signals at once, from the first one on that comes again.

    That is one moment if nothing changes any more; several if they go round in a circle for ever.
    """
    seen: list[Now] = []
    while now not in seen:
        seen.append(now)
        now = step(now)
    return [*seen[seen.index(now) + 1 :], now]


def stopped(post: Post) -> Face:
    """Return the face of a signal whose route has just been set."""
    return Face(post.seen(post.resting()[0].shows), post.rulebook.id)


def told(asking: Asking, via: Via, faces: Sequence[Face | None]) -> Face | None:
    """Return what signals ahead tell together to one that looks at them; None if that is not known."""
    known = [face for face in faces if face is not None]
    if via.how not in FOLLOWING or len(known) < len(faces):
        return faces[0] if len(faces) == 1 else None
    off = [face for face in known if asking.proceeds(face)]
    stopping = [face for face in known if not asking.proceeds(face)]
    if via.how == ALL_OFF:
        off = known[:1] if len(known) == len(via.ahead) and not stopping else []
    return off[0] if len(off) == 1 else next(iter(stopping), replace(known[0], aspect=END))


def _next(reach: Reach, state: State, now: Now) -> Face | None:
    """Return what a signal comes to show when all around it are as they are now."""
    if state.via is None:
        return state.face
    ahead = told(reach.asking, state.via, [_seen(reach, need, now) for need in state.needs])
    if ahead is None or not ahead.aspect:
        return None
    asks = dict(reach.asking.asks(state.via, ahead))
    answers = asks.get(state.near is not None, asks[False])
    return reach.asking.face(state.via, answers[min(state.choice, len(answers) - 1)], ahead, state.near)


def _seen(reach: Reach, need: Need, now: Now) -> Face | None:
    """Return what is seen of one thing ahead."""
    stand = reach.network.stands.get(need.key)
    return now[stand.name] if stand is not None and stand.name in now else need.face
