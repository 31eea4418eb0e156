"""The layout worked on the page, in a real browser: what its script shows is what the program works out.

Buttons are pressed at random, by a fixed seed; after every move every signal's lamps, what it is told to show and why
are compared, in the list and in the diagram.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from browser import browser, needs_browser, opened
from command_line import call
from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.tables.beats import beat_class
from lampwright.working.play import Assume, Cancel, Clear, Fail, Mend, Occupy, Play, Refusal, Set
from lampwright.working.play.places import label as said_of
from support import library

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from lampwright.working.play import Light, Move, Situation

__all__ = ["browser"]

EXAMPLES = sorted((Path(__file__).parents[3] / "rulesets").glob("*/examples/*.yaml"))
MOVES, LEAST = 140, 100
"""Moves tried, and made at least: a button may not be there at the time."""
KINDS = ("route",) * 8 + ("place",) * 8 + ("back", "beyond", "lamp", "undo")

WORK = """
(moves) => {
  const at = (selector) => [...document.querySelectorAll(selector)];
  const buttons = {
    route: "#worked-signals td:nth-of-type(4) button[aria-pressed]",
    back: "#worked-signals td:nth-of-type(4) button:not([aria-pressed]):not([hidden])",
    place: "#worked-places button",
    lamp: "#worked-signals details button",
    undo: "#worked-undo:not([disabled])",
  };
  const press = (kind, pick) => {
    const all = at(buttons[kind]);
    if (!all.length) return null;
    const one = all[pick % all.length];
    const label = one.dataset.said ?? one.textContent.replace("take back ", "");
    const signal = one.closest("tr")?.dataset.worked ?? "";
    one.click();
    return [label, signal];
  };
  const choose = (pick, other) => {
    const all = at("#worked-edges select");
    if (!all.length) return null;
    const one = all[pick % all.length];
    one.selectedIndex = other % one.options.length;
    one.dispatchEvent(new Event("change"));
    return [one.selectedIndex, pick % all.length];
  };
  const seen = () => ({
    rows: Object.fromEntries(at("#worked-signals tr").map((row) => [
      row.dataset.worked,
      { said: row.dataset.said, lit: row.dataset.lit, why: row.querySelectorAll("td")[2].textContent },
    ])),
    drawn: at(".diagram [data-signal]").map((signal) => [
      signal.dataset.signal,
      [...signal.querySelectorAll("[data-lamp]")].map((lamp) => [lamp.dataset.lamp, lamp.getAttribute("class")]),
    ]),
    words: at("#worked-said p").map((line) => line.textContent),
    set: at(".diagram .route.set").map((route) => route.dataset.route),
    occupied: at(".diagram .section.occupied").map((section) => section.dataset.section),
    link: window.location.hash,
  });
  const found = [{ pressed: null, seen: seen() }];
  for (const [kind, pick, other] of moves) {
    const pressed = kind === "beyond" ? choose(pick, other) : press(kind, pick);
    if (pressed) found.push({ kind, pressed, seen: seen() });
  }
  return found;
}
"""
"""Makes moves by the buttons of the page, as far as there are such, and tells what is seen after each."""


def layout(path: Path) -> Layout:
    """Return a plan, bound."""
    return Layout(load(read(path, path.name).values, path.name), library())


def page_of(path: Path, folder: Path) -> Path:
    """Make the page of a plan."""
    made = folder / "page.html"
    done = call("report", path, "-o", made)
    assert done.code == 0, done.err
    return made


class Beside:
    """The same moves, made by the program."""

    def __init__(self, play: Play) -> None:
        self.play = play
        self.now = play.start()
        self.before: list[Situation] = []
        self.routes = {str(control.route): number for number, control in enumerate(play.controls.routes)}
        self.edges = [key for key, edge in play.edges.items() if len(edge.choices) > 1]

    def move(self, kind: str, label: Any, where: Any) -> Move | None:
        """Return the move of a button with a label, at a signal; None for one that undoes."""
        match kind:
            case "route":
                number = self.routes[label]
                return Cancel(number) if number in self.now.routes - self.now.passed else Set(number)
            case "back":
                return Cancel(self.routes[label])
            case "place":
                place = next(one for one in self.play.places.names if said_of(one) == label)
                return Clear(place) if place in self.now.occupied else Occupy(place)
            case "lamp":
                return Mend(where, label) if (where, label) in self.now.failed else Fail(where, label)
            case "beyond":
                edge = self.play.edges[self.edges[where]]
                return Assume(edge.key, edge.choices[label])
        return None

    def follow(self, move: Move | None) -> str:
        """Make a move, or undo the last; return why it is refused, if it is."""
        if move is None:
            self.now = self.before.pop()
            return ""
        after = self.play.after(self.now, move)
        if isinstance(after, Refusal):
            return str(after)
        self.before.append(self.now)
        self.now = after
        return ""


def in_words(light: Light) -> str:
    """Return a lamp as the page's list keeps it."""
    return " ".join(filter(None, (light.lamp, light.colour, beat_class(light.beat) if light.beat else "")))


