"""The track diagram: what is joined, where things stand, and that a plan can be read from it."""

from __future__ import annotations

import re
from itertools import combinations, pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from drawn import lenses, parsed, texts, with_class
from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.tables import tables
from lampwright_drawing.diagram import Diagram, diagram
from lampwright_drawing.placing import COLUMN
from lampwright_drawing.strands import END, POINTS, strands
from lampwright_drawing.svg import picture
from support import library

if TYPE_CHECKING:
    from xml.etree import ElementTree as ET

EXAMPLES = sorted((Path(__file__).parents[2] / "rulesets").glob("*/examples/*.yaml"))
Point = tuple[float, float]
NAMES = [path.stem for path in EXAMPLES]
HOSTILE = '"><script>alert(1)</script>&'


def layout(path: Path) -> Layout:
    """Return an example plan, bound."""
    return Layout(load(read(path, path.name).values, path.name), library())


def example(stem: str) -> Layout:
    """Return an example plan by its name."""
    return layout(EXAMPLES[NAMES.index(stem)])


def made_of(values: dict[str, Any]) -> Layout:
    """Return a plan given as values, bound."""
    return Layout(load({"plan": 1, "rulebook": "gb-colour-light", **values}, "p.yaml"), library())


def lines(root: ET.Element, name: str) -> list[ET.Element]:
    """Return what is drawn of the things of a class that have a name."""
    return [one for one in with_class(root, name) if one.get(f"data-{name}")]


@pytest.mark.parametrize("path", EXAMPLES, ids=NAMES)
def test_everything_that_has_a_place_is_drawn_once(path: Path) -> None:
    """Every section that a route runs over, every signal but those it says it cannot place; strands keep apart."""
    bound = layout(path)
    drawing = Diagram(bound)
    root = parsed(picture(drawing.piece()))
    run_over = {name for signal in bound.plan.signals.values() for route in signal.routes for name in route.over}
    drawn = [one.get("data-section") for one in lines(root, "section")]
    within = {strand.lies_in for strand in drawing.made.strands.values()}
    assert len(drawn) == len(set(drawn))
    assert run_over <= set(drawn) | within | {one for one in run_over if one in bound.plan.points}
    signals = [one.get("data-signal") for one in lines(root, "signal")]
    assert sorted(map(str, signals)) == sorted(bound.plan.signals.keys() - set(drawing.made.unplaced))
    for one, other in combinations(drawing.spans.values(), 2):
        assert one.row != other.row or one.right <= other.left or other.right <= one.left


@pytest.mark.parametrize("path", EXAMPLES, ids=NAMES)
def test_joints_run_from_left_to_right(path: Path) -> None:
    """What a train runs over next lies further on, unless the track runs in a circle, as no example's does."""
    drawing = Diagram(layout(path))
    for left, right in drawing.made.joints:
        assert drawing.spans[left].right <= drawing.spans[right].left, (left, right)


@pytest.mark.parametrize("path", EXAMPLES, ids=NAMES)
def test_a_signal_shows_what_it_falls_to(path: Path) -> None:
    """The lenses lit in the diagram are those of the table's failsafe command, and a letter tells of them."""
    bound = layout(path)
    told = tables(bound).signals
    root = parsed(picture(diagram(bound)))
    for group in lines(root, "signal"):
        name = str(group.get("data-signal"))
        if name in told:
            lit = {one.lamp for one in lenses(group) if "lit" in one.classes}
            assert lit == {shine.lamp for shine in told[name].failsafe.lamps if shine.lit}


def boxes(root: ET.Element) -> dict[str, tuple[float, float, float, float]]:
    """Return the room that each signal's name takes, at 6.6 units a letter and 10 high."""
    found = {}
    for element in with_class(root, "signal-name"):
        said = element.text or ""
        x, y, width = float(element.get("x", 0)), float(element.get("y", 0)), 6.6 * len(said)
        left = x - width if element.get("text-anchor") == "end" else x
        found[said] = (left, y - 8, left + width, y + 2)
    return found


