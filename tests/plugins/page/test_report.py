"""``lampwright report``: one file, whole, of everything a plan has; what is hostile in a plan is text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from command_line import call
from lampwright.host import Host
from lampwright.page import PagePart, Place
from lampwright_page.page import page
from support import result_of

PLAN = """\
plan: 1
name: Hollin Fork
rulebook: gb-colour-light
year: 1978
signals:
  HF1:
    form: three-aspect
    lamps: [green, yellow, red]
    routes:
      - {to: HF3}
  HF3:
    form: four-aspect
    shows:
      clear: [green, red]
"""
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(1)>\"'&]]>"


class Reader(HTMLParser):
    """Reads a page: its elements with their attributes, its ids, where links lead."""

    def __init__(self, html: str) -> None:
        """Read it all."""
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)
        self.ids = [said["id"] for _, said in self.elements if "id" in said]
        self.links = [said["href"] or "" for tag, said in self.elements if tag == "a"]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an element."""
        self.elements.append((tag, dict(attrs)))


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a plan with one thing wrong."""
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "fork.yaml"
    file.write_text(PLAN, encoding="utf-8")
    return file


def test_a_page_has_everything_and_leads_everywhere(plan: Path) -> None:
    """Every link leads to an id there is, every id is there once; findings lead to their lines and back."""
    assert call("report", plan, "-o", "page.html").code == 0
    html = (plan.parent / "page.html").read_text(encoding="utf-8")
    seen = Reader(html)
    assert len(seen.ids) == len(set(seen.ids))
    assert {link.removeprefix("#") for link in seen.links} <= set(seen.ids)
    assert {"about-HF1", "about-HF3", "findings", "sources", "plan", "line-14", "finding-1"} <= set(seen.ids)
    assert {"#line-14", "#finding-1"} <= set(seen.links)
    assert "impossible-combination" in html


def test_a_wired_plan_has_wires_loads_bench_cards_and_history(plan: Path) -> None:
    """Each where it belongs, with the cautions; what was proved under a former name is told too."""
    wired = Path(__file__).parents[3] / "rulesets/gb-colour-light/examples/garrow-fold.yaml"
    plan.write_text(wired.read_text(encoding="utf-8"), encoding="utf-8")
    (plan.parent / "fork.log.yaml").write_text(
        "log: 1\nrecords:\n"
        "  - {date: 2025-03-01, signal: GF101, fingerprint: 0badcafe, result: good}\n"
        "  - {date: 2025-04-01, signal: GF101, renamed: GF1}\n"
        "  - {date: 2025-05-01, signal: GF3, result: faulty}\n",
        encoding="utf-8",
    )
    html = call("report", plan).out
    ids = set(Reader(html).ids)
    assert {"diagram", "loads", "schedule", "drawing-GF1", "aspects-GF1", "wiring-GF1", "load-GF1"} <= ids
    assert {"bench-card-GF1", "history-GF1", "history-GF3"} <= ids
    assert "history-GF5" not in ids
    history = html.split('id="history-GF1"')[1].split("</section>")[0]
    assert re.findall(r"2025-\d\d-\d\d", history) == ["2025-03-01", "2025-04-01"]
    schedule = html.split('id="schedule"')[1].split("</section>")[0]
    assert "extra-low voltage only" in schedule.lower()


def test_a_page_of_a_station_of_thirty_signals_is_small() -> None:
    """Under 500 kB, with everything; larger plans are in ``benchmarks.page``."""
    station = Path(__file__).parents[3] / "rulesets/gb-colour-light/examples/merrowdale-junction.yaml"
    html = call("report", station).out
    assert html.count("<article") == 29
    assert 100_000 < len(html.encode()) < 500_000


def test_nothing_is_fetched_and_only_the_page_s_own_scripts_run(plan: Path) -> None:
    """The policy names every script by its digest; no element points outside."""
    seen = Reader(call("report", plan).out)
    policy = next(said["content"] for tag, said in seen.elements if said.get("http-equiv") == "Content-Security-Policy")
    assert policy is not None
    assert policy.startswith("default-src 'none'")
    running = [said for tag, said in seen.elements if tag == "script" and said.get("type") != "application/json"]
    assert len(running) == policy.count("'sha256-")
    assert not [said for _, said in seen.elements if {"src", "srcset", "action", "onclick", "onload"} & said.keys()]
    assert not [tag for tag, _ in seen.elements if tag in {"link", "iframe", "object", "embed"}]


@pytest.mark.parametrize(
    ("where", "hostile"), [("Hollin Fork", HOSTILE), ("HF1", "<script>alert(1)<img>"), ("as it was", HOSTILE)]
)
def test_hostile_names_are_text(plan: Path, where: str, hostile: str) -> None:
    """The page has the same elements as that of a plan with harmless names."""
    text = f"{PLAN}    note: as it was\n"
    made = {}
    for name in ("Quiet", "'" + hostile.replace("'", "''") + "'"):
        plan.write_text(text.replace(where, name), encoding="utf-8")
        made[name] = call("report", plan).out
    quiet, loud = made.values()
    assert "&lt;script&gt;" in loud
    assert [tag for tag, _ in Reader(loud).elements] == [tag for tag, _ in Reader(quiet).elements]


def test_pages_go_into_a_folder_one_for_each_plan(plan: Path) -> None:
    """Several do not go into one file."""
    (plan.parent / "yard.yaml").write_text(PLAN, encoding="utf-8")
    assert call("report", ".", "-o", "one.html").code == 2
    assert call("report", ".", "-o", "pages").code == 0
    assert sorted(file.name for file in (plan.parent / "pages").iterdir()) == ["fork.html", "yard.html"]


def test_what_cannot_be_read_has_no_page(plan: Path) -> None:
    """1 with the findings; 3 where there is no plan; nothing is written."""
    plan.write_text(PLAN.replace("plan: 1", "plan: [", 1), encoding="utf-8")
    done = call("report", plan, "-o", "page.html")
    assert done.code == 1
    assert "error[" in done.out
    plan.unlink()
    assert call("report", ".", "-o", "page.html").code == 3
    assert not (plan.parent / "page.html").exists()


def test_a_part_that_raises_is_left_out_and_told() -> None:
    """All others are there, in their order."""

    def broken(_: object) -> str:
        raise ValueError("out of ink")

    parts = [
        PagePart("broken", "Broken", 1, Place.BEFORE, broken),
        PagePart("second", "Second", 2, Place.AFTER, lambda _: "<p>two</p>"),
        PagePart("first", "First", 1, Place.AFTER, lambda _: "<p>one</p>"),
        PagePart("lamps", "Lamps", 1, Place.SIGNAL, lambda signal: f"<p>{signal.name}</p>"),
        PagePart("mute", "Mute", 1, Place.SIGNAL, lambda _: ""),
    ]
    result = result_of(PLAN)
    told: list[tuple[str, str]] = []
    html = page(result.layouts[0], result, parts, lambda name, error: told.append((name, str(error))))
    assert told == [("broken", "out of ink")]
    ids = re.findall(r'<section id="([a-z-]+)', html)
    assert [one for one in ids if one in {"broken", "first", "second"}] == ["first", "second"]
    assert {"lamps-HF1", "lamps-HF3"} <= set(Reader(html).ids)
    assert "mute" not in html


def test_parts_come_by_plugin() -> None:
    """What is no part is a complaint about its plugin."""

    class Bringer:
        lampwright_api = 1

    from lampwright.host import hookimpl

    good = PagePart("good", "Good", 1, Place.AFTER, lambda _: "<p>good</p>")
    Bringer.page_parts = staticmethod(hookimpl(lambda: [good, "bad"]))  # type: ignore[attr-defined]
    host = Host.load([Bringer], limit="none")
    assert host.page_parts() == [good]
    assert any("page_parts() returned 'bad' among parts of the page" in one.cause for one in host.failures)
