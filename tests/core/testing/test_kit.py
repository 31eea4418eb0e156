"""The kit for those who write a rulebook: what it runs, what it says of a slip, what it leaves alone."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest

from lampwright.testing import CASES
from lampwright.testing.bench import Bench, Unfulfilled
from lampwright.testing.cases import Case
from lampwright.testing.touched import untouched
from lampwright_kit.scaffold import package

if TYPE_CHECKING:
    from pathlib import Path

FILES = {
    place.rpartition("/books/ours/")[2]: text for place, text in package("ours", "").items() if "/books/ours/" in place
}
"""The rulebook that a scaffold begins with, by the names of its files."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Write the rulebook of a scaffold."""
    made = tmp_path / "ours"
    (made / "examples").mkdir(parents=True)
    for name, text in FILES.items():
        (made / name).write_text(text, encoding="utf-8")
    return made


def case_of(folder: Path, kind: str, text: str) -> Case:
    """Return one case, written as it stands in a file."""
    (folder / CASES).write_text(f"cases: 1\n{kind}:\n  - {text}\n", encoding="utf-8")
    bench = Bench(folder, "ours")
    return Case(bench, bench.cases(CASES), kind, 0)


def complaint(folder: Path, kind: str, text: str) -> Unfulfilled:
    """Return how a case fails."""
    with pytest.raises(Unfulfilled) as caught:
        case_of(folder, kind, text).run()
    return caught.value


