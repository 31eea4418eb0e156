"""The track as a graph, and the ways over it, against trains that are run piece by piece."""

from __future__ import annotations

from itertools import combinations, product
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.conflicts import conflicts
from lampwright.working.found import completed
from lampwright.working.track import Track
from lampwright.working.trails import trails
from lampwright.working.ways import stops, ways
from support import library, result_of

Values = dict[str, Any]
LIES = ["normal", "reverse"]
SIDES = {"section": 2, "points": 3, "crossing": 4}


@st.composite
def tracks(draw: st.DrawFn) -> Values:
    """Return a plan with a random track: pieces with their sides joined by chance, what is left over ends in ends."""
    kinds = ["section", "points", *draw(st.lists(st.sampled_from(list(SIDES)), min_size=3, max_size=8))]
    names = [f"{kind[0]}{number}" for number, kind in enumerate(kinds)]
    free = [(name, side) for name, kind in zip(names, kinds, strict=True) for side in range(SIDES[kind])]
    joined: dict[tuple[str, int], str] = {}
    pairs: set[frozenset[str]] = set()
    order = draw(st.permutations(free))
    for one, other in zip(order[: draw(st.integers(len(free) // 2, len(free)))][::2], order[1::2], strict=False):
        pair = frozenset((one[0], other[0]))
        if len(pair) > 1 and pair not in pairs:
            pairs.add(pair)
            joined[one], joined[other] = other[0], one[0]
    ends: Values = {}
    for side in free:
        if side not in joined:
            joined[side] = f"end{len(ends)}"
            ends[joined[side]] = {"kind": "off-stage"}
    track: Values = {}
    signals: Values = {}
    for name, kind in zip(names, kinds, strict=True):
        legs = [joined[name, side] for side in range(SIDES[kind])]
        track[name] = piece(kind, legs)
        for ahead in legs if kind == "section" and legs[0] != legs[1] else ():
            for repeats in draw(st.lists(st.booleans(), max_size=2)):
                signal = f"S{len(signals)}"
                signals[signal] = {"repeats": "S0"} if signals and repeats else {}
                track[name].setdefault("signals", {})[signal] = ahead
    return {"plan": 1, "ends": ends, "signals": signals, "track": track}


def piece(kind: str, legs: list[str]) -> Values:
    """Return a piece of track as a plan says it."""
    if kind == "section":
        return {"next": legs}
    if kind == "points":
        return dict(zip(["toe", *LIES], legs, strict=True))
    return {"ways": [legs[:2], legs[2:]]}


Run = tuple[str, tuple[str, ...], frozenset[tuple[str, str]]]
"""Where a train stops, the sections it ran over, and the points with their lies."""


def run(plan: Values, signal: str, lies: dict[str, str]) -> Run | None:
    """Run a train from a signal with all points set; None if it is derailed, or runs in a circle."""
    track = plan["track"]
    here = next(name for name, said in track.items() if signal in said.get("signals", {}))
    ahead = track[here]["signals"][signal]
    row = facing(track[here], ahead)
    waiting = row[row.index(signal) + 1 :]
    over = [here] if waiting else []
    used: set[tuple[str, str]] = set()
    seen: set[tuple[str, str]] = set()
    while True:
        stopped = next((name for name in waiting if not plan["signals"][name].get("repeats")), "")
        if stopped or ahead not in track:
            return stopped or ahead, tuple(dict.fromkeys(over)), frozenset(used)
        if (here, ahead) in seen:
            return None
        seen.add((here, ahead))
        came, here = here, ahead
        ahead = leads(track[here], came, lies.get(here, ""))
        if not ahead:
            return None
        over += [here] if "next" in track[here] else []
        used |= {(here, lies[here])} if here in lies else set()
        waiting = facing(track[here], ahead)


def facing(said: Values, ahead: str) -> list[str]:
    """Return the signals in a piece that a train meets which runs towards a neighbour."""
    return [name for name, towards in said.get("signals", {}).items() if towards == ahead]


def leads(said: Values, came: str, lie: str) -> str:
    """Return where a train that came from a neighbour leaves a piece for; nothing if its points derail it."""
    pairs = [said["next"]] if "next" in said else said.get("ways") or [(said["toe"], said[lie])]
    return next((two if one == came else one for one, two in pairs if came in (one, two)), "")


@settings(max_examples=200, deadline=None)
@given(tracks())
def test_the_ways_are_those_that_trains_can_run(plan: Values) -> None:
    """A train is run for every way all the points can lie; together the runs are the ways found, no more, no less."""
    model = load(plan, "plan.yaml")
    track, ending = Track(model), stops(model)
    assert not track.slips
    points = [name for name, said in plan["track"].items() if "toe" in said]
    lyings = [dict(zip(points, lies, strict=True)) for lies in product(LIES, repeat=len(points))]
    for signal in plan["signals"]:
        found = ways(track, signal, ending)
        assert not found.capped
        runs = {there for lies in lyings if (there := run(plan, signal, lies)) is not None}
        assert {(way.to, way.over, frozenset(way.lies.items())) for way in found.found} == runs


def model_of(text: str) -> Any:
    """Return the plan of a text, nothing completed."""
    return load(read(f"plan: 1\n{text}".encode(), "plan.yaml").values, "plan.yaml")


def found_in(text: str, signal: str) -> list[tuple[str, tuple[str, ...], dict[str, str], tuple[str, ...]]]:
    """Return the ways from a signal."""
    plan = model_of(text)
    return [(way.to, way.over, dict(way.lies), way.passes) for way in ways(Track(plan), signal, stops(plan)).found]


SLIP = """
ends: {a: {kind: off-stage}, b: {kind: off-stage}, c: {kind: off-stage}, d: {kind: off-stage}}
track:
  A: {next: [a, S], signals: {XA: S}}
  B: {next: [b, S], signals: {XB: S}}
  C: {next: [S, c]}
  D: {next: [S, d]}
  S:
    ways:
      - {between: [A, D], points: {5: normal}}
      - [B, C]
      - {between: [A, C], points: {5: reverse}}
signals: {XA: {}, XB: {}}
"""


def test_a_slip_leads_where_its_points_lie() -> None:
    """A single slip: one of the lines can change over, the other only crosses."""
    assert found_in(SLIP, "XA") == [("d", ("D",), {"5": "normal"}, ()), ("c", ("C",), {"5": "reverse"}, ())]
    assert found_in(SLIP, "XB") == [("c", ("C",), {}, ())]


LOOP = """
ends: {west: {kind: off-stage}}
track:
  A: {next: [west, 1], signals: {IN: 1, OUT: west}}
  1: {toe: A, normal: L1, reverse: L2}
  L1: {next: [1, L2]}
  L2: {next: [L1, 1]}
signals: {IN: {}, OUT: {}}
"""


def test_a_loop_needs_a_signal_in_it() -> None:
    """A balloon loop: out again over the points that lie as they did coming in is no way at all.

    With a signal in the loop there are two routes, and they need the points both ways.
    """
    assert found_in(LOOP, "IN") == []
    signalled = LOOP.replace("L2: {next: [L1, 1]}", "L2: {next: [L1, 1], signals: {MID: 1}}").replace(
        "OUT: {}", "OUT: {}, MID: {}"
    )
    assert found_in(signalled, "IN")[:1] == [("MID", ("L1", "L2"), {"1": "normal"}, ())]
    assert found_in(signalled, "MID") == [("OUT", ("A",), {"1": "reverse"}, ())]


def test_pieces_joined_twice_are_joined_in_the_order_written() -> None:
    """A loop of a single section between the legs of the same points."""
    track = Track(model_of("track: {A: {next: [w, 1]}, 1: {toe: A, normal: L, reverse: L}, L: {next: [1, 1]}}"))
    assert track.slips == []
    assert track.joints["1", 1] == ("L", 0)
    assert track.joints["L", 1] == ("1", 2)


def test_signals_that_stand_in_one_section_stand_in_running_order() -> None:
    """A route between two of them runs over that section; distants are run past, also at a way's end."""
    text = """
ends: {w: {kind: off-stage}, e: {kind: buffer-stop}}
track:
  w: {next: A, signals: {W1: A}}
  A: {next: [w, e], signals: {D1: e, S1: e, S2: e, D2: e}}
signals: {W1: {}, D1: {repeats: S1}, S1: {}, S2: {}, D2: {repeats: e}}
"""
    assert found_in(text, "W1") == [("S1", ("A",), {}, ("D1",))]
    assert found_in(text, "S1") == [("S2", ("A",), {}, ())]
    assert found_in(text, "S2") == [("e", ("A",), {}, ("D2",))]


def test_a_main_route_runs_past_shunting_signals_and_a_shunt_stops_there() -> None:
    """Both ways are found; the one that ends at the shunting signal is not one that every train must end at."""
    text = """
ends: {w: {kind: off-stage}, e: {kind: off-stage}}
track:
  A: {next: [w, B], signals: {M1: B}}
  B: {next: [A, C], signals: {G1: C}}
  C: {next: [B, e], signals: {M2: e}}
signals:
  M1: {routes: [{to: M2}, {to: G1, class: shunt}]}
  G1: {routes: [{to: M2, class: shunt}]}
  M2: {}
"""
    plan = model_of(text)
    found = ways(Track(plan), "M1", stops(plan)).found
    assert [(way.to, way.firm, way.passes) for way in found] == [("G1", False, ()), ("M2", True, ())]
    routes = completed(plan).signals["M1"].routes
    assert [route.over for route in routes] == [("B", "C"), ("B",)]


def test_track_that_stops_is_an_end_without_a_name() -> None:
    """A section with one neighbour has nothing beyond; nor has one whose neighbour does not lead back."""
    assert found_in("track: {A: {next: B, signals: {S1: B}}, B: {next: A}}\nsignals: {S1: {}}", "S1") == [
        ("", ("B",), {}, ())
    ]
    text = "track: {A: {next: B, signals: {S1: B}}, B: {next: [C, D]}, C: {next: D}, D: {next: C}}\nsignals: {S1: {}}"
    assert found_in(text, "S1") == [("", (), {}, ())]


def test_what_does_not_fit_is_kept_with_its_place() -> None:
    """Everything in a track may be wrong; nothing is raised."""
    text = """
ends: {w: {kind: off-stage}}
track:
  A: {next: [w, B], signals: {S1: B, S2: C}}
  B: {next: [C, w], signals: {S1: C}}
  C: {next: [C, B]}
  D: {next: [w, w], signals: {S3: w}}
"""
    slips = Track(model_of(text)).slips
    assert [(slip.kind, slip.path, slip.name, slip.other) for slip in slips] == [
        ("looks-aside", ("track", "A", "signals", "S2"), "S2", "C"),
        ("stands-twice", ("track", "B", "signals", "S1"), "S1", "A"),
        ("two-sides", ("track", "D", "signals", "S3"), "S3", "w"),
        ("one-sided", ("track", "A", "next", 1), "A", "B"),
        ("joins-itself", ("track", "C", "next", 0), "C", "C"),
    ]


def ladder(rungs: int) -> str:
    """Return a yard without signals: points that part and meet again, one after another."""
    rows = ["  A: {next: [w, p0], signals: {S1: p0}}"]
    for number in range(rungs):
        before, behind = f"q{number - 1}" if number else "A", f"p{number + 1}" if number + 1 < rungs else "e"
        legs = f"normal: u{number}, reverse: v{number}"
        rows += [f"  p{number}: {{toe: {before}, {legs}}}", f"  q{number}: {{toe: {behind}, {legs}}}"]
        rows += [f"  {side}{number}: {{next: [p{number}, q{number}]}}" for side in "uv"]
    return "ends: {w: {kind: off-stage}, e: {kind: off-stage}}\ntrack:\n" + "\n".join(rows) + "\nsignals: {S1: {}}"


def test_a_yard_with_too_many_ways_is_capped_and_says_so() -> None:
    """Two ways a rung: 6 rungs are all found, 40 are cut; points that must not lie one way cut the search short."""
    plan = model_of(ladder(6))
    assert len(ways(Track(plan), "S1", stops(plan)).found) == 2**6
    plan = model_of(ladder(40))
    found = ways(Track(plan), "S1", stops(plan))
    assert found.capped
    assert all(way.to == "e" for way in found.found)
    single = ways(Track(plan), "S1", stops(plan), {(f"p{number}", "reverse") for number in range(40)})
    assert (len(single.found), single.capped) == (1, False)
    assert result_of(f"plan: 1\n{ladder(40)}").findings is not None


def test_a_long_line_is_followed_to_its_end() -> None:
    """Thousands of pieces, none of them with a signal."""
    number = 5_000
    rows = "\n".join(f"  s{one}: {{next: [s{one - 1}, s{one + 1}]}}" for one in range(1, number))
    plan = model_of(f"track:\n  s0: {{next: s1, signals: {{S1: s1}}}}\n{rows}\nsignals: {{S1: {{}}}}")
    (way,) = ways(Track(plan), "S1", stops(plan)).found
    assert (way.to, len(way.over)) == (f"s{number}", number - 1)


def test_a_maze_is_given_up() -> None:
    """It leads nowhere, with a signal at every corner: the searches share what they may look at, and say so."""
    size = 600
    rows = [f"  p{n}: {{toe: a{n}, normal: b{n}, reverse: c{n}}}" for n in range(size)]
    for n in range(size):
        rows.append(f"  a{n}: {{next: [p{n}, b{(n + 7) % size}], signals: {{S{n}: p{n}}}}}")
        rows.append(f"  b{n}: {{next: [p{n}, a{(n - 7) % size}]}}")
        rows.append(f"  c{n}: {{next: [p{n}, c{size - 1 - n}]}}")
    signals = ", ".join(f"S{n}: {{repeats: S0}}" for n in range(size))
    plan = model_of("track:\n" + "\n".join(rows) + f"\nsignals: {{{signals}}}")
    track, ending = Track(plan), stops(plan)
    found = [ways(track, name, ending) for name in list(plan.signals)[::50]]
    assert all(one.capped and not one.found for one in found)


COMPLETED = """
ends: {west: {kind: off-stage}, east: {kind: off-stage}}
track:
  west: {next: AA, signals: {H1: AA}}
  AA: {next: [west, 101], signals: {H3D: 101, H3: 101}}
  101: {toe: AA, normal: AC, reverse: AD, in: AB}
  AC: {next: [101, 102]}
  AD: {next: [101, 102], signals: {H5: 102}}
  102: {toe: east, normal: AC, reverse: AD, in: AE}
signals:
  H1: {routes: [{to: H3}]}
  H3D: {repeats: H3}
  H3: {routes: [{to: east, over: [AB, AC, AE]}, {to: H5, points: {101: reverse}}, {to: H5, over: [AB, AC]}, {to: west}]}
  H5: {routes: [{to: east}]}
"""


def test_routes_are_completed_from_the_track() -> None:
    """What a route leaves out is taken from the only way it can mean; what it says stays, right or wrong."""
    plan = completed(model_of(COMPLETED))
    routes = {
        f"{name} {number}": route for name, signal in plan.signals.items() for number, route in enumerate(signal.routes)
    }
    assert (routes["H1 0"].over, routes["H1 0"].passes, routes["H1 0"].points) == (("AA",), ("H3D",), {})
    assert routes["H3 0"].points == {"101": "normal", "102": "normal"}
    assert routes["H3 1"].over == ("AB", "AD")
    assert (routes["H3 2"].over, routes["H3 2"].points) == (("AB", "AC"), {})
    assert (routes["H3 3"].over, routes["H3 3"].points) == ((), {})
    assert (routes["H5 0"].over, routes["H5 0"].points) == (("AE",), {"102": "reverse"})


def test_a_route_that_may_mean_two_ways_is_left_alone() -> None:
    """Two ways round an island lead to one exit: the points say which is meant, or nothing does."""
    text = COMPLETED.replace("signals: {H5: 102}", "signals: {}").replace("H5: {routes: [{to: east}]}", "H5: {}")
    plan = completed(
        model_of(
            text.replace(
                "{to: east, over: [AB, AC, AE]}", "{to: east}, {to: east, points: {101: reverse, 102: reverse}}"
            )
        )
    )
    first, second, *_ = plan.signals["H3"].routes
    assert (first.over, second.over) == ((), ("AB", "AD", "AE"))


def with_routes(plan: Values) -> Values:
    """Return a plan with a route for every way that trains can run, as far as a file can tell it from others."""
    model = load(plan, "plan.yaml")
    track, ending = Track(model), stops(model)
    signals: Values = {}
    for name, signal in plan["signals"].items():
        found = ways(track, name, ending).found if not signal.get("repeats") else ()
        routes = [{"to": way.to, "over": list(way.over), "points": dict(way.lies)} for way in found]
        alone = [route for route in routes if routes.count(route) == 1]
        signals[name] = {**signal, "routes": [{**one, "name": f"{name}-{at}"} for at, one in enumerate(alone)]}
    return {**plan, "signals": signals}


Train = tuple[str, str, dict[str, str], list[tuple[str, int, int]]]
"""A train: signal, exit, points as it needs them, pieces with the sides it enters and leaves by."""


def together(one: Train, other: Train) -> bool:
    """Tell whether two trains can run their ways at once: no points both ways, no piece of track for both.

    A train that runs through needs two ways that follow each other, unless the second leads back against the first.
    """
    (start, goal, lies, run), (begin, end, needs, back) = one, other
    if start == begin or any(needs.get(name, lie) != lie for name, lie in lies.items()):
        return False
    if goal == begin or end == start:
        came, left = ({(piece, side[way]) for piece, *side in run} for way in (0, 1))
        return not any((piece, come) in left or (piece, go) in came for piece, come, go in back)
    return goal != end and not {piece for piece, *_ in run} & {piece for piece, *_ in back}


@settings(max_examples=120, deadline=None)
@given(tracks())
def test_routes_over_a_track_exclude_each_other_where_trains_would_meet(plan: Values) -> None:
    """The matrix, with everything written down, against two trains on the track."""
    layout = Layout(load(with_routes(plan), "plan.yaml"), library())
    found, steps = conflicts(layout), trails(layout)
    trains = {
        route.index: (
            route.signal.name,
            route.entry.to,
            dict(route.entry.points),
            [(step.piece, step.passage.come, step.passage.go) for step in steps[route.index]],
        )
        for route in found.routes
        if route.index in steps
    }
    for one, other in combinations([route for route in found.routes if route.index in steps], 2):
        excluded = not together(trains[one.index], trains[other.index])
        assert found.excludes(one, other) is excluded, (one.name, other.name, found.reasons(one, other))
