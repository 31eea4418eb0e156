"""Published cases of routes that exclude each other, each worked out from what the routes use.

Sources: the tramway is the railways case study of the INTO-CPS project, as encoded by Zeyda and Foster (University of
York, theory fmi/Interlocking.thy); the station is that of "Train system", chapter 17 of Abrial, "Modeling in Event-B"
(2010), as encoded in the public specification collection of the STUPS group.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from lampwright.working.conflicts import Conflicts, conflicts
from lampwright.working.reasons import CROSSING, DECLARED, OPPOSING, POINTS, SECTION, SIGNAL
from support import result_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.layout import Layout

Pair = frozenset[str]


def layout_of(text: str) -> Layout:
    """Return the layout of a plan in which no check finds an error."""
    result = result_of(text)
    assert not [finding for finding in result.findings if finding.level.name == "ERROR"], result.findings
    return result.layouts[0]


def pairs_of(found: Conflicts, *kinds: str) -> set[Pair]:
    """Return the pairs of routes that exclude each other; if kinds are named, for a reason of one of these."""
    return {
        frozenset((one.name, other.name))
        for one, other in combinations(found.routes, 2)
        if found.excludes(one, other)
        and (not kinds or any(reason.kind in kinds for reason in found.reasons(one, other)))
    }


def joint_sets(names: Iterable[str], excluded: set[Pair]) -> set[frozenset[str]]:
    """Return every set of routes that may be set together, the empty one included."""
    found: set[frozenset[str]] = {frozenset()}
    for name in names:
        found |= {
            chosen | {name} for chosen in found if all(frozenset((name, other)) not in excluded for other in chosen)
        }
    return found


TRAM = """
plan: 1
name: tramway
signals:
  S3:
    routes:
      - {to: Q1, name: V1Q1, over: [4, 5], points: {SW1: normal, SW3: normal}}
      - {to: Q2, name: V1Q2, over: [4, 8, 9, 10, 1], points: {SW1: normal, SW3: reverse, SW2: reverse, SW5: normal}}
      - {to: Q3, name: V1Q3, over: [4, 8, 9, 11, 2], points: {SW1: normal, SW3: reverse, SW2: reverse, SW5: reverse}}
  S1:
    routes:
      - {to: V2, name: Q2V2, over: [10, 9, 8, 7, 6], points: {SW5: normal, SW2: normal, SW4: normal}}
  S2:
    routes:
      - {to: V2, name: Q3V2, over: [11, 9, 8, 7, 6], points: {SW5: reverse, SW2: normal, SW4: normal}}
ends: {Q1: {kind: off-stage}, Q2: {kind: off-stage}, Q3: {kind: off-stage}, V2: {kind: off-stage}}
"""
"""Straight is written normal, diverging reverse."""
TRAM_EXCLUDES = """
conflicts:
  V1Q1: [V1Q2, V1Q3]
  V1Q2: [V1Q1, Q2V2, V1Q3, Q3V2]
  Q2V2: [V1Q2, V1Q3, Q3V2]
  V1Q3: [V1Q1, V1Q2, Q2V2, Q3V2]
  Q3V2: [V1Q2, Q2V2, V1Q3]
