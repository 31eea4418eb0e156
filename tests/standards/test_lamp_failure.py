"""Lamp failure judged for plans, system by system: every outcome recorded for the fixtures, by the command line.

The outcomes are derived from displays and orders whose sources the fixtures' rulebooks name. What an interlock does on
the prototype has its own source beside the test.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from command_line import call
from fixture_books import FOLDER

if TYPE_CHECKING:
    from pathlib import Path

Outcomes = dict[tuple[str, str], tuple[str, str]]
"""What is read and what that is, by what should be read and what has failed."""


def outcomes(folder: Path, book: str, signal: dict[str, Any], **sections: Any) -> Outcomes:
    """Return everything told of one signal of a plan that follows a fixture's rulebook."""
    plan = folder / "plan.yaml"
    plan.write_text(json.dumps({"plan": 1, **sections, "signals": {"TB1": signal}}))
    done = call("prove", plan, "--failing", "--format", "json", "--rulebook", FOLDER / f"{book}.yaml")
    assert done.code == 0, done.err
    (told,) = json.loads(done.out)["signals"]
    return {(case["at"], name): (case["read"], case["outcome"]) for case in told["cases"] for name in case["faults"]}


PASSED = [
    # Norway: 22 less its lower green is 21, which allows less (secondary: a Scandinavian railway society)
    ("norway", {"form": "main"}, "proceed-22", "lower-green dark", "proceed-21"),
    # Denmark: two greens less one is one green, the tighter of the two (derived)
    ("dk", {"form": "entry-4"}, "go-through", "lower-green dark", "go"),
    # Japan: Y + G less its green leaves a yellow where no aspect has one, by exact place (derived)
    ("jp", {"form": "head-4b"}, "reduced-speed", "green dark", "no aspect, in doubt stop"),
    # France: (RR) less a yellow leaves one that flashes, which is no aspect here (derived; steady R and RR, which
    # would leave A, and the old green with yellow are not in the fixture)
    ("fr", {"form": "h"}, "rr-flash", "upper-side-yellow dark", "no aspect, in doubt carre"),
]
"""Outcomes that pass by design."""

UNCOVERED = [
    # Belgium: VJH or VJV less its yellow is V, unless lamps are proved (derived)
    ("be", {"form": "seven"}, "vjh", "arm-yellow dark", "v"),
    ("be", {"form": "seven"}, "vjv", "yellow dark", "v"),
    # Italy: Y / G less its yellow is a green alone (derived)
    ("it", {"form": "two-discs"}, "next-30", "upper dark", "clear"),
    # Japan: Y + Y less one is Y, 25 becomes 45; Y + G less its yellow is G (derived)
    ("jp", {"form": "head-4a"}, "restricted-caution", "upper-yellow dark", "caution"),
    ("jp", {"form": "head-4b"}, "reduced-speed", "reduced-yellow dark", "proceed"),
    # Sweden: one of two flashing greens that burns steady (derived)
    ("se", {"form": "dwarf"}, "proceed-with-caution", "right-green steady", "proceed"),
]
"""Outcomes that nothing covers."""


@pytest.mark.parametrize(("book", "signal", "at", "fault", "read"), UNCOVERED)
def test_what_would_be_freer_needs_proving(  # noqa: PLR0913, PLR0917
    tmp_path: Path, book: str, signal: dict[str, Any], at: str, fault: str, read: str
) -> None:
    """It is told as freer, and which interlock would cover it."""
    assert outcomes(tmp_path, book, signal)[at, fault] == (read, "freer")


def test_a_swedish_rule_covers_two_greens(tmp_path: Path) -> None:
    """SE: two greens less the lower one drop to red (secondary: two enthusiast pages)."""
    assert outcomes(tmp_path, "se", {"form": "main-5"})["proceed-40", "green-3 dark"] == ("proceed", "covered")


def test_a_french_carre_less_a_red_is_saved_by_plate_and_eye(tmp_path: Path) -> None:
    """FR: the plate Nf and the dark eye tell it from a semaphore (secondary: OSM wiki pages)."""
    found = outcomes(tmp_path, "fr", {"form": "h", "plates": ["nf"]})
    for red in ("carre-red", "semaphore-red"):
        assert found["carre", f"{red} dark"] == ("carre", "not freer")


def test_a_dutch_number_lost_is_read_as_less(tmp_path: Path) -> None:
    """NL: 202 less its number is 206, and 210 less its number 212 (derived: both ask for less speed)."""
    found = outcomes(tmp_path, "nl-1955", {"form": "high-main"})
    assert found["s202", "number dark"] == ("s206", "not freer")
    assert found["s210", "number dark"] == ("s212", "not freer")


def test_a_dark_head_of_victoria_is_no_aspect(tmp_path: Path) -> None:
    """VIC: no single lamp dark makes an aspect of two heads another (derived)."""
    found = outcomes(tmp_path, "au-vic", {"form": "home-3-over-3"})
    dark = {fault: read for (_, fault), (read, _) in found.items() if fault.endswith("dark")}
    assert len(dark) >= 5
    assert set(dark.values()) == {"no aspect, in doubt stop"}


def boxed(box: str, *contents: str) -> dict[str, Any]:
    """Return what a signal says of routes that light a box, one for each of its contents."""
    return {"routes": [{"to": "yard", "indicator": {box: content}} for content in contents]}


def test_an_italian_box_that_is_dark_says_30(tmp_path: Path) -> None:
    """IT: the rappel dark is a value, and the lowest (vector map of signals; derived)."""
    found = outcomes(
        tmp_path, "it", {"form": "two-discs", **boxed("rappel", "one-bar")}, ends={"yard": {"kind": "unsignalled"}}
    )
    assert found["open-at-reduced", "rappel one-bar dark"] == ("speed now 30 km/h, not 60 km/h", "not freer")


def test_a_belgian_upper_figure_lost_is_read_by_the_plate(tmp_path: Path) -> None:
    """BE: the plate has the lowest speed the next signal can impose, and without one it is 40 (secondary)."""
    signal = {"form": "seven", **boxed("upper-box", "6")}
    found = outcomes(tmp_path, "be", signal, ends={"yard": {"kind": "unsignalled"}})
    assert found["vjh", "upper-box 6 dark"] == ("speed next 40 km/h, not 60 km/h", "not freer")
    found = outcomes(tmp_path, "be", {**signal, "plates": {"triangle": "3"}}, ends={"yard": {"kind": "unsignalled"}})
    assert found["vjh", "upper-box 6 dark"] == ("speed next 30 km/h, not 60 km/h", "not freer")


def test_a_belgian_lower_figure_lost_is_read_as_no_limit(tmp_path: Path) -> None:
    """BE: the speed now is that of the lower box, else that of the line (derived: unsafe unless proved)."""
    found = outcomes(
        tmp_path, "be", {"form": "seven", **boxed("lower-box", "4")}, ends={"yard": {"kind": "unsignalled"}}
    )
    assert found["v", "lower-box 4 dark"] == ("speed now of the line, not 40 km/h", "freer")


@pytest.mark.parametrize(("book", "signal", "at", "fault", "read"), PASSED)
def test_what_passes_by_design_is_not_freer(  # noqa: PLR0913, PLR0917
    tmp_path: Path, book: str, signal: dict[str, Any], at: str, fault: str, read: str
) -> None:
    """It is read as another aspect, and as no freer one."""
    assert outcomes(tmp_path, book, signal)[at, fault] == (read, "not freer")