READS = [
    ("{form: stop-signal, lit: red, aspect: stop, source: [rule-book 11, photograph, common-practice]}", ""),
    ("{form: stop-signal, lit: red, aspect: stop, source: rulebook 11}", "there is no source rulebook"),
    ("{form: stop-signal, lit: red, aspect: stop, source: [rule-book, 11]}", "there is no source 11"),
    ("{form: stop-signal, lit: red, aspect: stop}", ""),
    ("{form: stop-signal, lit: red, aspect: clear}", "this reads as stop, and not as clear"),
    ("{form: stop-signal, lit: {green: flash}, aspect: none}", ""),
    ("{form: stop-signal, lit: dark, aspect: stop}", "this reads as none, and not as stop"),
    ("{form: stop-signal, lit: [red, grene], aspect: stop}", "there is no lamp, head, box or plate of this form grene"),
    ("{form: stop-signal, lit: red, seen: red, aspect: stop}", ""),
    ("{form: stop-signal, lit: {green: lit, red: dark}, seen: [green], aspect: clear}", ""),
    ("{form: stop-signal, lit: dark, seen: [], aspect: none}", ""),
    ("{form: stop-signal, lit: green, seen: red, aspect: clear}", "green is seen here"),
    ("{form: stop-signal, lit: dark, seen: red, aspect: none}", "no light is seen here"),
    ("{form: stop-signal, lit: [green, red], rows: [green, red], aspect: none}", ""),
    ("{form: stop-signal, lit: [green, red], rows: [red, green], aspect: none}", "the lights lie [“green”, “red”]"),
    ("{form: stop-signal, lit: [green, red], rows: green red, aspect: none}", "the lights lie [“green”, “red”]"),
    ("{form: stop-sign, lit: red, aspect: stop}", "there is no form stop-sign"),
    ("{form: stop-signal, lit: red, aspect: stopp}", "there is no aspect stopp"),
    ("{form: stop-signal, lit: red, aspect: stop, year: 1980..1970}", "'1980..1970' is no span of years"),
]
FOLLOWS = [
    ("{form: stop-signal, next: stop, aspect: caution}", ""),
    ("{form: stop-signal, next: stop, aspect: clear}", "caution must stand here, and not clear"),
    ("{form: stop-signal, next: stop, aspect: caution, or: clear}", "nothing is allowed besides, and not clear"),
    ("{form: distant, next: halt, aspect: caution}", "there is no aspect halt"),
    ("{form: stop-signal, next: end, aspect: none}", "caution must stand here, and not none"),
]
MEANS = [
    ("{aspect: caution, says: {authority: proceed, stop-at: next}, freer-than: stop, stricter-than: clear}", ""),
    ("{aspect: stop, freer-than: [], stricter-than: [caution, clear]}", ""),
    ("{aspect: cautoin, says: {authority: proceed}}", "there is no aspect cautoin"),
    ("{aspect: caution, says: {authority: stop}}", "caution says proceed of authority"),
    ("{aspect: clear, says: {stop-at: next}}", "clear says nothing of stop-at"),
    ("{aspect: clear, freer-than: [stop, caution]}", ""),
    ("{aspect: clear, freer-than: clearer}", "there is no aspect clearer"),
    ("{aspect: clear, freer-than: clear}", "by the order clear is not freer than clear"),
    ("{aspect: caution, freer-than: clear}", "by the order caution is not freer than clear"),
    ("{aspect: caution, stricter-than: [clear, stop]}", "by the order caution is not stricter than stop"),
    ("{aspect: caution, incomparable: clear}", "by the order caution is not incomparable with clear"),
    ("{aspect: clear, years: 1930..}", "the years are .."),
    ("{aspect: clear, years: 1950..1930}", "'1950..1930' is no span of years"),
]
FORMS = [
    ("{form: stop-signal, role: stop, in-doubt: stop, carries: direction}", ""),
    ("{form: stop-signal, rows: [green, yellow, red], gives: [clear, stop, caution]}", ""),
    ("{form: distant, gives: caution}", "gives is caution and clear"),
    ("{form: distant, role: [stop, distant]}", "role is distant"),
    ("{form: distant, in-doubt: clear}", "in-doubt is caution"),
    ("{form: distant, rest: dark}", "rest is nothing"),
    ("{form: distant, rest: {automatic: clear}}", "rest is nothing"),
    ("{form: distant, rows: green yellow}", "the lamps lie [“green”, “yellow”]"),
    ("{form: distant, carries: direction}", "carries has no direction, but nothing"),
    ("{form: stop-signal, optional: caution}", "optional has no caution, but nothing"),
    ("{form: stop-signal, years: 1930..1950}", "the years are .."),
    ("{form: stop-sign, role: stop}", "there is no form stop-sign"),
]
INDICATORS = [
    ("{indicator: direction, kind: positions, proved: true, stands-with: [caution, clear], never-with: stop}", ""),
    ("{indicator: direction, positions: {arm-left: left}}", ""),
    ("{indicator: direction, positions: {arm-left: right}}", "arm-left stands for left"),
    ("{indicator: direction, positions: {arm-up: right}}", "there is no position arm-up"),
    ("{indicator: directoin, kind: symbol}", "there is no indicator directoin"),
    ("{indicator: direction, kind: symbol}", "kind is positions"),
    ("{indicator: direction, proved: false}", "proved is true"),
    ("{indicator: direction, times: 10 km/h}", "times is nothing"),
    ("{indicator: direction, stands-with: [clear, stop]}", "it may not be lit with stop"),
    ("{indicator: direction, never-with: [stop, clear]}", "it may be lit with clear"),
    ("{indicator: direction, never-with: halt}", "there is no aspect halt"),
    ("{indicator: direction, years: 1930..}", "the years are .."),
]
PLAN = "plan: 1\\nrulebook: ours\\nsignals:\\n  A1: {form: "
PLANS = [
    (f'{{plan: "{PLAN}stop-signal}}\\n", finds: []}}', ""),
    (f'{{plan: "{PLAN}stop-sign}}\\n", finds: [unknown-form]}}', ""),
    (f'{{plan: "{PLAN}stop-sign}}\\n", finds: {{unknown-form: A1}}}}', ""),
    (f'{{plan: "{PLAN}stop-sign}}\\n", finds: {{unknown-form: A2}}}}', "unknown-form says “A1 is of the form"),
    (f'{{plan: "{PLAN}stop-sign}}\\n", finds: []}}', "unknown-form is found in this plan"),
    (f'{{plan: "{PLAN}stop-signal}}\\n", finds: [unknown-form]}}', "nothing is found in this plan"),
    (f'{{plan: "{PLAN}stop-sign}}\\n", finds: [unknown-form, unknown-form]}}', "unknown-form is found in this plan"),
]
CASES_OF_ALL_KINDS = [
    (kind, text, said)
    for kind, cases in (
        ("reads", READS),
        ("follows", FOLLOWS),
        ("means", MEANS),
        ("forms", FORMS),
        ("indicators", INDICATORS),
        ("plans", PLANS),
    )
    for text, said in cases
]


