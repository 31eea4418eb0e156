"""One slip in a plan makes one finding, at the line where it was made.

The plan is the large example, in which every check is silent. Each case replaces one text in it, once, and says the
rule that must fire. All places and signals are invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from support import PLAN, result_of

EXAMPLE = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples/merrowdale-junction.yaml"
TEXT = EXAMPLE.read_text(encoding="utf-8")


@dataclass(frozen=True)
class Slip:
    """An edit: in the block of ``signal`` (or the whole plan) ``old`` becomes ``new``, and ``rule`` must fire."""

    rule: str
    signal: str
    old: str
    new: str

    def lines(self) -> range:
        """Return the edited line; for a line that was taken out, the block it stood in."""
        number = TEXT[: self.place()].count("\n") + 1
        if self.new:
            return range(number, number + 1)
        above = next(line for line in range(number - 1, 0, -1) if indent(line) < indent(number))
        below = next(line for line in range(number + 1, number + 99) if indent(line) < indent(number))
        return range(above, below)

    def place(self) -> int:
        """Return where the old text begins."""
        start = TEXT.index(f"\n  {self.signal}:") if self.signal else 0
        return TEXT.index(self.old, start)

    def made(self) -> str:
        """Return the plan with the slip in it."""
        place = self.place()
        return TEXT[:place] + self.new + TEXT[place + len(self.old) :]


def indent(number: int) -> int:
    """Return how far a line of the plan is indented; a dash is part of what it begins."""
    line = TEXT.splitlines()[number - 1]
    return len(line) - len(line.lstrip(" "))


SLIPS = [
    Slip("unknown-rulebook", "", "gb-colour-light", "gb-color-light"),
    Slip("unknown-year", "", "year: 1978", "year: the-seventies"),
    Slip("unknown-form", "MJ5", "form: four-aspect", "form: four-aspects"),
    Slip("unknown-form", "MJ31", "form: three-aspect", "form: two-aspect"),
    Slip("wrong-lamp-order", "MJ5", "[yellow, green, yellow, red]", "[yellow, green, red, yellow]"),
    Slip("wrong-lamp-order", "MJ31", "[green, yellow, red]", "[yellow, green, red]"),
    Slip("missing-lamp", "MJ5", "[yellow, green, yellow, red]", "[green, yellow, red]"),
    Slip("missing-lamp", "MJ40", "[green, yellow, red]", "[green, red]"),
    Slip("surplus-lamp", "MJ31", "[green, yellow, red]", "[green, yellow, red, white]"),
    Slip("wrong-lamp-colour", "MJ5", "[yellow, green, yellow, red]", "[yellow, white, yellow, red]"),
    Slip("wrong-lamp-colour", "MJ31", "[green, yellow, red]", "[green, green, red]"),
    Slip("unknown-lamp", "MJ7", "danger: main.red", "danger: main.rde"),
    Slip("missing-lamp", "MJ7", "      main.lower-yellow: B.2\n", ""),
    Slip("impossible-combination", "MJ7", "clear: main.green", "clear: [main.green, main.red]"),
    Slip("same-display-twice", "MJ7", "clear: main.green", "clear: [main.upper-yellow, main.lower-yellow]"),
    Slip("same-display-twice", "MJ7", "danger: main.red", "danger: [main.red, subsidiary.upper, subsidiary.lower]"),
    Slip(
        "display-of-another-aspect",
        "MJ7",
        "clear: main.green",
        "clear: {main.upper-yellow: flash, main.lower-yellow: flash}",
    ),
    Slip("missing-aspect", "MJ7", "      clear: main.green\n", ""),
    Slip("missing-aspect", "MJ7", "      danger: main.red\n", ""),
    Slip("unknown-aspect", "MJ7", "preliminary-caution:", "preliminary-warning:"),
    Slip("nothing-lit", "MJ7", "clear: main.green", "clear: dark"),
    Slip("flashing-steady-aspect", "MJ7", "danger: main.red", "danger: {main.red: flash}"),
    Slip("contradicting-parts", "MJ7", "{main.red: lit, sub", "{main.green: lit, sub"),
    Slip("indicator-on-wrong-side", "MJ7", "turns: left", "turns: right"),
    Slip("indicator-on-wrong-side", "MJ4", "        turns: right", "        turns: left"),
    Slip("missing-route-indicator", "MJ7", "        indicator: position-1\n", ""),
    Slip("unknown-indicator", "MJ4", "indicator: position-4", "indicator: position-7"),
    Slip("indicator-not-carried", "MJ4", "indicator: position-4", "indicator: position-5"),
    Slip("unshowable-character", "MJ44", 'alphanumeric: "2"', 'alphanumeric: "²"'),
    Slip("dead-reference", "MJ5", "to: MJ7", "to: MJ77"),
    Slip("dead-reference", "MJ6R", "repeats: MJ6", "repeats: MJ66"),
    Slip("dead-reference", "MJ3", "like: MJ1", "like: MJ111"),
    Slip("dead-reference", "MJ9", "over: [DG]", "over: [GD]"),
    Slip("malformed", "MJ5", "lamps:", "lamsp:"),
    Slip("malformed", "MJ5", "stage: built", "stage: biult"),
    Slip("unknown-plate", "MJ1", "plates: [automatic]", "plates: [automattic]"),
]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: f"{slip.rule}-{slip.signal}-{slip.new[:20].strip()}")
def test_one_slip_makes_one_finding_where_it_was_made(slip: Slip) -> None:
    """The rule that was meant fires, at most one other with it, and the edited line is in the frame."""
    result = result_of(slip.made())
    assert slip.rule in {finding.rule for finding in result.findings}
    assert len(result.findings) <= 2
    found = next(finding for finding in result.findings if finding.rule == slip.rule)
    spots = [spot for spot in (found.spot, *found.related) if spot.file == PLAN]
    lines = {result.documents[PLAN].place(spot.path, on_key=spot.on_key).line for spot in spots}
    assert lines.intersection(slip.lines())


FOUR_ASPECT = "the form four-aspect was not in use in {}: it came in 1926"  # secondary: a history of colour lights
BANNER = "the form banner-repeater was not in use in {}: it came in 1929"  # derived from when banner arms were agreed
POSITION_LIGHT = "the form position-light was not in use in {}: it came in 1934"  # memory, so a note
JUNCTION = "the indicator junction was not in use in {}: it came in 1934"  # memory, so a note


@pytest.mark.parametrize(
    ("year", "ruled_out"),
    [
        ("1925", [FOUR_ASPECT, BANNER, POSITION_LIGHT, JUNCTION]),
        ("1927", [BANNER, POSITION_LIGHT, JUNCTION]),
        ("1930", [POSITION_LIGHT, JUNCTION]),
        ("1950", []),
    ],
)
def test_another_year_gives_one_finding_at_its_line_for_each_thing_it_rules_out(
    year: str, ruled_out: list[str]
) -> None:
    """A form or an indicator is told once, however many signals have it."""
    result = result_of(TEXT.replace("year: 1978", f"year: {year}"))
    assert {finding.message for finding in result.findings} == {text.format(year) for text in ruled_out}
    assert len(result.findings) == len(ruled_out)
    assert all(finding.spot.path == ("year",) for finding in result.findings)


def test_the_plan_without_a_slip_is_silent() -> None:
    """It is an example, and examples are silent."""
    assert result_of(TEXT).findings == []