def test_names_of_29_signals_do_not_cover_each_other() -> None:
    """Merrowdale Junction has no track, only routes, and can be read."""
    found = boxes(parsed(picture(diagram(example("merrowdale-junction")))))
    assert len(found) == 28
    for (one, a), (other, b) in combinations(found.items(), 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (one, other)


def ways_between(root: ET.Element) -> list[tuple[Point, Point]]:
    """Return the lines that lead from row to row, piece by piece."""
    drawn = [one.get("d") or "" for one in with_class(root, "track") if one.get("d")]
    points = [[tuple(map(float, pair.split())) for pair in way.removeprefix("M").split("L")] for way in drawn]
    return [(one, other) for way in points for one, other in pairwise(way) if one[1] != other[1]]  # type: ignore[misc]


def passes(piece: tuple[Point, Point], y: float) -> float | None:
    """Return where a line passes a height; None if it does not."""
    (x, top), (to_x, low) = piece
    return x + (to_x - x) * (y - top) / (low - top) if min(top, low) < y < max(top, low) else None


@pytest.mark.parametrize("path", EXAMPLES, ids=NAMES)
def test_no_line_crosses_a_track_that_it_does_not_join(path: Path) -> None:
    """But for the branch of Merrowdale Junction, whose routes cross the up line: there is no way round it."""
    root = parsed(picture(Diagram(layout(path)).piece()))
    tracks = [one for one in with_class(root, "track") if one.get("y1")]
    crossed = [
        (track.get("x1"), track.get("y1"))
        for piece in ways_between(root)
        for track in tracks
        if (x := passes(piece, float(track.get("y1", 0)))) is not None
        and float(track.get("x1", 0)) <= x <= float(track.get("x2", 0))
    ]
    assert len(crossed) == (1 if path.stem == "merrowdale-junction" else 0)


@pytest.mark.parametrize("path", EXAMPLES, ids=NAMES)
def test_no_line_strikes_out_the_name_of_a_signal(path: Path) -> None:
    """Neither at the height of its middle nor at the top or foot of its letters."""
    root = parsed(picture(Diagram(layout(path)).piece()))
    for said, (left, top, right, foot) in boxes(root).items():
        for piece in ways_between(root):
            for y in (top, (top + foot) / 2, foot):
                x = passes(piece, y)
                assert x is None or not left <= x <= right, (said, piece)


def test_hatching_ends_at_a_bend_and_begins_anew() -> None:
    """A stroke across a bend would be a wedge: every part of it is one straight piece."""
    root = parsed(picture(diagram(example("corvel-bridge"), ["CB3 to CB7"])))
    for hatch in with_class(root, "hatch"):
        assert all(part.count("L") == 1 for part in (hatch.get("d") or "").split("M")[1:])


@pytest.mark.parametrize("ways", ["[[UB, 102], [101, BA]]", "[[102, UB], [BA, 101]]", "[[BA, 101], [UB, 102]]"])
def test_the_order_of_a_crossing_s_ways_counts_for_nothing(ways: str) -> None:
    """Nor that of the two ends of a way: the track is drawn alike."""
    path = EXAMPLES[NAMES.index("corvel-bridge")]
    text = path.read_text(encoding="utf-8").replace("[[101, BA], [UB, 102]]", ways)
    turned = Layout(load(read(text.encode(), path.name).values, path.name), library())
    spans = {name: (span.left, span.right, span.row) for name, span in Diagram(turned).spans.items()}
    assert spans == {name: (span.left, span.right, span.row) for name, span in Diagram(layout(path)).spans.items()}


@pytest.mark.parametrize("ways", ["[[UA, UB], [DA, DB]]", "[[DB, DA], [UB, UA]]", "[[UA, UB], [DB, DA]]"])
def test_two_lines_that_only_cross_are_drawn_alike_too(ways: str) -> None:
    """Nothing but their crossing tells how they lie to each other."""
    pair = ways.removeprefix("[[").removesuffix("]]").split("], [")
    track: dict[str, Any] = {"K": {"ways": [way.split(", ") for way in pair]}}
    track |= {"UA": {"next": ["west", "K"]}, "UB": {"next": ["K", "east"]}}
    track |= {"DA": {"next": ["north", "K"]}, "DB": {"next": ["K", "south"]}}
    ends = {name: {"kind": "off-stage"} for name in ("west", "east", "north", "south")}
    made = made_of({"sections": {name: {} for name in ("UA", "UB", "DA", "DB")}, "track": track, "ends": ends})
    spans = Diagram(made).spans
    assert spans["UA"].left < spans["K"].left < spans["UB"].left
    assert spans["DA"].left < spans["K"].left < spans["DB"].left
    assert spans["DA"].row == spans["DB"].row == spans["K"].row


def test_down_and_up_run_against_each_other() -> None:
    """Of Merrowdale Junction, down trains run one way and up trains the other, though no route says so."""
    made = strands(example("merrowdale-junction").plan)
    down = {"MJ1", "MJ3", "MJ5", "MJ7R", "MJ7", "MJ9", "MJ11", "MJ13", "MJ31", "MJ33", "MJ35", "MJ12"}
    up = {"MJ2", "MJ4", "MJ6R", "MJ6", "MJ8", "MJ10", "MJ14", "MJ40", "MJ40D", "MJ42", "MJ44", "MJ44R"}
    assert {name for name in down | up if made.places[name].rightward} == down


def test_a_track_is_drawn_as_it_is_joined() -> None:
    """Corvel Bridge: the joints are those of the plan's track, points and crossing included, ends where it says."""
    bound = example("corvel-bridge")
    made = strands(bound.plan)
    said: dict[str, Any] = bound.plan.values["track"]
    pairs = set()
    for name, piece in said.items():
        nexts = piece.get("next", [piece.get("toe"), piece.get("normal"), piece.get("reverse")])
        nexts = nexts if isinstance(nexts, list) else [nexts]
        nexts = [one for way in piece["ways"] for one in way] if "ways" in piece else nexts
        pairs |= {frozenset((name, str(other))) for other in nexts}
    assert {frozenset(pair) for pair in made.joints} == pairs
    assert {name for name, one in made.strands.items() if one.kind == POINTS} == {"101", "102", "103", "104"}
    assert {name for name, one in made.strands.items() if one.kind == END} == set(bound.plan.ends)


def test_a_set_route_is_a_band_and_an_occupied_section_a_bar_each_told_in_words() -> None:
    """Hatching and words, not colour: the band runs from the signal to where the route leads."""
    root = parsed(picture(diagram(example("corvel-bridge"), ["CB3 to CB7"], ["DA"])))
    (band,) = [one for one in with_class(root, "route") if "set" in str(one.get("class")).split()]
    assert band.get("data-route") == "CB3 to CB7"
    assert band.findtext("{http://www.w3.org/2000/svg}title") == "CB3 to CB7: set"
    assert texts(band) == ["CB3 to CB7"]
    (bar,) = with_class(root, "occupied")
    assert bar.findtext("{http://www.w3.org/2000/svg}title") == "section DA: occupied"
    assert len(with_class(root, "route")) == 11


def test_hints_place_a_section() -> None:
    """``at`` gives columns to the right and rows up; two places say where it begins and ends."""
    sections = {"A": {"at": [[1, 2], [4, 2]]}, "B": {"at": [5, 0]}}
    signals = {"X1": {"form": "two-aspect-stop", "routes": [{"to": "out", "over": ["A", "B"]}]}}
    spans = Diagram(made_of({"sections": sections, "signals": signals, "ends": {"out": {"kind": "off-stage"}}})).spans
    assert (spans["A"].left, spans["A"].right, spans["A"].row) == (COLUMN, 4 * COLUMN, -2)
    assert (spans["B"].left, spans["B"].row) == (5 * COLUMN, 0)


def test_a_circle_of_track_is_drawn() -> None:
    """Where everything comes before itself something must come first."""
    signals = {
        name: {"form": "two-aspect-stop", "routes": [{"to": to, "over": [over]}]}
        for name, to, over in (("X1", "X3", "A"), ("X3", "X5", "B"), ("X5", "X1", "C"))
    }
    root = parsed(picture(diagram(made_of({"signals": signals}))))
    assert sorted(str(one.get("data-section")) for one in lines(root, "section")) == ["A", "B", "C"]
    assert {"X1 R", "X3 R", "X5 R"} <= set(texts(root))


def test_a_signal_that_only_the_track_names_is_drawn() -> None:
    """A slip of the pen in one place is told by a check, and is no reason to draw nothing."""
    track = {"A": {"next": ["in", "B"], "signals": {"X3": "B"}}, "B": {"next": ["A", "out"]}}
    ends = {"in": {"kind": "off-stage"}, "out": {"kind": "off-stage"}}
    signals = {"X1": {"form": "two-aspect-stop", "routes": [{"to": "out", "over": ["A", "B"]}]}}
    root = parsed(picture(diagram(made_of({"track": track, "ends": ends, "signals": signals}))))
    assert any(text.startswith("X3") for text in texts(root))


def test_a_plan_of_nothing_is_a_sheet_with_its_name() -> None:
    """No signals, no sections: no failure."""
    assert "Nowhere" in texts(parsed(picture(diagram(made_of({"name": "Nowhere"})))))


def test_names_made_of_markup_are_text() -> None:
    """Sections, signals, ends and the plan's name may hold anything."""
    signals = {HOSTILE: {"form": "three-aspect", "routes": [{"to": HOSTILE + "E", "over": [HOSTILE + "S"]}]}}
    whole = picture(
        diagram(made_of({"name": HOSTILE, "signals": signals, "ends": {HOSTILE + "E": {"kind": "off-stage"}}}))
    )
    root = parsed(whole)
    assert "<script" not in whole
    assert {HOSTILE, f"{HOSTILE} R", HOSTILE + "S", HOSTILE + "E"} <= set(texts(root))


def test_routes_that_say_no_sections_are_drawn_all_the_same() -> None:
    """A first plan has no more than this: there is track to every exit, and it parts where routes do."""
    made = made_of(
        {
            "signals": {
                "A1": {"form": "three-aspect", "routes": [{"to": "A3", "turns": "straight"}, {"to": "A5"}]},
                "A3": {"form": "three-aspect", "routes": [{"to": "beyond"}]},
                "A5": {"form": "three-aspect"},
            },
            "ends": {"beyond": {"kind": "off-stage"}},
        }
    )
    root = parsed(picture(diagram(made)))
    assert {one.get("data-section") for one in lines(root, "section")} == {"at A1", "to A3", "to A5", "to beyond"}
    assert {one.get("data-route") for one in lines(root, "route")} == {"A1 to A3", "A1 to A5", "A3 to beyond"}
    assert not strands(made.plan).unplaced
    assert not any(" A3" in said or "at A1" in said for said in texts(root) if not said.startswith("A"))


def lit_at(root: ET.Element, name: str) -> set[str]:
    """Return the lamps of a signal that are lit."""
    (group,) = [one for one in with_class(root, "miniature") if one.get("data-signal") == name]
    return {one.lamp for one in lenses(group) if "lit" in one.classes}


def test_signals_show_what_follows_from_a_set_route() -> None:
    """Corvel Bridge: caution before a signal at danger; approach release with its feather once a train is in DB."""
    bound = example("corvel-bridge")
    root = parsed(picture(diagram(bound, ["CB3 to CB5"])))
    assert (lit_at(root, "CB3"), lit_at(root, "CB5"), lit_at(root, "CB1")) == ({"yellow"}, {"red"}, {"red"})
    assert lit_at(parsed(picture(diagram(bound, ["CB3 to CB7"]))), "CB3") == {"red"}
    root = parsed(picture(diagram(bound, ["CB3 to CB7"], ["DB"])))
    assert lit_at(root, "CB3") == {"yellow", "position-1"}
    assert "CB3 YW" in texts(root)


def test_a_route_that_cannot_be_set_is_not_drawn_as_set() -> None:
    """Of two that exclude each other the first is set; why not the second is said below."""
    root = parsed(picture(diagram(example("corvel-bridge"), ["CB3 to CB7", "CB4 to CB8"])))
    drawn = [one.get("data-route") for one in with_class(root, "route") if "set" in str(one.get("class")).split()]
    assert drawn == ["CB3 to CB7"]
    assert "Not drawn as set: route CB4 to CB8 cannot be set: route CB3 to CB7 is set" in " ".join(texts(root))


def test_sections_that_are_no_more_than_points_are_named_and_occupied() -> None:
    """Each section that a route runs over can be read; that of points is a bar over the points."""
    bound = example("corvel-bridge")
    root = parsed(picture(diagram(bound, occupied=("DC",))))
    words = {word.strip("()") for said in texts(root) for word in said.split()}
    assert {name for signal in bound.plan.signals.values() for route in signal.routes for name in route.over} <= words
    (bar,) = with_class(root, "occupied")
    assert (bar.get("data-points"), bar.get("data-within")) == ("101", "DC")
    assert bar.findtext("{http://www.w3.org/2000/svg}title") == "section DC: occupied"


def test_a_feather_points_to_where_its_route_turns() -> None:
    """In the small: position-1 to the left of the post as trains run, position-4 to the right; three lights each."""
    carries = ["position-1", "position-4"]
    entry = {"form": "three-aspect", "carries": carries, "routes": [{"to": "out", "over": ["A"]}]}
    root = parsed(picture(diagram(made_of({"signals": {"X1": entry}, "ends": {"out": {"kind": "off-stage"}}}))))
    places = {name: [one for one in lenses(root) if one.lamp == name] for name in carries}
    assert [len(found) for found in places.values()] == [3, 3]
    left, right = places.values()
    assert max(one.x for one in left) < min(one.x for one in right)
    assert all("dark" in one.classes for one in (*left, *right))


@pytest.mark.parametrize("over", [([], []), (["G1"], ["G2"]), (["G1"], []), (["W", "G1"], ["W", "G2"])])
def test_track_leads_from_a_signal_to_all_its_exits(over: tuple[list[str], list[str]]) -> None:
    """A German entry signal with its two exit signals, whatever its routes say of sections: nothing hangs loose."""
    ways = [{"over": one} if one else {} for one in over]
    routes = [
        {"to": "S1", "points": {"1": "normal"}, "turns": "straight", **ways[0]},
        {"to": "S2", "points": {"1": "reverse"}, "turns": "left", **ways[1]},
    ]
    out = {"form": "hp-exit", "routes": [{"to": "out"}]}
    signals = {"A": {"form": "hp-entry", "from": "off-stage", "routes": routes}, "S1": out, "S2": out}
    made = strands(made_of({"rulebook": "de-hv", "signals": signals, "ends": {"out": {"kind": "off-stage"}}}).plan)
    start = made.places["A"].strand
    for exit_signal in ("S1", "S2"):
        assert start in made.before(made.places[exit_signal].strand)
    assert ["1"] in made.named.values()


def test_an_occupied_section_is_a_bar_with_a_word() -> None:
    """The word is there for every section, and shown where one is occupied: the page changes classes alone."""
    bound = example("merrowdale-junction")
    style, _, drawn = picture(diagram(bound, occupied=("DD",))).partition("</style>")
    assert ".train{display:none}" in style
    assert ".occupied .train{display:inline}" in style
    sections = lines(parsed(picture(diagram(bound, occupied=("DD",)))), "section")
    assert [one.get("data-section") for one in sections if "occupied" in (one.get("class") or "")] == ["DD"]
    assert drawn.count('class="train small">train<') == len(sections)


@pytest.mark.parametrize("turns", ["left", "right"])
@pytest.mark.parametrize("number", [1, 2], ids=["first straight", "first turning"])
def test_a_route_turns_to_its_own_side_of_the_paper(turns: str, number: int) -> None:
    """Up for left as trains run to the right; common practice of every track plan."""
    routes = [{"to": "A3", "turns": "straight"}, {"to": "A5", "turns": turns}][:: 1 if number == 1 else -1]
    signals: dict[str, Any] = {"A1": {"form": "three-aspect", "routes": routes}, "A3": {}, "A5": {}}
    spans = Diagram(made_of({"signals": signals})).spans
    assert (spans["to A5"].row < spans["to A3"].row) == (turns == "left")


@pytest.mark.parametrize(("book", "above"), [("gb-colour-light", True), ("de-hv", False)])
def test_signals_stand_on_the_side_of_their_country(book: str, above: bool) -> None:  # noqa: FBT001
    """Left in Britain, right in Germany, as their rulebooks have it; a plan may say otherwise of a signal."""
    form = {"gb-colour-light": "three-aspect", "de-hv": "hp-block"}[book]
    for own in ("", "left", "right"):
        entry: dict[str, Any] = {"form": form, "routes": [{"to": "A3"}], **({"side": own} if own else {})}
        made = made_of({"rulebook": book, "signals": {"A1": entry, "A3": {"form": form}}})
        root = parsed(picture(Diagram(made).piece()))
        head = next(one for one in with_class(root, "miniature") if one.get("data-signal") == "A1")
        post = next(one for one in head.iter() if one.tag.endswith("line"))
        assert (float(post.get("y2", 0)) < float(post.get("y1", 0))) == (above if not own else own == "left")


def test_a_crossing_is_no_points() -> None:
    """It has a diamond, and every way runs through it whole: nothing is left open there."""
    drawing = Diagram(example("corvel-bridge"))
    root = parsed(picture(drawing.piece()))
    (diamond,) = with_class(root, "diamond")
    assert (diamond.get("d") or "").endswith("z")
    span = drawing.spans["K"]
    ends = {(round(x, 1), round(y, 1)) for x, y in ((span.left, span.y), (span.right, span.y))}
    ways = [one.get("d") or "" for one in with_class(root, "track") if one.get("d")]
    numbers = [[float(number) for number in re.findall(r"-?[\d.]+", way)] for way in ways]
    reached = {point for way in numbers for point in ((way[0], way[1]), (way[-2], way[-1]))}
    assert ends <= reached
