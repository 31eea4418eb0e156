"""The page's script by itself, in a real browser: over random layouts and moves it does what the program does.

Only its modules that work a table are loaded; there is no page around them. The layouts have everything that moves can
hang on: overlaps, points that lie in sections, approach locking, automatic signals, releases, classes, distants.
"""

from __future__ import annotations

import json
import random
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from browser import browser, needs_browser
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.play import Assume, Cancel, Clear, Fail, Mend, Occupy, Play, Refusal, Set
from lampwright.working.play.table import table
from random_layouts import layouts
from support import library

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from lampwright.working.play import Move, Situation

__all__ = ["browser"]

WORK = """
([table, moves]) => {
  const made = { set: setRoute, cancel: cancelRoute, occupy: occupyPlace, clear: clearPlace, fail: failLamp,
    mend: mendLamp, assume: assumeBeyond };
  let situation = atStart();
  return moves.map(([kind, thing]) => {
    const { after, refused } = made[kind](table, situation, thing);
    situation = after ?? situation;
    const linked = situationOfLink(table, situationAsLink(table, situation)) ?? atStart();
    const standing = carry(table, linked);
    return [refused ?? "", table.signals.map(([name], number) => {
      const [said, , , lights] = table.looks[standing[number].look];
      const lit = lights.map((light) => table.lights[light][0]).filter((lamp) => !linked.failed.get(number)?.has(lamp));
      return [name, said, lit, tellStory(table, linked, standing, number)];
    })];
  });
}
"""
"""Makes moves, each situation gone through a link and back; tells what is refused, and what every signal shows."""
KINDS = ("set",) * 5 + ("cancel",) * 2 + ("occupy",) * 2 + ("clear",) * 3 + ("fail", "mend", "assume")
HARD: dict[str, Any] = {
    "plan": 1,
    "rulebook": "gb-colour-light",
    "year": 1978,
    "ends": {
        "far": {"kind": "off-stage", "assume": ["clear", "danger"]},
        "bay": {"kind": "buffer-stop"},
        "yard": {"kind": "unsignalled"},
        "next-box": {"kind": "off-stage"},
    },
    "points": {"1": {"in": "T2"}, "2": {"in": "T2", "works-with": "1"}, "3": {"in": "T4"}},
    "signals": {
        "A1": {
            "form": "four-aspect",
            "mode": "automatic",
            "routes": [{"to": "A3", "over": ["T1"], "overlap": [{"over": "T2"}, {"over": "T5"}], "passes": ["W"]}],
        },
        "W": {"form": "three-lamp-distant", "repeats": ["A3", "A5"]},
        "A3": {
            "form": "three-aspect-with-position-light",
            "routes": [
                {
                    "to": "A5",
                    "over": ["T2"],
                    "points": {"1": "normal"},
                    "passes": ["D"],
                    "turns": "straight",
                    "locks": {"sections": ["T1"], "after": "120 s"},
                },
                {
                    "to": "B5",
                    "over": ["T2"],
                    "points": {"2": "reverse"},
                    "passes": ["D"],
                    "turns": "left",
                    "release": {"from": "red", "occupied": "T1"},
                },
                {"to": "yard", "class": "shunt", "over": ["T2", "T6"], "points": {"1": "reverse", "3": "reverse"}},
            ],
        },
        "D": {"form": "two-aspect-distant"},
        "S3": {"form": "shunt-red-white", "routes": [{"to": "yard", "class": "shunt", "over": ["T6"]}]},
        "A5": {
            "form": "three-aspect",
            "routes": [
                {
                    "to": "far",
                    "over": ["T3"],
                    "passes": ["S3"],
                    "release": {"from": "yellow", "flashing": True},
                    "turns": "right",
                },
                {"to": "next-box", "over": ["T7"], "locks": {"sections": "T2"}},
            ],
        },
        "B3": {"form": "three-aspect", "routes": [{"to": "B5"}]},
        "B5": {
            "form": "two-aspect-red-yellow",
            "routes": [{"to": "bay", "over": ["T4"], "release": {"from": "red", "occupied": ["T8", "T9"]}}],
        },
        "S": {
            "form": "shunt-red-white",
            "routes": [{"to": "A5", "class": "shunt", "over": ["T6", "T2"], "points": {"3": "normal"}}],
        },
    },
}
"""A plan that has everything at once: the random ones seldom come to it."""