"""
TRAM_COMPATIBLE = {frozenset(("V1Q1", "Q2V2")), frozenset(("V1Q1", "Q3V2"))}


def published(table: str) -> set[Pair]:
    """Return the pairs of the published table."""
    rows = [line.split(":") for line in table.splitlines() if ":" in line and "[" in line]
    return {frozenset((row.strip(), other.strip())) for row, others in rows for other in others.strip(" []").split(",")}


def test_tramway_excludes_what_is_published() -> None:
    """8 exclusions of 10 pairs; the two compatible pairs (INTO-CPS case study, verified)."""
    found = pairs_of(conflicts(layout_of(TRAM)))
    assert len(found) == 8
    assert found == published(TRAM_EXCLUDES)
    assert {
        frozenset(pair) for pair in combinations(["V1Q1", "V1Q2", "Q2V2", "V1Q3", "Q3V2"], 2)
    } - found == TRAM_COMPATIBLE


def test_tramway_has_eight_joint_states() -> None:
    """The valid relay states are exactly 8 (the published list repeats two)."""
    found = conflicts(layout_of(TRAM))
    assert len(joint_sets([route.name for route in found.routes], pairs_of(found))) == 8


@pytest.mark.parametrize("kinds", [(SECTION, OPPOSING), (POINTS,)], ids=["sections alone", "points alone"])
def test_tramway_follows_from_sections_and_from_points_alone(kinds: tuple[str, ...]) -> None:
    """Either rule reproduces the published exclusions, none more (derived from the published table)."""
    assert pairs_of(conflicts(layout_of(TRAM)), *kinds) == published(TRAM_EXCLUDES)


def test_tramway_with_its_table_of_exclusions_is_clean() -> None:
    """No check has anything against the published table; each pair then has the table's word as a reason too."""
    result = result_of(TRAM + TRAM_EXCLUDES)
    assert result.findings == []
    assert pairs_of(conflicts(result.layouts[0]), DECLARED) == published(TRAM_EXCLUDES)


BLOCKS = {
    "R1": "L A B C",
    "R2": "L A B D E F G",
    "R3": "L A B D K J N",
    "R4": "M H I K F G",
    "R5": "M H I J N",
    "R6": "C B A L",
    "R7": "G F E D B A L",
    "R8": "N J K D B A L",
    "R9": "G F K I H M",
    "R10": "N J I H M",
}
"""The routes of Abrial's station with the blocks they reserve, in order."""
STATION_POINTS = {
    "R1": "pB reverse",
    "R2": "pB normal pD normal pF normal",
    "R3": "pB normal pD reverse pJ normal",
    "R4": "pI normal pF reverse",
    "R5": "pI reverse pJ reverse",
}
"""The lies of the points in blocks B, D, F, I and J, as the adjacency of the blocks gives them; back again the same."""


def station(*, over: bool = True, points: bool = True, track: bool = False) -> str:
    """Return Abrial's station as a plan: blocks, points, track, or what is wanted of them.

    Each place where trains come from is a signal and an end; L, for one, is block L with the signal S-L at it.
    """
    back = {"R6": "R1", "R7": "R2", "R8": "R3", "R9": "R4", "R10": "R5"}
    starts: dict[str, list[str]] = {}
    for name, blocks in BLOCKS.items():
        row = blocks.split()
        words = STATION_POINTS[back.get(name, name)].split()
        lies = ", ".join(f"{which}: {lie}" for which, lie in zip(words[::2], words[1::2], strict=True))
        said = [f"to: e{row[-1]}", f"name: {name}"]
        said += [f"over: [{', '.join(row)}]"] if over else []
        said += [f"points: {{{lies}}}"] if points else []
        starts.setdefault(row[0], []).append(f"      - {{{', '.join(said)}}}")
    signals = [f"  S{place}:\n    routes:\n" + "\n".join(rows) for place, rows in starts.items()]
    ends = ", ".join(f"e{place}: {{kind: off-stage}}" for place in "LMCGN")
    return f"plan: 1\nends: {{{ends}}}\nsignals:\n" + "\n".join(signals) + "\n" + (TRACK if track else "")


