"""Whether a driver is warned of a red before reaching it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.sequence import ENDS
from lampwright.working.posts import DISTANT, STOP, STOPPING

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.sequence import Step
    from lampwright.working.posts import Post
    from lampwright.working.reach import Reach, State


def warns(rulebook: Rulebook, aspect: str) -> bool:
    """Tell whether an aspect tells of a stop ahead: by itself, by an aspect to expect, or as it is no plain proceed."""
    seen: set[str] = set()
    waiting = [aspect]
    while waiting:
        name = waiting.pop()
        seen.add(name)
        says = rulebook.aspects[name].says if name in rulebook.aspects else {}
        if "stop-at" in says or says.get("authority", "proceed") != "proceed":
            return True
        expected = says.get("expect", ())
        waiting += {expected} - seen if isinstance(expected, str) else set(expected) - seen
    return False


def unwarned(reach: Reach, state: State, *, edge: bool = False) -> Step | None:
    """Return what is asked of a signal that lets trains run at a red without a warning; None if it does not.

    That is so where the sequence asks first for an aspect that warns, the form cannot give it, and what it gives
    instead does not warn; unless a distant before it has warned, or the train has all but stopped here. A red beyond
    the edge of the layout counts with ``edge``.
    """
    post, answer = state.stand.post, state.answer
    if not answer.stands_in or state.choice or state.near is not None:  # so nearly always: the rest costs more
        return None
    red = _red_ahead(reach, state, edge=edge)
    if not red or _told_before(reach, red):
        return None
    for number in answer.stands_in:
        if number >= len(post.units):
            break
        step = answer.steps[number]
        warned = warns(post.rulebook, step.must) or not warns(post.rulebook, step.wanted[0])
        if post.units[number].role == STOP and not warned:
            return step
    return None


def _red_ahead(reach: Reach, state: State, *, edge: bool) -> str:
    """Return the key of the signal ahead, if it is one at stop."""
    if state.ahead is None or state.route is None or state.ahead.aspect in ENDS:
        return ""
    key = state.needs[0].key
    stops = state.stand.post.authority(state.ahead.aspect) in STOPPING
    return key if stops and (edge or key in reach.network.stands) else ""


def _told_before(reach: Reach, red: str) -> bool:
    """Tell whether a distant that can warn looks at a signal, wherever it stands."""
    return any(_can_warn(via.stand.post) for via in reach.network.behind.get(red, ()) if via.stand.post.only_tells)


def _can_warn(post: Post) -> bool:
    """Tell whether one of the units is a distant with an aspect that warns."""
    able = (aspect for unit in post.units if unit.role == DISTANT for aspect in unit.able)
    return any(warns(post.rulebook, aspect) for aspect in able)