@pytest.mark.parametrize(("kind", "text", "said"), CASES_OF_ALL_KINDS)
def test_a_case_holds_or_says_what_is_instead(folder: Path, kind: str, text: str, said: str) -> None:
    """A message, at the place in the file of cases."""
    if not said:
        case_of(folder, kind, text).run()
        return
    failed = complaint(folder, kind, text)
    first = failed.findings[0]
    assert said in first.message
    assert (first.spot.file, first.spot.path[:2]) == (f"ours/{CASES}", (kind, 0))
    assert first.spot.file in failed.documents


def test_a_case_is_called_by_what_it_asks_about_wherever_that_stands(folder: Path) -> None:
    """The source does not count."""
    text = "{rows: [green], source: photograph, form: stop-signal, role: stop}"
    assert str(case_of(folder, "forms", text)) == "stop-signal: rows, role"


def test_a_lamp_of_a_wrong_colour_under_a_right_name_is_seen(folder: Path) -> None:
    """The names of lamps are the rulebook's own; what is seen is the book's."""
    file = folder / "rulebook.yaml"
    text = file.read_text(encoding="utf-8")
    wrong = text.replace("colour: green", "colour: yellow").replace("green: green", "green: yellow")
    assert wrong != text
    file.write_text(wrong, encoding="utf-8")
    case_of(folder, "reads", "{form: stop-signal, lit: green, aspect: clear}").run()
    seen = complaint(folder, "reads", "{form: stop-signal, lit: green, seen: green, aspect: clear}")
    assert "yellow is seen here" in str(seen)


def test_lights_on_a_post_lie_where_its_parts_are(folder: Path) -> None:
    """A part sits somewhere on the post, and its lamps in it; rows and columns count, distances do not."""
    post_in(folder, "distant: {form: distant, at: [1, 0]}")
    seen = "{form: post, lit: [main.red, distant.yellow], rows: [red ., '.   yellow'], aspect: {main: stop}}"
    case_of(folder, "reads", seen).run()
    case_of(folder, "forms", "{form: post, rows: [green ., yellow ., red ., . green, . yellow]}").run()
    assert str(case_of(folder, "forms", "{form: post, gives: [main.stop], note: x}")) == "post: gives"
    failed = complaint(folder, "forms", "{form: post, gives: [main.stop]}")
    assert "gives is main.stop, main.caution" in str(failed)


def test_lights_lie_nowhere_if_it_is_not_said_where(folder: Path) -> None:
    """A part without a place has its lamps nowhere."""
    post_in(folder, "distant: {form: distant}")
    failed = complaint(folder, "forms", "{form: post, rows: [green]}")
    assert "the lamps lie where it is not said" in str(failed)


def test_a_route_tells_whether_a_part_is_dark(folder: Path) -> None:
    """What a coupling asks of the route is said by the case."""
    post_in(folder, "distant: {form: distant, at: [1, 0]}")
    dark = "form: post, lit: main.green, aspect: {main: clear, distant:"
    case_of(folder, "reads", f"{{{dark} none}}}}").run()
    case_of(folder, "reads", f"{{{dark} rest}}, route: {{distant-applies: false}}}}").run()
    assert "distant none" in str(complaint(folder, "reads", f"{{{dark} rest}}, route: {{distant-applies: true}}}}"))