TRACK = """track:
  eL: {next: L, signals: {SL: L}}
  eM: {next: M, signals: {SM: M}}
  eC: {next: C, signals: {SC: C}}
  eG: {next: G, signals: {SG: G}}
  eN: {next: N, signals: {SN: N}}
  L: {next: [eL, A]}
  A: {next: [L, B]}
  B: {next: [A, pB]}
  pB: {toe: B, normal: D, reverse: C, in: B}
  C: {next: [pB, eC]}
  D: {next: [pB, pD]}
  pD: {toe: D, normal: E, reverse: K, in: D}
  E: {next: [pD, pF]}
  pF: {toe: F, normal: E, reverse: K, in: F}
  F: {next: [pF, G]}
  G: {next: [F, eG]}
  K: {ways: [[pD, pJ], [pI, pF]], in: K}
  pJ: {toe: J, normal: K, reverse: pI, in: J}
  J: {next: [pJ, N]}
  N: {next: [J, eN]}
  M: {next: [eM, H]}
  H: {next: [M, I]}
  I: {next: [H, pI]}
  pI: {toe: I, normal: K, reverse: pJ, in: I}
"""
COMPATIBLE = {
    frozenset((f"R{one}", f"R{other}"))
    for one, other in [
        (1, 4),
        (1, 5),
        (1, 9),
        (1, 10),
        (2, 5),
        (2, 10),
        (4, 6),
        (5, 6),
        (5, 7),
        (6, 9),
        (6, 10),
        (7, 10),
    ]
}
ALL_PAIRS = {frozenset(pair) for pair in combinations(BLOCKS, 2)}
OPPOSING_PAIRS = {frozenset((f"R{number}", f"R{number + 5}")) for number in range(1, 6)}
DIAMOND_PAIRS = {frozenset((f"R{one}", f"R{other}")) for one, other in [(3, 4), (3, 9), (4, 8), (8, 9)]}
PLANS = [station(), station(points=False), station(track=True), station(over=False, points=False, track=True)]
PLAN_NAMES = ["blocks and points", "blocks", "with the track", "routes found on the track"]


@pytest.mark.parametrize("text", PLANS, ids=PLAN_NAMES)
def test_station_excludes_what_shares_a_block(text: str) -> None:
    """33 of 45 pairs; 12 compatible ones (worked out from the rule of the source: reserved blocks are not shared)."""
    found = pairs_of(conflicts(layout_of(text)))
    assert len(found) == 33
    assert ALL_PAIRS - found == COMPATIBLE


@pytest.mark.parametrize("text", PLANS, ids=PLAN_NAMES)
def test_station_has_23_joint_sets_of_two_at_most(text: str) -> None:
    """23 sets, the empty one included; 14 of them as large as they can be; never three routes together."""
    excluded = pairs_of(conflicts(layout_of(text)))
    sets = joint_sets(BLOCKS, excluded)
    assert len(sets) == 23
    assert max(map(len, sets)) == 2
    largest = [one for one in sets if not any(one < other for other in sets)]
    assert len(largest) == 14


def test_station_by_points_alone_misses_nine() -> None:
    """A checker that compares only how points lie finds 24, and misses opposing moves and those that cross."""
    found = pairs_of(conflicts(layout_of(station())), POINTS)
    assert len(found) == 24
    assert (ALL_PAIRS - COMPATIBLE) - found == OPPOSING_PAIRS | DIAMOND_PAIRS


@pytest.mark.parametrize("text", [station(), station(track=True)], ids=["by the order of blocks", "by the track"])
def test_station_knows_moves_that_oppose_each_other(text: str) -> None:
    """Each route and the one back are opposing moves, in words that say so."""
    found = conflicts(layout_of(text))
    assert pairs_of(found, OPPOSING) >= OPPOSING_PAIRS
    assert pairs_of(found, OPPOSING) & DIAMOND_PAIRS == set()


def test_station_knows_the_diamond() -> None:
    """With the track given, the four pairs that cross at the diamond in K, and no others, are said to cross."""
    assert pairs_of(conflicts(layout_of(station(track=True))), CROSSING) == DIAMOND_PAIRS


@pytest.mark.parametrize("text", PLANS, ids=PLAN_NAMES)
def test_station_routes_of_one_signal_exclude_each_other(text: str) -> None:
    """From L begin three routes, from M, G and N two each."""
    begin = {
        frozenset(pair) for group in ("R1 R2 R3", "R4 R5", "R7 R9", "R8 R10") for pair in combinations(group.split(), 2)
    }
    assert pairs_of(conflicts(layout_of(text)), SIGNAL) == begin
