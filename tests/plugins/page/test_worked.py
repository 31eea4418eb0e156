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
    from collections.abc import Iterator

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
    undo: "#worked-undo",
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
      { said: row.dataset.said, lit: row.dataset.lit, why: row.querySelectorAll("td")[2].textContent,
        letters: row.querySelector("td").textContent },
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
            self.now = self.before.pop() if self.before else self.now
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


@pytest.fixture
def junction(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """Open the page of the junction; nothing may go wrong on it."""
    page = opened(browser, page_of(next(path for path in EXAMPLES if path.stem == "merrowdale-junction"), tmp_path))
    yield page
    assert page.troubles == []  # type: ignore[attr-defined]
    page.close()


def says(page: Page) -> list[str]:
    """Return the lines in which the last move is told."""
    return page.locator("#worked-said p").all_inner_texts()


def shows(page: Page, signal: str) -> str | None:
    """Return what a signal is told to show."""
    return page.locator(f"[data-worked='{signal}']").get_attribute("data-said")


@needs_browser
def test_a_route_is_set_and_taken_back_by_the_keyboard(junction: Page) -> None:
    """What moved is said with the reason, in a region that is read out."""
    button = junction.get_by_role("button", name="route MJ9 to MJ11", exact=True)
    button.focus()
    junction.keyboard.press("Enter")
    assert says(junction) == [
        "route MJ9 to MJ11 is set",
        "MJ9 shows caution, because MJ11 stands at danger, as no route is set from MJ11",
    ]
    assert junction.locator("#worked-said").get_attribute("aria-live") == "polite"
    assert junction.evaluate("document.activeElement.getAttribute('aria-pressed')") == "true"
    assert junction.evaluate("document.activeElement.textContent") == "route MJ9 to MJ11: set"
    junction.keyboard.press("Space")
    assert (shows(junction, "MJ9"), says(junction)[0]) == ("danger", "route MJ9 to MJ11 is taken back")


@needs_browser
def test_a_route_that_a_train_has_used_is_taken_back_and_the_focus_stays(junction: Page) -> None:
    """Its button sets it again; the one to take it back goes away, and the keyboard is not lost."""
    junction.get_by_role("button", name="route MJ9 to MJ11", exact=True).click()
    junction.get_by_role("button", name="DG", exact=True).click()
    assert junction.get_by_role("button", name="route MJ9 to MJ11: set, used by a train", exact=True).is_visible()
    junction.get_by_role("button", name="take back route MJ9 to MJ11", exact=True).focus()
    junction.keyboard.press("Enter")
    assert says(junction)[0] == "route MJ9 to MJ11 is taken back"
    assert junction.evaluate("document.activeElement.textContent") == "route MJ9 to MJ11"


@needs_browser
def test_moves_are_undone_one_by_one_and_all_at_once(junction: Page) -> None:
    """Starting again can be undone as well."""
    undo, again = (junction.get_by_role("button", name=name) for name in ("Undo", "Start again"))
    undo.click()
    assert says(junction) == ["there is no move to undo"]
    junction.get_by_role("button", name="route MJ9 to MJ11", exact=True).click()
    junction.get_by_role("button", name="DG", exact=True).click()
    assert shows(junction, "MJ9") == "danger"
    undo.click()
    assert shows(junction, "MJ9") == "caution"
    again.click()
    assert (shows(junction, "MJ9"), junction.url.partition("#")[2]) == ("danger", "")
    undo.click()
    assert shows(junction, "MJ9") == "caution"
    undo.click()
    assert shows(junction, "MJ9") == "danger"


@needs_browser
def test_the_track_shows_which_feather_is_lit(browser: Browser, tmp_path: Path) -> None:
    """Approach release at Corvel Bridge: with a train in DB the feather lights; 101 is pressed for its section DC."""
    page = opened(browser, page_of(next(path for path in EXAMPLES if path.stem == "corvel-bridge"), tmp_path))
    feather = page.locator("#at-CB3 [data-position='position-1'] .lamp")
    states = "(all) => [...new Set(all.map((one) => one.getAttribute('class')))]"
    assert (feather.count(), feather.evaluate_all(states)) == (3, ["lamp dark"])
    page.get_by_role("button", name="route CB3 to CB7", exact=True).click()
    page.get_by_role("button", name="DB", exact=False).first.click()
    assert feather.evaluate_all(states) == ["lamp lit white"]
    points = page.locator("[data-points='101']")
    points.locator("text").click()
    assert points.locator("title").text_content() == "section DC: occupied"
    assert feather.evaluate_all(states) == ["lamp dark"]
    page.close()


@needs_browser
def test_a_link_brings_all_of_it_back(junction: Page, browser: Browser) -> None:
    """Routes, trains, lamps that are out, what stands beyond; from a file, without a server."""
    for name in ("route MJ5 to MJ7", "route MJ7 to MJ31", "DD", "route MJ13 to down-beyond"):
        junction.get_by_role("button", name=name, exact=True).click()
    junction.get_by_label("down-beyond").select_option("clear")
    junction.locator("[data-worked='MJ9'] summary").click()
    junction.locator("[data-worked='MJ9']").get_by_role("button", name="red", exact=True).click()
    link = junction.locator("#worked-link").get_attribute("href")
    assert link is not None
    assert junction.url.endswith(link)
    again = browser.new_page()
    again.goto(junction.url)
    for signal in ("MJ5", "MJ7", "MJ7R", "MJ9", "MJ13"):
        row = f"({{...document.querySelector(\"[data-worked='{signal}']\").dataset}})"
        assert again.evaluate(row) == junction.evaluate(row)
    assert (shows(again, "MJ7"), shows(again, "MJ13")) == ("caution with junction position-1", "clear")
    again.close()


@needs_browser
@pytest.mark.parametrize(
    "fragment",
    [
        "#worked=%7Bnonsense",
        "#worked=%E0%A4%A",
        "#worked=null",
        "#worked=[1,2]",
        '#worked={"routes":[[0,"no such route"],[1],7,null],"occupied":["nowhere",3],"out":[["MJ1","<b>"]]}',
        '#worked={"beyond":[[1,2],["up-beyond","clear"],["up-beyond","nothing"]],"reverse":[1,{}],"occupied":7}',
        '#worked={"routes":[[3,"MJ7 to MJ9"],[4,"MJ7 to MJ31"]],"passed":{"a":1}}',
    ],
)
def test_a_broken_link_breaks_nothing(browser: Browser, tmp_path: Path, fragment: str) -> None:
    """What the plan has not is left out; of two routes that exclude each other the first is set."""
    plan = next(path for path in EXAMPLES if path.stem == "merrowdale-junction")
    page = opened(browser, page_of(plan, tmp_path), fragment=fragment)
    junction_set = page.locator(".diagram .route.set").evaluate_all("all => all.map(one => one.dataset.route)")
    assert junction_set == (["MJ7 to MJ9"] if "MJ7 to MJ9" in fragment else [])
    page.get_by_role("button", name="route MJ13 to down-beyond", exact=True).click()
    assert shows(page, "MJ13") == "caution"
    assert page.troubles == []  # type: ignore[attr-defined]
    page.close()


@needs_browser
def test_a_lamp_put_out_is_told_with_what_a_driver_reads(junction: Page) -> None:
    """One of two yellows lost is a single yellow."""
    for name in ("route MJ3 to MJ5", "route MJ5 to MJ7"):
        junction.get_by_role("button", name=name, exact=True).click()
    junction.locator("[data-worked='MJ3'] summary").click()
    junction.locator("[data-worked='MJ3']").get_by_role("button", name="upper-yellow", exact=True).click()
    assert says(junction)[1].endswith("; with upper-yellow out a driver reads caution")
    dark = junction.locator(".diagram [data-signal='MJ3'] [data-lamp='upper-yellow']").get_attribute("class")
    assert dark == "lamp dark"


@needs_browser
def test_the_track_itself_is_worked(junction: Page) -> None:
    """A section is occupied, a route set from its one entrance and taken back; the same as by buttons."""
    junction.locator(".diagram [data-signal='MJ9'] text").first.dispatch_event("click")
    assert says(junction)[0] == "route MJ9 to MJ11 is set"
    junction.locator(".diagram [data-section='DG'] line").first.dispatch_event("click")
    assert says(junction)[0] == "DG is occupied"
    assert junction.get_by_role("button", name="DG: occupied", exact=True).get_attribute("aria-pressed") == "true"
    junction.locator(".diagram [data-section='DG'] line").first.dispatch_event("click")
    junction.locator(".diagram [data-route='MJ9 to MJ11'] path").first.dispatch_event("click")
    assert says(junction)[0] == "route MJ9 to MJ11 is set"


@needs_browser
def test_a_route_is_set_from_entrance_to_exit(junction: Page) -> None:
    """The way of a British panel (common practice): one press where it begins, one where it ends, an end as well."""
    press = ".diagram [data-{}='{}'] text"
    junction.locator(press.format("signal", "MJ7")).first.dispatch_event("click")
    assert says(junction) == ["MJ7 is the entrance: press the exit, MJ9, MJ31 or yard"]
    assert junction.locator(".diagram .entrance").get_attribute("data-signal") == "MJ7"
    junction.locator(press.format("signal", "MJ31")).first.dispatch_event("click")
    assert says(junction)[0] == "route MJ7 to MJ31 is set"
    assert junction.locator(".diagram .route.set").get_attribute("data-route") == "MJ7 to MJ31"
    assert junction.locator(".diagram .entrance").count() == 0
    junction.locator(press.format("signal", "MJ44")).first.dispatch_event("click")
    junction.locator(press.format("end", "bay-stops")).first.dispatch_event("click")
    assert says(junction)[0] == "route MJ44 to bay-stops is set"
    junction.locator(press.format("signal", "MJ7")).first.dispatch_event("click")
    junction.locator(press.format("signal", "MJ7")).first.dispatch_event("click")
    assert says(junction) == ["MJ7 is no longer the entrance"]


@needs_browser
def test_a_signal_is_found_by_its_name(junction: Page) -> None:
    """In a long list."""
    junction.get_by_label("Find a signal").fill("mj4")
    found = junction.locator("#worked-signals tr:visible").evaluate_all("all => all.map(one => one.dataset.worked)")
    assert found == ["MJ40D", "MJ40", "MJ42", "MJ44R", "MJ44", "MJ4"]


@needs_browser
def test_flashing_lamps_keep_time(browser: Browser, tmp_path: Path) -> None:
    """Those of one beat begin their flashes together, whenever they were lit."""
    plan = next(path for path in EXAMPLES if path.stem == "tarn-bank")
    page = opened(browser, page_of(plan, tmp_path))
    for name in ("TK5 to TK7", "TK7 to TK11", "TK11 to branch-beyond", "TK3 to TK5"):
        page.get_by_role("button", name=f"route {name}", exact=True).click()
        page.wait_for_timeout(90)
    assert (shows(page, "TK3"), shows(page, "TK5")) == ("flashing-preliminary-caution", "flashing-caution")
    moving = page.evaluate(
        """() => [...document.querySelectorAll(".diagram .lamp.flash .light")].flatMap((light) =>
          light.getAnimations().map((one) => [one.animationName, one.startTime, one.playState]))"""
    )
    assert len(moving) == 3
    assert {tuple(one) for one in moving} == {(moving[0][0], 0, "running")}
    page.close()
