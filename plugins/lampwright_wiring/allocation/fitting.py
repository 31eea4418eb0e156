"""Whether needs fit on a board together: outputs, polarity, and the limits of outputs, groups and the whole board."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.layout import Layout
from lampwright_wiring import saying
from lampwright_wiring.current import accounts
from lampwright_wiring.current.accounts import BOARD, GROUP, Account
from lampwright_wiring.current.demands import highest
from lampwright_wiring.current.loads import Loads
from lampwright_wiring.model import LIT_WHEN, SOURCE, Draw, Output

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from fractions import Fraction

    from lampwright_wiring.allocation.needs import Need
    from lampwright_wiring.allocation.places import Place
    from lampwright_wiring.kinds import Group, Spread
    from lampwright_wiring.model import Board, Feed, WiredLamp, Wiring

Settled = tuple["Board", dict[int, tuple[str, ...]]]
"""A board as it is then, with the outputs of each need."""


class Fitting:
    """Tells for one plan what fits where; currents are those of the legal states, with every need wired."""

    def __init__(self, layout: Layout, wiring: Wiring, needs: Sequence[Need]) -> None:
        self.layout = layout
        self.wiring = wiring
        self.needs = needs
        self._settled: dict[tuple[str, str, frozenset[int]], Settled | None] = {}
        self._draws: dict[tuple[str, str, int], tuple[Draw, ...]] = {}

    def settled(self, place: Place, chosen: frozenset[int]) -> Settled | None:
        """Return how needs are settled at a place; None if they do not fit there."""
        key = place.like, "" if place.new else place.name, chosen
        if key not in self._settled:
            self._settled[key] = self._settle(place, sorted(chosen))
        found = self._settled[key]
        if found is None or not place.new:
            return found
        return next(one for one in place.boards if one.drive == found[0].drive), found[1]

    def _settle(self, place: Place, chosen: list[int]) -> Settled | None:
        """Settle needs on the first form of a board that takes them."""
        if sum(self.needs[number].size for number in chosen) > len(place.spare):
            return None
        for board in place.boards:
            if all(not self.refusal(board, number) for number in chosen) and self._of_one_sense(board, chosen):
                outputs = self._outputs(board, place.spare, chosen) if self._carries(board, chosen) else None
                if outputs is not None:
                    return board, outputs
        return None

    # -------------------------------------------------------------------------------------- one need on a board
    def refusal(self, board: Board, number: int) -> str:
        """Return why a need does not go on a board even alone; empty if it does."""
        need, kind = self.needs[number], board.kind
        if kind is None:
            return "its kind is not known"
        if need.dimmed and board.servos and kind.pwm is not None:
            return "it drives servos at one frequency for all outputs, at which a dimmed lamp flickers"
        if need.both_ways:
            able = len(kind.drives) > 1 and board.switch is None
            return "" if able else "an LED between two outputs needs some that drive both ways"
        whys = (_wrong_way(board, need, draw) or _too_much(board, need, draw) for draw in self.draws(board, number))
        return next(filter(None, whys), "")

    def draws(self, board: Board, number: int) -> tuple[Draw, ...]:
        """Return what the LEDs of a need take on a board."""
        key = board.name, board.drive, number
        if key not in self._draws:
            wiring = replace(self.wiring, boards={**self.wiring.boards, board.name: board})
            lights = self.needs[number].lights
            self._draws[key] = tuple(wiring.draw(load, board.name, lamp.polarity) for lamp, load in lights)
        return self._draws[key]

    # -------------------------------------------------------------------------------------- several on a board
    def _of_one_sense(self, board: Board, chosen: Iterable[int]) -> bool:
        """Tell whether all outputs would act one way, where the board has one sense for all."""
        if board.kind is None or not board.kind.one_sense:
            return True
        ways = {draw.output_way for number in chosen for draw in self.draws(board, number)}
        ways |= {feed.draw.output_way for _, feed in self._on(board)}
        return len(ways - {""}) <= 1

    def _on(self, board: Board) -> Iterator[tuple[WiredLamp, Feed]]:
        """Yield what is on a board already."""
        for used in self.wiring.used:
            if used.output.board == board.name:
                yield from used.lamps

    def _carries(self, board: Board, chosen: Sequence[int]) -> bool:
        """Tell whether a board carries needs beside what is on it, in the worst legal state and at power-up."""
        limit = board.kind.limits.get("package") if board.kind else None
        if limit is None:
            return True
        takes = {light: spread for number in chosen for light, spread in self._takes(board, number)}
        account = Account(BOARD, board.name, {**self._there.get(board.name, {}), **takes}, limit=limit)
        return self._within(board, account, {draw.output_way for one in chosen for draw in self.draws(board, one)})

    def _within(self, board: Board, account: Account, ways: set[str]) -> bool:
        """Tell whether an account keeps its limit."""
        if account.limit is None or self._loads.all_on(account).most <= account.limit:
            return True
        state = board.kind.power_up if board.kind else ""
        lit = state == "undefined" or any((state, way) in LIT_WHEN for way in ways)
        return (board.held_dark or not lit) and highest(self._loads, account) <= account.limit

    def _takes(self, board: Board, number: int) -> Iterator[tuple[str, Spread]]:
        """Yield what each light of a need adds to a board."""
        times = 2 if self.needs[number].both_ways else 1
        for place, draw in enumerate(self.draws(board, number)):
            if draw.at_output is not None:
                yield _light(number, place), draw.at_output.times(times)

    # -------------------------------------------------------------------------------------- outputs of a board
    def _outputs(self, board: Board, spare: tuple[str, ...], chosen: list[int]) -> dict[int, tuple[str, ...]] | None:
        """Return outputs for needs: each signal's in a run of its own if there is one, all in order."""
        found = self._in_runs(board, spare, chosen)
        if board.kind is None or not board.kind.groups or self._groups_carry(board, found):
            return found
        return self._one_by_one(board, spare, chosen)

    def _in_runs(self, board: Board, spare: tuple[str, ...], chosen: list[int]) -> dict[int, tuple[str, ...]]:
        """Return outputs in runs."""
        names = board.kind.outputs if board.kind else ()
        free = [name for name in names if name in spare]
        found: dict[int, tuple[str, ...]] = {}
        for signal in dict.fromkeys(self.needs[number].signal for number in chosen):
            mine = [number for number in chosen if self.needs[number].signal == signal]
            run = _run(names, free, sum(self.needs[number].size for number in mine))
            free = [name for name in free if name not in run]
            for number in mine:
                size = self.needs[number].size
                found[number], run = tuple(run[:size]), run[size:]
        return found

    def _one_by_one(self, board: Board, spare: tuple[str, ...], chosen: list[int]) -> dict[int, tuple[str, ...]] | None:
        """Return outputs for one need after the other, each the first that its group still carries."""
        free = list(spare)
        found: dict[int, tuple[str, ...]] = {}
        for number in chosen:
            size = self.needs[number].size
            tried = (tuple(free[at : at + size]) for at in range(len(free) - size + 1))
            names = next((one for one in tried if self._groups_carry(board, {**found, number: one})), None)
            if names is None:
                return None
            found[number] = names
            free = [name for name in free if name not in names]
        return found

    def _groups_carry(self, board: Board, outputs: dict[int, tuple[str, ...]]) -> bool:
        """Tell whether every group of outputs keeps its limits."""
        groups = board.kind.groups if board.kind else ()
        return all(
            self._within(board, self._group(board, group, way, limit, outputs), {way})
            for group in groups
            for way, limit in group.limits.items()
        )

    def _group(
        self, board: Board, group: Group, way: str, limit: Fraction, outputs: dict[int, tuple[str, ...]]
    ) -> Account:
        """Return what a group of outputs carries one way."""
        takes = dict(self._grouped.get((board.name, group.outputs, way), {}))
        for number, names in outputs.items():
            draws = self.draws(board, number)
            between = self.needs[number].both_ways
            for place, draw in enumerate(draws):
                on = names if between else names[place : place + 1]
                counts = between or draw.output_way in (way, "")
                if counts and draw.at_output is not None and not set(on).isdisjoint(group.outputs):
                    takes[_light(number, place)] = draw.at_output
        return Account(GROUP, board.name, takes, limit=limit, way=way, outputs=group.outputs)

    @cached_property
    def _there(self) -> dict[str, dict[str, Spread]]:
        """What each board carries already."""
        return {one.name: dict(one.takes) for one in accounts.boards(self.wiring) if one.kind == BOARD}

    @cached_property
    def _grouped(self) -> dict[tuple[str, tuple[str, ...], str], dict[str, Spread]]:
        """What each group of outputs carries already."""
        found = (one for one in accounts.boards(self.wiring) if one.kind == GROUP)
        return {(one.name, one.outputs, one.way): dict(one.takes) for one in found}

    @cached_property
    def _loads(self) -> Loads:
        """The currents of the plan as if every need had its outputs."""
        lamps = _as_if_wired(self.wiring, self.needs)
        wiring = replace(self.wiring, lamps=lamps)
        layout = Layout(self.layout.plan, self.layout.library, self.layout.settings, self.layout.others)
        layout.cache["wiring"] = wiring
        return Loads(layout, wiring)