def compare(seen: dict[str, Any], beside: Beside, told: str) -> None:
    """Compare all that the page shows with what the program works out."""
    shown = beside.play.shown(beside.now)
    assert seen["rows"].keys() == shown.keys(), told
    for name, one in shown.items():
        row = seen["rows"][name]
        assert (row["said"], row["lit"]) == (one.said, ", ".join(map(in_words, one.lit))), (
            told,
            name,
            one.story,
            row["why"],
        )
        assert one.story.endswith(f", {row['why']}"), (told, name, one.story, row["why"])
    for name, lamps in seen["drawn"]:
        compare_drawn(name, dict(lamps), shown[name].lit, told)
    names = {beside.play.controls.routes[number].route.name for number in beside.now.routes}
    assert set(seen["set"]) <= names, told


def compare_drawn(name: str, lamps: dict[str, str], lit: tuple[Light, ...], told: str) -> None:
    """Compare the lamps of a signal in the diagram: which are lit, in what colour and beat, each lens for its lamp."""
    for lamp, classes in lamps.items():
        light = next((one for one in lit if lamp in one.names), None)
        state = classes.split()
        if light is None:
            assert state[:2] == ["lamp", "dark"] or "dark" in state, (told, name, lamp, classes)
        else:
            beat = ["flash", beat_class(light.beat)] if light.beat else []
            assert {"lit", light.colour, *beat} <= set(state), (told, name, lamp, classes)
            assert ("flash" in state) is bool(beat), (told, name, lamp, classes)


def worked(page: Page, seed: str) -> list[dict[str, Any]]:
    """Make moves at random; return what was pressed and seen."""
    page.evaluate("for (const one of document.querySelectorAll('#worked-signals details')) one.open = true")
    page.wait_for_function("document.querySelectorAll('#worked-signals details button').length > 0")
    chance = random.Random(seed)  # noqa: S311  (moves, not secrets)
    moves = [[chance.choice(KINDS), chance.randrange(10_000), chance.randrange(10)] for _ in range(MOVES)]
    found: list[dict[str, Any]] = page.evaluate(WORK, moves)
    return found


@needs_browser
@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_the_page_shows_what_the_program_works_out(browser: Browser, path: Path, tmp_path: Path) -> None:
    """At least a hundred moves on every example: German, Swiss, Dutch, Japanese, British and American ones."""
    page = opened(browser, page_of(path, tmp_path))
    beside = Beside(Play(layout(path)))
    first, *after = worked(page, path.stem)
    compare(first["seen"], beside, "at the start")
    assert len(after) >= LEAST
    done: list[str] = []
    for one in after:
        move = beside.move(one["kind"], *one["pressed"])
        refused = beside.follow(move)
        done.append(f"{move or 'undo'}{' refused' if refused else ''}")
        compare(one["seen"], beside, f"{path.stem}, after {len(done)} moves: {done[-6:]}")
        if refused:
            assert one["seen"]["words"] == [refused]
    assert page.troubles == []  # type: ignore[attr-defined]
    page.close()
