"""Whatever stands in a plan, no output of any command does anything to a terminal, a page, a spreadsheet, a picture."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import click
import pytest

from command_line import call
from lampwright.commands.group import lampwright

if TYPE_CHECKING:
    from command_line import Done

ODD = "<b>\x1b\x07\u202e\x9b&"
"""What may stand in a name: markup, controls of terminals in seven and eight bits, a mark that turns the direction."""
FREE = "=cmd|x <script>alert(1)</script> ]]> --> <!-- ' \x1b[31m \x1b]0;title\x07 \x9b31m \u202e \x00 x"
"""What may stand in free text besides."""
FORMULA = ("=", "+", "-", "@", "\t", "\r")
PLAN = r"""
plan: 1
name: "{free}"
rulebook: gb-colour-light
year: 1978
scale: OO
compression: "1:4"
boards: {{"=A{odd}": {{kind: pwm-16, address: 0x40, controller: "@hut{odd}"}}}}
controllers: {{"@hut{odd}": {{supply: "-usb{odd}"}}}}
supplies: {{"-usb{odd}": {{voltage: 5 V, limit: 500 mA}}}}
lines: {{"+main{odd}": {{speed: 60 mph}}}}
sections: {{"=AA{odd}": {{line: "+main{odd}", length: 1.2 m}}, "=AB{odd}": {{line: "+main{odd}", length: 1.2 m}}}}
ends: {{"-out{odd}": {{kind: off-stage, assume: clear}}, "@bay{odd}": {{kind: buffer-stop}}}}
signals:
  "=S1{odd}":
    form: three-aspect
    lamps: [{{green: "=A{odd}.0"}}, {{yellow: "=A{odd}.1"}}, {{red: "=A{odd}.2"}}]
    routes: [{{to: "@S2{odd}", over: ["=AA{odd}"], points: {{"+101{odd}": normal}}, turns: straight}}]
  "@S2{odd}":
    form: three-aspect
    lamps: [{{green: "=A{odd}.3"}}, {{yellow: "=A{odd}.4"}}, {{red: "=A{odd}.5"}}]
    routes: [{{to: "-out{odd}", over: ["=AB{odd}"]}}, {{to: "@bay{odd}"}}]
""".lstrip()
SLIP = PLAN.replace("form: three-aspect", 'form: "{free}"', 1)
TABLES = ("loads", "states", "outputs", "schedule", "boards", "labels", "parts")
CALLS = (
    *(
        f"check plan.yaml --format {form}"
        for form in ("text", "json", "json-lines", "sarif", "junit", "gitlab", "github")
    ),
    "check slip.yaml",
    "check slip.yaml --format markdown",
    "check slip.yaml --fix --diff",
    "check slip.yaml --timings",
    "check slip.yaml --baseline known.yaml --write-baseline",
    *(f"date plan.yaml --format {form}" for form in ("text", "json")),
    *(f"sequence plan.yaml --format {form}" for form in ("text", "json")),
    *(f"table plan.yaml --format {form}" for form in ("text", "csv", "json")),
    *(f"distances plan.yaml --format {form}" for form in ("text", "json")),
    *(f"wire plan.yaml --format {form}" for form in ("text", "json")),
    *(f"wire plan.yaml --table {table} --format csv" for table in TABLES),
    "wire plan.yaml --allocate --anew",
    *(f"export plan.yaml --as {form}" for form in ("json", "csv", "c-header", "accessory-packets")),
    "draw plan.yaml",
    "draw plan.yaml --text",
    "draw plan.yaml --kind aspects -o pictures",
    "draw plan.yaml --kind sequence -o pictures",
    *(f"prove plan.yaml --format {form}" for form in ("text", "json", "html")),
    *(f"prove plan.yaml --seen seen.yaml --format {form}" for form in ("text", "json")),
    "prove plan.yaml --log good",
    *(f"changes slip.yaml plan.yaml --format {form}" for form in ("text", "json")),
    *(f"changes other.yaml plan.yaml --format {form}" for form in ("text", "json")),
    "rename nothing else plan.yaml",
    "report plan.yaml -o plan.html",
    "config odd.yaml --rulebook \x1b[31m",
    "explain \x1b[31m",
    "rulebooks \x1b[31m",
    "schema \x1b[31m",
    "new rulebook \x1b[31m",
    "completion \x1b[31m",
)
UNHOSTILE = {"plugins", "watch", "serve-editor", "new", "completion", "schema"}
"""Commands that print nothing of a plan, or what ``check`` prints."""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lay the plans."""
    monkeypatch.chdir(tmp_path)
    words = {"odd": _written(ODD), "free": _written(FREE)}
    for name, text in {"plan.yaml": PLAN, "slip.yaml": SLIP}.items():
        Path(name).write_text(text.format(**words), encoding="utf-8")
    Path("other.yaml").write_text(PLAN.format(**words).replace('.0"}', '.9"}'), encoding="utf-8")
    Path("seen.yaml").write_text(f'seen: 1\nsignals: {{"=S1{words["odd"]}": {{danger: [green]}}}}\n', encoding="utf-8")


