"""The least explanations are what brute force finds, and "unique" is what no other explanation contradicts."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from random import Random
from typing import TYPE_CHECKING

import pytest

from bench_oracle import (
    State,
    everything,
    explains,
    node,
    random_bench,
    random_state,
    seen,
    states,
    tells_apart,
    written,
)
from bench_plans import random_standing
from lampwright_proving.diagnosis.bench import Bench, Circuit, Group
from lampwright_proving.diagnosis.faults import COMMONS, MODES, Explanation
from lampwright_proving.diagnosis.model import row, rows
from lampwright_proving.diagnosis.result import Diagnosis, Observation, in_order
from lampwright_proving.diagnosis.search import least
from lampwright_proving.diagnosis.sights import ANY, WORDS, packed, words
from lampwright_proving.diagnosis.telling import looks, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright_proving.diagnosis.bench import Command

SIGNALS = range(240)


def rows_of(bench: Bench, saw: dict[tuple[int, int], str]) -> list[int]:
    """Return what was seen as rows; what was not looked at allows everything."""
    lights, commands = range(len(bench.lights)), range(len(bench.commands))
    return [packed(WORDS[saw[c, light]] if (c, light) in saw else ANY for c in commands) for light in lights]


@pytest.mark.parametrize("seed", SIGNALS)
def test_the_least_explanations_are_those_of_brute_force(seed: int) -> None:
    """One or two faults in a random signal: sound, least, complete, and unique only if nothing else can be told.

    Every other signal is of a form of a bundled rulebook; the rest are lamps and commands at random.
    """
    luck = Random(seed)  # noqa: S311  (a test that is the same every time)
    bench = random_bench(luck, 5) if seed % 2 else random_standing(luck, 5).bench
    injected = random_state(luck, bench, luck.choice([1, 2]))
    saw = seen(bench, injected, luck)
    circuit = Circuit(bench, bench.commands)
    found = least(circuit, rows_of(bench, saw))
    given = [written(explanation, bench) for explanation in found.explanations]
    assert given
    assert all(explains(bench, state, saw) for state in given)
    assert all(
        explanation.cost == state.cost <= injected.cost
        for explanation, state in zip(found.explanations, given, strict=True)
    )
    looked = [state for cost in range(found.cost) for state in states(bench, cost) if explains(bench, state, saw)]
    assert looked == []
    every = {canonical(bench, state) for state in states(bench, found.cost) if explains(bench, state, saw)}
    assert {canonical(bench, state) for state in given} == every
    if found.cost == injected.cost:
        assert canonical(bench, injected) in {canonical(bench, state) for state in given}
    others = [state for state in states(bench, found.cost) if explains(bench, state, saw)]
    unique = not telling(circuit, looks(circuit, found.explanations))
    assert unique == (not any(tells_apart(bench, one, other) for one, other in combinations(others, 2)))


def explanation_of(bench: Bench, state: State) -> Explanation:
    """Return a state as an explanation; no two wires here share an output."""
    modes = {(int(str(fault[1])), str(fault[0])) for fault in state.faults if fault[0] in MODES}
    groups = {fault[0]: set[Group]() for fault in state.faults}
    for fault in state.faults:
        if fault[0] in ("polarity", *COMMONS) and isinstance(fault[1], tuple):
            groups[fault[0]].add(fault[1])
    nodes = frozenset(frozenset(node(state, light)) for light in range(len(bench.lights)))
    return Explanation(
        state.wires,
        state.cost,
        frozenset(modes),
        frozenset(groups.get("polarity", ())),
        frozenset((group, fault) for fault in COMMONS for group in groups.get(fault, ())),
        frozenset(lights for lights in nodes if len(lights) > 1),
        frozenset(fault[1:] for fault in state.faults if fault[0] == "plug"),  # type: ignore[misc]
        frozenset(fault[1:] for fault in state.faults if fault[0] == "exchanged"),  # type: ignore[misc]
    )


def canonical(bench: Bench, state: State) -> Explanation:
    """Return a state so that two ways of writing one are equal: which wires touch counts, not where."""
    return explanation_of(bench, state)


@pytest.mark.parametrize("seed", SIGNALS)
def test_what_is_said_to_be_seen_is_what_the_simulator_sees(seed: int) -> None:
    """Up to three faults at once, every light and command."""
    luck = Random(seed)  # noqa: S311
    bench = random_bench(luck)
    circuit = Circuit(bench, bench.commands)
    state = random_state(luck, bench, 3)
    explanation = explanation_of(bench, state)
    for (command, light), may in everything(bench, state).items():
        mask = row(circuit, explanation, light) >> 4 * command & ANY
        assert set(words(mask).split(" or ")) == may


@pytest.mark.parametrize("seed", range(60))
def test_what_looking_tells_is_told_in_the_end(seed: int) -> None:
    """Asked as the interactive mode asks, no command is left that is sure to tell the truth from what is said.

    That is promised of everything with one fault more than the least explanation, or fewer.
    """
    luck = Random(seed)  # noqa: S311
    bench = random_standing(luck, 5).bench
    state = random_state(luck, bench, luck.choice([0, 1, 1, 2]))
    saw = seen(bench, state, luck)
    answers: list[Observation] = []
    while (command := Diagnosis(bench, tuple(answers), wary=True).next) is not None:
        assert command.key not in {one.command.key for one in answers}
        answers.append(Observation(command, _masks(bench, saw, bench.commands.index(command))))
    told = Diagnosis(bench, tuple(answers))
    if state.cost <= told.found.cost + 1:
        assert not any(tells_apart(bench, state, written(one, bench)) for one in told.best)


def _masks(bench: Bench, saw: dict[tuple[int, int], str], number: int) -> dict[int, int]:
    """Return what was seen for one command."""
    return {light: WORDS[saw[number, light]] for light in range(len(bench.lights))}


def test_the_order_of_the_card_tells_more_sooner_than_that_of_the_table() -> None:
    """How many pairs of single faults the first commands leave together, over forty signals."""
    by_card = by_table = 0
    for seed in range(40):
        bench = random_standing(Random(seed), 6).bench  # noqa: S311
        order = in_order(bench)
        assert sorted(order, key=bench.commands.index) == list(bench.commands)
        kinds = list(least(Circuit(bench, ()), [0] * len(bench.lights), more=1).explanations)
        by_card += left(bench, order, kinds)
        by_table += left(bench, bench.commands, kinds)
    assert by_card < by_table


def left(bench: Bench, order: Sequence[Command], kinds: list[Explanation]) -> int:
    """Return how many pairs look alike after the first commands, summed over how many those are."""
    total = 0
    for number in range(1, len(order)):
        circuit = Circuit(bench, order[:number])
        looked = Counter(tuple(rows(circuit, one)) for one in kinds)
        total += sum(count * (count - 1) for count in looked.values())
    return total
