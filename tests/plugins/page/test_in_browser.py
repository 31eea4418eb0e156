"""The page in a browser: nothing goes wrong in it, everybody can use it, and it prints."""

from __future__ import annotations

import re
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from browser import browser, needs_browser, opened
from command_line import call

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, Page

__all__ = ["browser"]

pytestmark = needs_browser
EXAMPLES = Path(__file__).parents[3] / "rulesets"

HOSTILE = "'</script><script>window.harmed=1</script><img src=x onerror=window.harmed=1>\"''&]]>'"
FOUND = """\
plan: 1
name: NAME
rulebook: gb-colour-light
year: 1978
signals:
  <b>HF1:
    form: three-aspect
    note: NAME
    routes:
      - {to: HF3}
  HF3:
    form: four-aspect
    shows: {clear: [green, red]}
"""


WIRED = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1:
    form: four-aspect
    wiring: common-anode
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]
    routes: [{to: HF3, over: [DA]}]
  HF3:
    form: three-aspect
    wiring: common-anode
    lamps: [{green: A.4}, {yellow: A.5}, {red: A.6}]
sections: {DA: {}}
boards: {A: {kind: pwm-16, supply: main}}
supplies: {main: {voltage: 5 V, limit: 500 mA}}
"""


@pytest.fixture
def shown(browser: Browser, tmp_path: Path) -> Callable[..., Any]:
    """Return what opens the page of a plan, for a ``with``.

    In the end the page must have said nothing on the console, and asked for nothing but itself.
    """

    @contextmanager
    def show(plan: str, **how: Any) -> Iterator[Page]:
        file = tmp_path / "page.html"
        (tmp_path / "plan.yaml").write_text(plan, encoding="utf-8")
        assert call("report", tmp_path / "plan.yaml", "-o", file).code == 0
        page = opened(browser, file, **how)
        yield page
        assert page.troubles == []  # type: ignore[attr-defined]
        page.close()

    return show


def example(name: str) -> str:
    """Return an example plan of a bundled rulebook."""
    return next(EXAMPLES.glob(f"*/examples/{name}.yaml")).read_text(encoding="utf-8")


@pytest.mark.parametrize("plan", [WIRED, FOUND, example("birch-landing")], ids=["wired", "found", "American"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everybody_can_use_it(shown: Callable[..., Any], plan: str, scheme: str) -> None:
    """axe-core, the rules of WCAG 2 A and AA among its own, finds nothing that is serious or critical."""
    from axe_core_python.sync_playwright import Axe

    with shown(plan, color_scheme=scheme) as page:
        result = Axe().run(page)
        serious = [one for one in result["violations"] if one["impact"] in ("serious", "critical")]
        assert [(one["id"], one["nodes"][0]["html"]) for one in serious] == []


def test_hostile_names_do_nothing(shown: Callable[..., Any]) -> None:
    """They are text, wherever they stand."""
    with shown(FOUND.replace("NAME", HOSTILE)) as page:
        assert page.evaluate("() => window.harmed") is None
        assert page.title().startswith("</script><script>window.harmed=1</script>")
        assert page.evaluate("() => document.querySelectorAll('img, b:not(.lens-mark)').length") == 0


def test_findings_lead_to_the_text_and_back(shown: Callable[..., Any]) -> None:
    """By links, as any keyboard follows them."""
    with shown(FOUND.replace("NAME", "Hollin Fork")) as page:
        page.locator("#finding-1 a").first.focus()
        page.keyboard.press("Enter")
        assert page.url.endswith("#line-13")
        page.locator("#plan .said").first.focus()
        page.keyboard.press("Enter")
        assert page.url.endswith("#finding-1")


def test_the_keyboard_reaches_everything(shown: Callable[..., Any]) -> None:
    """Tab stops at every link, button and scrolling region, and each that has the focus shows it."""
    with shown(example("lindwerth")) as page:
        reachable = page.evaluate(
            "() => [...document.querySelectorAll('a[href], button, select, input, [tabindex=\"0\"]')]"
            ".filter(one => one.checkVisibility()).length"
        )
        page.evaluate("() => { window.reached = new Set(); }")
        for _ in range(reachable + 5):
            page.keyboard.press("Tab")
            unseen = page.evaluate(
                "() => { const one = document.activeElement; window.reached.add(one);"
                " return one !== document.body && getComputedStyle(one).outlineStyle === 'none' ? one.outerHTML : ''; }"
            )
            assert unseen == ""
        assert page.evaluate("() => window.reached.size") >= reachable


@pytest.mark.parametrize("width", [360, 1280])
def test_nothing_is_wider_than_the_window(shown: Callable[..., Any], width: int) -> None:
    """What is, scrolls by itself: a telephone shows the page as well."""
    with shown(example("garrow-fold"), viewport={"width": width, "height": 800}) as page:
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("name", ["garrow-fold", "merrowdale-junction", "lindwerth", "birch-landing"])
def test_no_picture_is_cut_at_its_edge(shown: Callable[..., Any], name: str) -> None:
    """Neither a name nor a line of 1.5 units: half of it lies beyond what it surrounds."""
    with shown(example(name)) as page:
        cut = page.evaluate(
            "() => { const cut = [];"
            " for (const one of document.querySelectorAll('article')) one.style.contentVisibility = 'visible';"
            " for (const svg of document.querySelectorAll('svg')) {"
            "  const edge = svg.getBoundingClientRect(), scale = edge.width / svg.viewBox.baseVal.width;"
            "  for (const one of svg.querySelectorAll('text, rect, circle, path, line, polygon')) {"
            "   const room = one.tagName === 'text' ? 0 : 0.75 * scale, box = one.getBoundingClientRect();"
            "   if (box.width + box.height && (box.left - room < edge.left || box.right + room > edge.right ||"
            "    box.top - room < edge.top || box.bottom + room > edge.bottom)) cut.push(one.outerHTML); } }"
            " return cut; }"
        )
        assert cut == []


def test_it_prints_on_a4(shown: Callable[..., Any]) -> None:
    """What is for the screen alone is not printed; bench cards are by themselves if so wished."""
    with shown(example("garrow-fold")) as page:
        page.evaluate("() => { window.print = () => { window.printed = document.body.dataset.prints; }; }")
        page.emulate_media(media="print")
        assert page.evaluate("() => document.querySelector('#printing').checkVisibility()") is False
        page.emulate_media(media="screen")
        page.get_by_role("button", name="Bench card").click()
        assert page.evaluate("() => window.printed") == "bench-card"
        page.emulate_media(media="print")
        page.evaluate(
            "() => { document.body.dataset.prints = 'bench-card';"
            " for (const one of document.querySelectorAll('[data-part=bench-card]')) one.dataset.chosen = ''; }"
        )
        assert page.evaluate("() => document.querySelector('#bench-card-GF1').checkVisibility()") is True
        assert page.evaluate("() => document.querySelector('#wiring-GF1').checkVisibility()") is False
        assert page.evaluate("() => document.querySelector('#diagram').checkVisibility()") is False


def test_light_letters_keep_their_ground_on_paper(shown: Callable[..., Any]) -> None:
    """Browsers print no backgrounds unless asked: a letter that needs its own says so, lit lamps above all."""
    with shown(example("garrow-fold")) as page:
        page.emulate_media(media="print")
        lost = page.evaluate(
            "() => { const light = (colour) => colour.match(/[\\d.]+/g).slice(0, 3).every((one) => one > 200);"
            " return [...document.querySelectorAll('main *')].filter((one) => one.checkVisibility()"
            "  && !one.closest('svg') && one.textContent.trim() && light(getComputedStyle(one).color)"
            "  && getComputedStyle(one).printColorAdjust !== 'exact').map((one) => one.outerHTML); }"
        )
        assert lost == []
        assert page.locator("#bench-card-GF1 .must-lit i").first.evaluate(
            "(one) => getComputedStyle(one).backgroundColor !== getComputedStyle(document.body).backgroundColor"
        )


def test_paper_is_not_wasted(shown: Callable[..., Any]) -> None:
    """Twelve signals, each with a bench card of a page at most, take about two pages each; 49 in all it was once."""
    with shown(example("garrow-fold")) as page:
        printed = page.pdf(format="A4", print_background=False)
        assert 24 < len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) < 42


def test_a_telephone_shows_all_that_works_the_layout(shown: Callable[..., Any]) -> None:
    """Rows become blocks that are still rows to those who hear them, and what is told stays small above them."""
    from axe_core_python.sync_playwright import Axe

    with shown(example("merrowdale-junction"), viewport={"width": 390, "height": 844}) as page:
        for button in page.locator("#worked-signals td:nth-of-type(4) button[aria-pressed]").all()[:4]:
            button.click()
        page.locator("#worked-signals summary").first.click()
        beside = page.evaluate(
            "() => [...document.querySelectorAll('#worked :is(button, summary, input, select)')]"
            ".filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth)"
            ".map((one) => one.textContent)"
        )
        assert beside == []
        told = page.locator("#worked-said").bounding_box()
        assert told is not None
        assert told["height"] <= 0.15 * 844
        assert page.get_by_role("rowheader", name="MJ1", exact=True).count() == 1
        assert page.get_by_role("row").filter(has_text="MJ1 ").count() >= 1
        result = Axe().run(page, context="#worked")
        assert [one["id"] for one in result["violations"] if one["impact"] in ("serious", "critical")] == []