def _written(text: str) -> str:
    """Return a text as it stands in double quotes in YAML."""
    return json.dumps(text)[1:-1]


def run(line: str) -> Done:
    """Run a call."""
    return call(*line.split(" "))


@pytest.mark.parametrize("colour", [False, True], ids=["plain", "coloured"])
@pytest.mark.parametrize("line", CALLS)
def test_nothing_acts_on_the_terminal(line: str, monkeypatch: pytest.MonkeyPatch, *, colour: bool) -> None:
    """All that is sent are letters, ends of lines, and our colours where they are wanted."""
    if colour:
        monkeypatch.setenv("FORCE_COLOR", "1")
    done = run(line)
    assert "Traceback" not in done.err
    said = done.out + done.err
    assert "\x1b[31m " not in said  # ours stand directly before what they colour
    said = re.sub(r"\x1b\[[0-9;]{1,4}m", "", said) if colour else said
    assert {char for char in said if not char.isprintable()} <= {"\n"}


@pytest.mark.parametrize("line", [line for line in CALLS if "csv" in line or "accessory" in line])
def test_no_cell_is_a_formula(line: str) -> None:
    """As spreadsheets take those that begin with one of a few signs; numbers may be negative."""
    rows = list(csv.reader(io.StringIO(run(line).out)))
    assert len(rows) >= 1
    assert len({len(row) for row in rows}) == 1
    for cell in (cell for row in rows for cell in row):
        assert not cell.startswith(FORMULA) or re.fullmatch(r"-[0-9.]+", cell), cell


@pytest.mark.parametrize("line", [line for line in CALLS if "json" in line and not re.search("lines|slip", line)])
def test_json_stays_json(line: str) -> None:
    """Names come back as they are in the plan."""
    said = json.loads(run(line).out)
    assert said is not None


@pytest.mark.parametrize("line", ["draw plan.yaml", "check slip.yaml --format junit"])
def test_xml_is_well_formed(line: str) -> None:
    """And has no element of a plan's making."""
    names = {element.tag.rpartition("}")[2] for element in ET.fromstring(run(line).out).iter()}  # noqa: S314  (our own)
    assert not names & {"script", "b"}


def test_pictures_in_a_folder_are_well_formed_and_harmlessly_named() -> None:
    """Every kind of picture."""
    run("draw plan.yaml --kind aspects -o pictures")
    made = sorted(Path("pictures").iterdir())
    assert len(made) == 2
    for path in made:
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*\.svg", path.name)
        text = path.read_text(encoding="utf-8")
        assert {char for char in text if not char.isprintable()} <= {"\n"}
        assert "script" not in {element.tag.rpartition("}")[2] for element in ET.fromstring(text).iter()}  # noqa: S314


class Tags(HTMLParser):
    """Collects what acts in a page: scripts by their text, and attributes that run something or fetch it."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts: list[str] = []
        self.acting: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take a tag."""
        if tag == "script":
            self.scripts.append("")
        for name, value in attrs:
            if name.startswith("on") or (name in ("href", "src") and not str(value).startswith("#")):
                self.acting.append((name, str(value)))

    def handle_data(self, data: str) -> None:
        """Take text."""
        if self.scripts and self.lasttag == "script":
            self.scripts[-1] += data


@pytest.mark.parametrize("line", ["prove plan.yaml --format html", "report plan.yaml -o page.html"])
def test_pages_run_nothing_of_a_plan(line: str) -> None:
    """Neither as an element nor as an attribute nor in a script of ours."""
    done = run(line)
    page = Path("page.html").read_text(encoding="utf-8") if "page.html" in line else done.out
    tags = Tags()
    tags.feed(page)
    assert not tags.acting
    assert not [script for script in tags.scripts if "<script" in script.lower() or "</" in script]
    assert "<script>alert" not in page
    assert "<b>" not in page
    assert {char for char in page if not char.isprintable()} <= {"\n"}


def test_every_command_that_prints_of_a_plan_is_here() -> None:
    """A new one is tried as well."""
    names = set(lampwright.list_commands(click.Context(lampwright)))
    assert names - {line.split()[0] for line in CALLS} <= UNHOSTILE