def test_parts_of_a_post_are_asked_together_with_what_they_force_on_each_other(folder: Path) -> None:
    """The distant that does not apply is dark, whatever the sequence asks of it."""
    post_in(folder, "distant: {form: distant, at: [1, 0]}")
    both = "form: post, next: stop, aspect: {main: caution, distant:"
    case_of(folder, "follows", f"{{{both} caution}}}}").run()
    case_of(folder, "follows", f"{{{both} dark}}, route: {{distant-applies: false}}}}").run()
    case_of(folder, "follows", "{form: post, next: clear, aspect: {distant: clear}}").run()
    assert "distant caution must stand here" in str(complaint(folder, "follows", f"{{{both} clear}}}}"))
    assert "there is no part of this form distnat" in str(
        complaint(folder, "follows", "{form: post, next: stop, aspect: {distnat: clear}}")
    )
    assert "or is asked of one part" in str(complaint(folder, "follows", f"{{{both} caution}}, or: clear}}"))
    assert str(case_of(folder, "follows", f"{{{both} dark}}}}")) == "post before stop shows main caution distant dark"


def test_what_answers_a_fault_is_found_among_others(folder: Path) -> None:
    """By what fails, in which aspects, and what is done then; an interlock is not the same as a reason to accept it."""
    file = folder / "rulebook.yaml"
    faults = "faults: [{lost: yellow, in: caution, then: stop}, {steady: any, accepted: it is seen}]"
    text = file.read_text(encoding="utf-8").replace("  stop-signal:\n", f"  stop-signal:\n    {faults}\n", 1)
    assert faults in text
    file.write_text(text, encoding="utf-8")
    said = "{form: stop-signal, faults: [%s]}"
    case_of(folder, "forms", said % "{lost: yellow, in: caution, then: stop}, {steady: any, accepted: true}").run()
    for other in (
        "{lost: yellow, in: clear, then: stop}",
        "{lost: yellow, in: caution}",
        "{steady: any}",
        "{lost: red}",
    ):
        assert "no fault of this form is answered so" in str(complaint(folder, "forms", said % other)), other


def post_in(folder: Path, part: str) -> None:
    """Give the rulebook a post of two parts; the distant is dark where it does not apply."""
    file = folder / "rulebook.yaml"
    dark = "coupling: [{when: {route: {distant-applies: false}}, then: {distant: dark}}]"
    post = f"  post: {{parts: {{main: {{form: stop-signal, at: [0, 3]}}, {part}}}, {dark}}}\n"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("forms:\n", f"forms:\n{post}", 1), encoding="utf-8")


def test_a_slip_in_a_name_gets_the_near_miss(folder: Path) -> None:
    """As everywhere."""
    assert complaint(folder, *READS_WITH_A_SLIP).findings[0].tip == "did you mean green?"


READS_WITH_A_SLIP = ("reads", "{form: stop-signal, lit: [red, grene], aspect: stop}")


@pytest.mark.parametrize(
    ("text", "said"),
    [("cases: 1\nread: []\n", "read is not a key of"), ("cases: 1\nreads: [{form: x}]\n", "lacks"), ("[", "")],
)
def test_a_file_of_cases_is_held_to_its_format(folder: Path, text: str, said: str) -> None:
    """Before any of it is run."""
    (folder / CASES).write_text(text, encoding="utf-8")
    with pytest.raises(Unfulfilled) as caught:
        Bench(folder, "ours").cases(CASES)
    assert said in caught.value.findings[0].message


def test_soundness_and_examples_fail_with_their_findings(folder: Path) -> None:
    """The rulebook is checked as a user's is; a note is no failure, for a beginning rests on memory."""
    bench = Bench(folder, "ours")
    bench.sound()
    (example,) = bench.examples
    bench.silent(example)
    example.write_text(example.read_text(encoding="utf-8").replace("turns: left", "turns: right"), encoding="utf-8")
    with pytest.raises(Unfulfilled) as caught:
        bench.silent(example)
    assert {finding.spot.file for finding in caught.value.findings} == {"ours/examples/little-welding.yaml"}
    book = folder / "rulebook.yaml"
    book.write_text(book.read_text(encoding="utf-8").replace("clear: green}", "clear: yellow}"), encoding="utf-8")
    with pytest.raises(Unfulfilled, match="shows caution and clear alike"):
        Bench(folder, "ours").sound()