@pytest.fixture(scope="module")
def bare(browser: Browser) -> Iterator[Page]:
    """Open a page that has the modules of the script, and nothing else."""
    page = browser.new_page()
    folder = files("lampwright_working.page")
    for name in ("carrying", "moving", "telling", "linking"):
        page.add_script_tag(content=folder.joinpath(f"{name}.js").read_text(encoding="utf-8"))
    yield page
    page.close()


@st.composite
def adorned(draw: Any) -> dict[str, Any]:
    """Return a random plan with all that a route can need besides its track."""
    values: dict[str, Any] = draw(layouts())
    sections = st.sampled_from([f"T{number}" for number in range(8)])
    for entry in values["signals"].values():
        if draw(st.booleans()):
            entry["mode"] = draw(st.sampled_from(["automatic", "controlled"]))
        for route in entry.get("routes", ()):
            if draw(st.integers(0, 2)) == 0:
                route["overlap"] = draw(st.sampled_from([["T1"], ["T2", "T3"], [{"over": ["T4"]}, {"over": ["T5"]}]]))
            if draw(st.integers(0, 3)) == 0:
                route["locks"] = {"sections": [draw(sections)], **draw(st.sampled_from([{}, {"after": "60 s"}]))}
            if draw(st.integers(0, 4)) == 0:
                route["flank"] = {"points": {"P2": draw(st.sampled_from(["normal", "reverse"]))}}
    values["points"] = {"P1": {"in": draw(sections)}, "P2": {"in": draw(sections)}}
    return values


def both_ways(play: Play, kind: str, pick: int, now: Situation) -> tuple[Move, list[Any]] | None:
    """Return a move for the program and for the script; None if there is nothing to move."""
    if kind in ("set", "cancel"):
        number = pick % len(play.controls.routes)
        return (Set(number) if kind == "set" else Cancel(number)), [kind, number]
    if kind in ("occupy", "clear") and play.places.names:
        place = pick % len(play.places.names)
        name = play.places.names[place]
        return (Occupy(name) if kind == "occupy" else Clear(name)), [kind, place]
    if kind in ("fail", "mend"):
        signal = pick % len(play.looks)
        name = list(play.looks)[signal]
        lights = play.shown(now)[name].lit
        if kind == "fail" and lights and len(now.out(name)) < 2:
            lamp = lights[pick % len(lights)].lamp
            return Fail(name, lamp), [kind, [signal, lamp]]
        if kind == "mend" and now.out(name):
            lamp = min(now.out(name))
            return Mend(name, lamp), [kind, [signal, lamp]]
    if kind == "assume" and play.edges:
        edge = pick % len(play.edges)
        key = list(play.edges)[edge]
        choice = pick // 7 % len(play.edges[key].choices)
        return Assume(key, play.edges[key].choices[choice]), [kind, [edge, choice]]
    return None


def agreed(bare: Page, play: Play, picks: list[tuple[str, int]]) -> int:
    """Make moves in both, and compare; return how many are refused."""
    now, moves, wanted = play.start(), [], []
    for kind, pick in picks:
        move = both_ways(play, kind, pick, now)
        if move is None:
            continue
        after = play.after(now, move[0])
        refused = str(after) if isinstance(after, Refusal) else ""
        now = now if isinstance(after, Refusal) else after
        shown = play.shown(now)
        told = [[name, one.said, [light.lamp for light in one.lit], one.story] for name, one in shown.items()]
        moves.append(move[1])
        wanted.append([refused, told])
    found = bare.evaluate(WORK, [json.loads(json.dumps(table(play))), moves])
    for number, (got, want) in enumerate(zip(found, wanted, strict=True)):
        assert got == want, moves[: number + 1]
    return sum(bool(refused) for refused, _ in wanted)


@needs_browser
@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    values=adorned(), picks=st.lists(st.tuples(st.sampled_from(KINDS), st.integers(0, 500)), min_size=5, max_size=20)
)
def test_the_script_does_what_the_program_does(bare: Page, values: dict[str, Any], picks: list[Any]) -> None:
    """Refusals word by word, lamps, and the story of every signal; a link brings every situation back."""
    agreed(bare, Play(Layout(load(values, "plan.yaml"), library())), picks)


@needs_browser
def test_it_does_so_on_a_plan_that_has_everything(bare: Page) -> None:
    """A thousand moves by a fixed seed, refusals of every kind among them."""
    chance = random.Random(7)  # noqa: S311  (moves, not secrets)
    picks = [(chance.choice(KINDS), chance.randrange(500)) for _ in range(1_000)]
    assert agreed(bare, Play(Layout(load(HARD, "plan.yaml"), library())), picks) > 50
