"""The aspect sequence chart: what each signal can be asked to show, on which route, with what ahead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lampwright.rulebooks.sequence import BUFFERS, END, fits
from lampwright.working.reach import reach
from lampwright.working.stories import shown, story, way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Indication
    from lampwright.rulebooks import Rulebook
    from lampwright.working.reach import Reach, State

AHEAD = {BUFFERS: "the end of the line", END: "the end of signalling"}
AT_REST = "no route set"


@dataclass(frozen=True, slots=True)
class Row:
    """One thing a signal shows: on which way, with what the next signal may show, lit by which indicators.

    ``parts`` are the aspects by part of the post (the part is empty where there are none). ``released`` tells that a
    train must have come near; ``allowed`` that the sequence lets it stand and does not ask for it first.
    """

    way: str
    shows: str
    parts: tuple[tuple[str, str], ...]
    ahead: tuple[str, ...] = ()
    indicator: tuple[str, ...] = ()
    released: bool = False
    allowed: bool = False
    because: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """What one signal can be asked to show; nothing if its form is not known."""

    signal: BoundSignal
    rows: tuple[Row, ...]


def charts(layout: Layout) -> list[Chart]:
    """Return the chart of every signal of a plan, in the order of the plan."""
    found = reach(layout)
    return [Chart(signal, tuple(_rows(found, name))) for name, signal in layout.signals.items()]


def _rows(found: Reach, name: str) -> Iterator[Row]:
    """Yield what a signal shows, what is alike but for the signal ahead in one row."""
    groups: dict[tuple[str, str, bool, bool], list[State]] = {}
    for state in found.of(name):
        key = (_way(state), shown(state), state.near is not None, state.answer.allowed)
        groups.setdefault(key, []).append(state)
    for (which, shows, released, allowed), states in groups.items():
        first = states[0]
        yield Row(
            which,
            shows,
            tuple((part, aspect) for part, aspect in first.answer.shows if aspect),
            tuple(dict.fromkeys(_ahead(state) for state in states if state.ahead is not None)),
            tuple(" ".join(filter(None, (one.name, one.content))) for one in _lit(first)),
            released,
            allowed,
            story(found, first),
        )


def _way(state: State) -> str:
    """Return the route that is set, or what is told of."""
    if state.via is None:
        return AT_REST
    return way(state, state.route) if state.route else f"before {state.via.exit or state.via.ahead[0]}"


def _ahead(state: State) -> str:
    """Return what is seen ahead."""
    aspect = state.ahead.aspect if state.ahead else ""
    return AHEAD.get(aspect, aspect)


def _lit(state: State) -> tuple[Indication, ...]:
    """Return what the route lights beside what the signal shows: aspects that let trains go, and that it goes with."""
    post = state.stand.post
    going = [aspect for _, aspect in state.answer.shows if aspect and post.authority(aspect) not in ("stop", "none")]
    lit = state.route.indications if state.route and going else ()
    return tuple(one for one in lit if _goes_with(post.rulebook, one.name, going))


def _goes_with(rulebook: Rulebook, indicator: str, aspects: list[str]) -> bool:
    """Tell whether an indicator may be lit beside one of the aspects; one that is not known may."""
    wanted = rulebook.indicators[indicator].stands_with if indicator in rulebook.indicators else None
    return not wanted or any(fits(rulebook, {"here": wanted}, {"here": aspect}) for aspect in aspects)