def _wrong_way(board: Board, need: Need, draw: Draw) -> str:
    """Return why outputs of a board drive a need the wrong way; empty if they do not, or nothing is said of it."""
    if need.way and draw.way and draw.way != need.way:
        return f"its outputs {'give current' if draw.way == SOURCE else 'take current in'}"
    drives = board.kind.drives if board.kind else ()
    return f"its outputs cannot {draw.output_way}" if draw.output_way and draw.output_way not in drives else ""


def _too_much(board: Board, need: Need, draw: Draw) -> str:
    """Return what is too much for a single output, or for what switches for it; empty if nothing is."""
    switch = need.lights[0][1].switch or board.switch
    limits = board.kind.limits if board.kind else {}
    carried = [(draw.at_output, limits.get(draw.output_way), "an output")]
    if switch is not None:
        carried.append((draw.total, switch.limit, f"the {switch.title}"))
    for current, limit, what in carried:
        if current is not None and limit is not None and current.most > limit:
            return f"it takes up to {saying.amps(current.most)}, and {what} may carry {saying.amps(limit)}"
    return ""


def _as_if_wired(wiring: Wiring, needs: Sequence[Need]) -> tuple[WiredLamp, ...]:
    """Return the lamps of a plan with outputs that nothing else has for each need; mixed colours come along."""
    board = next(iter(wiring.boards), "")
    given: dict[tuple[int, str], tuple[str, Output, Output | None]] = {}
    by_lens: dict[tuple[str, tuple[str, ...], str], tuple[str, Output, Output | None]] = {}
    for number, need in enumerate(needs):
        for place, (lamp, load) in enumerate(need.lights):
            first = Output(board, f"{number}.{0 if need.both_ways else place}")
            back = Output(board, f"{number}.1") if need.both_ways else None
            given[id(lamp), load.colour] = by_lens[lamp.signal, lamp.names, load.colour] = (
                _light(number, place),
                first,
                back,
            )
    return tuple(
        replace(
            lamp,
            feeds=tuple(
                replace(feed, light=known[0], output=known[1], returns=known[2])
                if feed.output is None
                and (
                    known := given.get((id(lamp), feed.load.colour))
                    or by_lens.get((lamp.signal, lamp.names, feed.load.colour))
                )
                else feed
                for feed in lamp.feeds
            ),
        )
        for lamp in wiring.lamps
    )


def _light(number: int, place: int) -> str:
    """Return the name of the LEDs of a need while it has no outputs."""
    return f"need {number}.{place}"


def _run(names: Sequence[str], free: list[str], size: int) -> list[str]:
    """Return so many free outputs: the first run of neighbours that is long enough, else the first there are."""
    places = {name: place for place, name in enumerate(names)}
    for at in range(len(free) - size + 1):
        if size and places[free[at + size - 1]] - places[free[at]] == size - 1:
            return free[at : at + size]
    return free[:size]
