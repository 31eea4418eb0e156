"""What a signal is asked and its form cannot say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.working.posts import NOT_PROCEEDING, SHUNT
from lampwright.working.warning import unwarned

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.sequence import Step
    from lampwright.working.posts import Answer, Post
    from lampwright.working.reach import Reach, State


class Lack(Struct, frozen=True):
    """An aspect that is asked in a state and cannot be shown, with the step that asks it.

    ``let_run`` tells that something is shown instead which lets trains run at a red; ``unsaid`` that no rule fits.
    """

    state: State
    aspect: str
    step: Step
    let_run: bool = False

    @property
    def unsaid(self) -> bool:
        """Tell whether no rule of the sequence fits."""
        return not self.step.path


def lacks(reach: Reach, name: str) -> tuple[Lack, ...]:
    """Return what a signal lacks, in the states that can be, shortest stories first; worked out once."""
    if name not in reach.lacks:
        reach.lacks[name] = tuple(_lacks(reach, name))
    return reach.lacks[name]


def _lacks(reach: Reach, name: str) -> Iterator[Lack]:
    """Work out what a signal lacks. Whether a state can be takes a search, and most lack nothing: it is asked last."""
    for state in reach.thought_of(name):
        if state.choice == 0 and state.via is not None:
            found = [*_failing(state)] if state.answer.failed else []
            if (step := unwarned(reach, state)) is not None:
                found.append(Lack(state, step.wanted[0], step, let_run=True))
            if found and reach.worlds.real(state):
                yield from found


def _failing(state: State) -> Iterator[Lack]:
    """Yield what the units of a post cannot show, or are not told to."""
    for (_, aspect), step in zip(state.answer.shows, state.answer.steps, strict=True):
        if not aspect:
            yield Lack(state, next(iter(step.wanted), ""), step)


def going(post: Post, answer: Answer) -> frozenset[str]:
    """Return the authorities by which a post lets trains go."""
    return frozenset(post.authority(aspect) for _, aspect in answer.shows) - NOT_PROCEEDING - {""}


def never_going(reach: Reach, name: str, ideal: Post) -> Iterator[Lack]:
    """Yield, for each route that a signal cannot be cleared for as it should, the aspect that would clear it.

    ``ideal`` is a post that can give every aspect. A signal for shunting clears for what is not said to be a train's.
    """
    asked: dict[object, list[State]] = {}
    for state in reach.thought_of(name):
        if state.route is not None and state.choice == 0 and not state.answer.failed:
            asked.setdefault(state.via, []).append(state)
    for states in asked.values():
        post, route = states[0].stand.post, states[0].route
        if post.has(SHUNT) and route is not None and route.kind == "":
            continue
        clears = Clears(reach, states)
        yield from (
            Lack(state, aspect, step)
            for state in states
            for authority, aspect, step in _clearing(reach, state, ideal)
            if not clears.by(authority) and reach.worlds.real(state)
        )


class Clears:
    """By which authorities a signal is ever cleared in some of its states."""

    def __init__(self, reach: Reach, states: list[State]) -> None:
        self._reach = reach
        self._states = states
        self._known: dict[str, bool] = {}

    def by(self, authority: str) -> bool:
        """Tell whether one of the states, and one that can be, clears by an authority."""
        if authority not in self._known:
            self._known[authority] = any(
                authority in going(state.stand.post, state.answer) and self._reach.worlds.real(state)
                for state in self._states
            )
        return self._known[authority]


def _clearing(reach: Reach, state: State, ideal: Post) -> Iterator[tuple[str, str, Step]]:
    """Yield the authorities by which the ideal post clears, each with the aspect and the step that asks it."""
    for _, answers in reach.asking.put(state, ideal):
        yield from ideal.clearing(answers[0])
