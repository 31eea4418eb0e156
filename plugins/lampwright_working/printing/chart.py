"""The aspect sequence chart: what each signal can be asked to show, on which route, with what ahead."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.plans.model import DUMMY
from lampwright.rulebooks.sequence import BUFFERS, END, fits
from lampwright.words import listed
from lampwright.working.reach import Beyond, reach
from lampwright.working.stories import shown, story, way

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Indication
    from lampwright.rulebooks import Rulebook
    from lampwright.working.network import Limit
    from lampwright.working.reach import Reach, State

AHEAD = {BUFFERS: "the end of the line", END: "the end of signalling"}
AT_REST = "no route set"


class Row(Struct, frozen=True):
    """One thing a signal shows: on which way, with what the next signal may show, lit by which indicators.

    ``parts`` are the aspects by part of the post (the part is empty where there are none). ``released`` tells that a
    train must have come near; ``possible`` that it rests on something of which the plan does not say what it shows.
    ``allowed`` tells that the sequence only lets it stand, and never asks for it first; ``also`` are aspects ahead with
    which it lets one stand that it asks for with others. Where one aspect ahead is in several rows of a way, ``routes``
    are by that aspect those set from the signal ahead.
    """

    way: str
    shows: str
    parts: tuple[tuple[str, str], ...]
    ahead: tuple[str, ...] = ()
    indicator: tuple[str, ...] = ()
    released: bool = False
    allowed: bool = False
    also: tuple[str, ...] = ()
    possible: bool = False
    because: str = ""
    routes: tuple[tuple[str, str], ...] = ()


class Chart(Struct, frozen=True):
    """What one signal can be asked to show; nothing if its form is not known."""

    signal: BoundSignal
    rows: tuple[Row, ...]


def charts(layout: Layout) -> list[Chart]:
    """Return the chart of every signal of a plan, in the order of the plan.

    Where the plan does not say what stands ahead, it holds what would follow if anything may stand there.
    """
    sure = reach(layout)
    open_to = reach(layout, Beyond.GUESSED) if unknown(layout) else sure
    return [Chart(signal, tuple(_rows(sure, open_to, name))) for name, signal in layout.signals.items()]


def unknown(layout: Layout) -> dict[str, str]:
    """Return what signals look at and the plan does not say what it shows, each with what would say it."""
    network = reach(layout).network
    found = {}
    for key in network.behind:
        limit, stand = network.limits.get(key), network.stands.get(key)
        if limit is not None and limit.open and not limit.shows:
            found[key] = _lacking(limit)
        elif stand is not None and not stand.vias:
            found[key] = "it repeats nothing" if stand.post.only_tells else "no route leads on from it"
        elif stand is not None and stand.unclear:
            found[key] = "not all of its routes are understood"
    return found


def _lacking(limit: Limit) -> str:
    """Return what is not known of something that signals look at."""
    stem, _, inner = limit.key.rpartition("/")
    plan = limit.layout.plan
    if stem and limit.layout.others.get(stem) is None:
        return f"no file {stem} was given"
    if inner in plan.ends:
        return "say `assume` for that end"
    if inner in plan.signals:
        return "a dummy shows nothing" if plan.signals[inner].stage == DUMMY else "its form is not known"
    return "it is no signal or end of the plan"


def _rows(sure: Reach, open_to: Reach, name: str) -> Iterator[Row]:
    """Yield what a signal shows, what is alike but for the signal ahead in one row."""
    certain = _groups(sure, name)
    every = {**certain, **_groups(open_to, name)}
    several = _several(every)
    for key, states in every.items():
        which, shows, released = key
        asked = [state for state in states if not state.answer.allowed]
        let = [state for state in states if state.answer.allowed]
        first = certain.get(key, states)[0]
        if first.via is None and key not in certain:
            continue  # with no route set, what nothing is known of shows nothing that is known
        yield Row(
            which,
            shows,
            tuple((part, aspect) for part, aspect in first.answer.shows if aspect),
            _all_ahead(asked or let),
            tuple(" ".join(filter(None, (one.name, one.content))) for one in _lit(first)),
            released,
            not asked,
            _all_ahead(let) if asked else (),
            key not in certain,
            story(sure if key in certain else open_to, first),
            tuple(_told_by_route(sure if key in certain else open_to, asked, several)),
        )


def _groups(found: Reach, name: str) -> dict[tuple[str, str, bool], list[State]]:
    """Return the states of a signal, those together that are alike but for the signal ahead."""
    groups: dict[tuple[str, str, bool], list[State]] = {}
    for state in found.of(name):
        key = (_way(state), shown(state), state.near is not None)
        groups.setdefault(key, []).append(state)
    return groups


def _several(groups: Mapping[tuple[str, str, bool], list[State]]) -> set[tuple[str, bool, str]]:
    """Return the ways on which one aspect ahead asks now for this, now for that."""
    asked = Counter(
        (which, released, ahead)
        for (which, _, released), states in groups.items()
        for ahead in {_ahead(state) for state in states if state.ahead is not None and not state.answer.allowed}
    )
    return {key for key, rows in asked.items() if rows > 1}


def _told_by_route(found: Reach, states: list[State], several: set[tuple[str, bool, str]]) -> Iterator[tuple[str, str]]:
    """Yield, for each aspect ahead that alone does not tell, where the routes lead that are set there."""
    there: dict[str, dict[str, None]] = {}
    for state in states:
        if state.ahead is not None and (_way(state), state.near is not None, _ahead(state)) in several:
            seen = found.faces.get(state.needs[0].key, {}).get(state.ahead, ())
            there.setdefault(_ahead(state), {}).update(dict.fromkeys(one.route.to for one in seen if one.route))
    yield from ((ahead, listed(exits, "or")) for ahead, exits in there.items() if exits)


def _way(state: State) -> str:
    """Return the route that is set, or what is told of."""
    if state.via is None:
        return AT_REST
    return way(state, state.route) if state.route else f"before {state.via.exit or state.via.ahead[0]}"


def _all_ahead(states: list[State]) -> tuple[str, ...]:
    """Return everything that is seen ahead in some states, each once."""
    return tuple(dict.fromkeys(_ahead(state) for state in states if state.ahead is not None))


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
