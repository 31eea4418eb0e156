"""What DEVELOPERS.md tells those who contribute works as it stands, in packages of their own, with core as it is."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from command_line import Done, run
from lampwright_kit.scaffold import package
from plugin_site import Site

if TYPE_CHECKING:
    from collections.abc import Iterator

GUIDE = (Path(__file__).parents[1] / "DEVELOPERS.md").read_text(encoding="utf-8")
PLAN = "plan: 1\nrulebook: ours\nyear: 1960\nsignals:\n  TB1: {form: stop-signal}\n  tb1: {form: stop-sign}\n"


def code(heading: str) -> str:
    """Return the module that stands under a heading."""
    return GUIDE.partition(f"### {heading}\n")[2].partition("```python\n")[2].partition("```")[0]


@pytest.fixture
def site(tmp_path: Path) -> Site:
    """Install a rulebook, a check and a report format, each a distribution of its own."""
    made = Site(tmp_path / "site")
    files = package("ours", "Our railway")
    made.install("ours", files["rulebook_ours/__init__.py"], head="", dist="rulebook-ours")
    for place, text in files.items():
        if "/books/" in place:
            file = made.folder / place.removeprefix("rulebook_ours/")
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
    made.install("names", code("A check"), head="", dist="signal-names")
    made.install("tally", code("A report format"), head="")
    (tmp_path / "plan.yaml").write_text(PLAN, encoding="utf-8")
    return made


@pytest.fixture
def checked(site: Site, tmp_path: Path) -> Done:
    """Check a plan that follows the rulebook."""
    return run("check", tmp_path / "plan.yaml", site=site.folder)


def test_a_rulebook_and_a_check_from_outside_are_used(checked: Done) -> None:
    """The rulebook's own forms count, and the check finds what it is for."""
    assert checked.code == 1
    assert "error[unknown-form]: tb1 is of the form stop-sign, which ours does not have" in checked.out
    assert "warning[names-alike]: tb1 and TB1 differ in capitals alone" in checked.out
    assert "ours in 1960" in checked.out


def test_the_manual_of_a_check_from_outside_is_printed_and_its_example_run(site: Site) -> None:
    """As one of Lampwright's own."""
    done = run("explain", "names-alike", site=site.folder)
    assert done.code == 0
    assert "    warning[names-alike]: tb1 and TB1 differ in capitals alone" in done.out
    assert "brought by  plugin names" in done.out


def test_a_report_format_from_outside_prints(site: Site, tmp_path: Path) -> None:
    """On the terminal, and to a file besides."""
    done = run("check", tmp_path / "plan.yaml", "--format", "tally", site=site.folder)
    assert sorted(done.out.splitlines()) == ["     1 names-alike", "     1 unknown-form"]
    report = tmp_path / "tally.txt"
    run("check", tmp_path / "plan.yaml", "--report", f"tally={report}", site=site.folder)
    assert sorted(report.read_text(encoding="utf-8").splitlines()) == ["     1 names-alike", "     1 unknown-form"]


def pieces_of_page_14() -> Iterator[tuple[str, str]]:
    """Yield the rows of the guide's table: where a piece goes, and what it is."""
    for line in GUIDE.partition("| of the page |")[2].partition("What the page does not say")[0].splitlines():
        if found := re.fullmatch(r"   \| [^|]+ \| `(\w+)`(?:, `(\w+)`)? \| `(.+?)`.* \|", line):
            yield found[2] or found[1], found[3]


def with_page_14(rulebook: str) -> str:
    """Return the rulebook of a scaffold with what the guide takes from a page."""
    pieces = dict(pieces_of_page_14())
    rulebook = rulebook.replace("aspects:\n", f"aspects:\n  {pieces['aspects']}\n", 1)
    rulebook = rulebook.replace("- [stop, caution, clear]", f"- {pieces['order']}")
    rulebook = rulebook.replace("    lamps:\n", f"    lamps:\n      {pieces['lamps']}\n", 1)
    rulebook = rulebook.replace("clear: green}", f"clear: green, {pieces['shows']}}}", 1)
    return rulebook.replace("  - title: clear before", f"  - {pieces['sequence']}\n  - title: clear before")


def cases_of_page_14(cases: str) -> str:
    """Return the cases of a scaffold with those that the guide writes for the page."""
    for kind in ("reads", "follows"):
        (case,) = re.findall(rf"`(\{{form: stop-signal[^`]*\}})` under `{kind}`", GUIDE)
        cases = re.sub(rf"({kind}:.*\n)", rf"\1  - {case}\n", cases, count=1)
    return cases


def test_the_page_of_the_guide_becomes_a_sound_rulebook(site: Site, tmp_path: Path) -> None:
    """Each of its five things in its place, and nothing is found in the rulebook, its example, or by its cases."""
    from lampwright.testing.bench import Bench
    from lampwright.testing.cases import Case

    del site
    book = tmp_path / "site" / "books" / "ours"
    for name, change in (("rulebook.yaml", with_page_14), ("cases.yaml", cases_of_page_14)):
        text = (book / name).read_text(encoding="utf-8")
        (book / name).write_text(change(text), encoding="utf-8")
        assert (book / name).read_text(encoding="utf-8").count("preliminary-caution") >= 2
    bench = Bench(book, "ours")
    bench.sound()
    bench.silent(bench.examples[0])
    document = bench.cases("cases.yaml")
    for kind in ("reads", "follows", "plans"):
        for number in range(len(document.values[kind])):
            Case(bench, document, kind, number).run()
    assert "preliminary-caution" in bench.touched.aspects