def test_a_rulebook_that_cannot_be_used_says_why_in_every_test(folder: Path) -> None:
    """No case is a traceback."""
    book = folder / "rulebook.yaml"
    book.write_text(book.read_text(encoding="utf-8").replace("stop: red", "stop: rde"), encoding="utf-8")
    bench = Bench(folder, "ours")
    for ask in (bench.sound, Case(bench, bench.cases(CASES), "reads", 0).run):
        with pytest.raises(Unfulfilled, match="rde"):
            ask()


def left(bench: Bench) -> dict[str, list[str]]:
    """Return what nothing has touched yet."""
    return {kind: names for kind, _, names in untouched(bench.book(), bench.touched)}


def test_coverage_tells_what_nothing_touches(folder: Path) -> None:
    """Cases touch what they name and what follows from it; an example all that its signals can be asked to show."""
    bench = Bench(folder, "ours")
    document = bench.cases(CASES)
    everything = left(bench)
    assert everything["aspects"] == ["stop", "caution", "clear"]
    assert everything["sequence"] == [
        "rule 1 (caution before stop, and before the end of the line)",
        "rule 2 (clear before anything that lets trains run)",
    ]
    Case(bench, document, "reads", 2).run()  # green with the indicator
    assert left(bench)["aspects"] == ["stop", "caution"]
    assert left(bench)["indicators"] == []
    Case(bench, document, "follows", 3).run()  # a distant before stop
    assert left(bench) == {"aspects": ["stop"], "forms": [], "indicators": [], "sequence": [everything["sequence"][1]]}
    bench = Bench(folder, "ours")
    bench.silent(bench.examples[0])
    assert not any(left(bench).values())


def ran(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run pytest in a process of its own."""
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", *arguments]
    return subprocess.run(command, cwd=folder, env={**os.environ}, capture_output=True, text=True, check=False)


def test_pytest_runs_a_rulebook_by_its_folder_alone(folder: Path) -> None:
    """No Python is needed; a slip is shown as the program shows findings, and coverage at the end."""
    text = (folder / CASES).read_text(encoding="utf-8")
    (folder / CASES).write_text(text.replace("lit: yellow, aspect: caution", "lit: yellow, aspect: clear"), "utf-8")
    done = ran(folder.parent, "-v", "-rN", "ours")
    assert done.returncode == 1
    assert "ours/cases.yaml::soundness PASSED" in done.stdout
    assert "ours/cases.yaml::example little-welding PASSED" in done.stdout
    assert "ours/cases.yaml::reads 2: stop-signal yellow reads clear FAILED" in done.stdout
    assert (
        "error[unfulfilled-case]: this reads as caution, and not as clear\n --> ours/cases.yaml:7:46\n" in done.stdout
    )
    assert "rulebook ours: what examples and cases touch" in done.stdout
    assert "aspects: 3 of 3 touched\n" in done.stdout
    assert "Traceback" not in done.stdout


def test_the_plugin_is_inert_elsewhere(tmp_path: Path) -> None:
    """Neither tests nor output of others are touched, and nothing of Lampwright is imported but the plugin itself."""
    (tmp_path / CASES).write_text("anything: [", encoding="utf-8")
    (tmp_path / "test_other.py").write_text(
        "import sys\n"
        "def test_imports():\n"
        "    loaded = {name for name in sys.modules if name.partition('.')[0].startswith('lampwright')}\n"
        "    assert loaded == {'lampwright', 'lampwright.testing'}\n",
        encoding="utf-8",
    )
    done = ran(tmp_path, "-q")
    assert (done.returncode, done.stdout.splitlines()[0].split()[0]) == (0, "."), done.stdout
    assert "rulebook" not in done.stdout


def test_the_import_path_stays_as_it_is(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Loading plugins takes the working folder off it, which other tests may need."""
    monkeypatch.chdir(folder)
    before: list[Any] = [str(folder), *sys.path]
    monkeypatch.setattr(sys, "path", before[:])
    Bench(folder, "ours")
    assert sys.path == before
