"""What a driver reads when a lamp, box or plate is lost, system by system: the outcomes recorded for the fixtures.

The outcomes are derived from the displays and the order of restriction that the fixtures hold, whose sources they
name; what an interlock does on the prototype has its own source beside the test. A failing that would read freer and
that nothing answers is a finding of the rulebook; these tests state all of them, so that none comes or goes unseen.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fixture_books import FOLDER, form, freer, without
from support import findings_of

if TYPE_CHECKING:
    from lampwright.findings import Finding


def freer_when_failed(name: str) -> set[str]:
    """Return what a fixture's rulebook is told about failings, cut to aspect, failing and reading."""
    found: list[Finding] = findings_of((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
    assert all(one.rule != "unknown-name" for one in found)
    told = (one.message for one in found if one.rule == "freer-when-failed")
    return {message.partition(" at ")[2].removesuffix(", which is freer") for message in told}


FREER = {
    # Belgium: VJH or VJV less its yellow reads as V, unless lamps are proved (derived; proving in service: memory)
    "be": {"vjh with arm-yellow lost reads as v", "vjv with yellow lost reads as v"},
    # Denmark: two greens less one is one green, which is the tighter of the two (derived)
    "dk": set(),
    # France: (R)+A less its A leaves (R); a flashing green stuck steady is VL (derived). Carre less a red is saved by
    # plate and eye (secondary: OSM wiki pages)
    "fr": {"r-flash-a with foot-yellow lost reads as r-flash", "vl-flash with green steady reads as vl"},
    # Italy: Y / G less its yellow is a green alone, and so is R / G less its red (derived)
    "it": {"next-30 with upper lost reads as clear", "open-at-reduced with upper lost reads as clear"},
    # Japan: Y + Y less one is Y, 25 becomes 45; Y + G less its yellow is G (derived)
    "jp": {
        "restricted-caution with upper-yellow lost reads as caution",
        "reduced-speed with reduced-yellow lost reads as proceed",
    },
    # Netherlands: the number lost is never freer (derived); a flasher stuck steady is, for there flashing is tighter
    "nl-1955": {
        "s209 with number steady reads as s210",
        "s214 with yellow steady reads as s212",
        "s206 with green steady reads as s201",
    },
    # Norway: 22 less a green is 21 (secondary: a Scandinavian railway society), which allows less
    "norway": set(),
    # Sweden: two greens less the lower one drop to red (secondary: two enthusiast pages); three greens and the
    # flashing greens of the dwarf have no rule on record
    "se": {
        "short-route-40 with green-5 lost reads as proceed-40",
        "proceed-40-with-caution with left-green steady reads as proceed-40",
        "proceed-with-caution with right-green steady reads as proceed",
    },
    # Heads of New South Wales and Victoria: one that is dark is no aspect (derived)
    "au-nsw": set(),
    "au-vic": set(),
}


@pytest.mark.parametrize("name", FREER)
def test_what_would_read_freer_is_told_and_nothing_else(name: str) -> None:
    """Every single failing of every display of the fixture is tried."""
    assert freer_when_failed(name) == FREER[name]


def test_a_dutch_digit_lost_passes_by_design() -> None:
    """NL 202 less its number is 206, and 210 less its number 212: both ask for less speed (derived)."""
    high = form("nl-1955", "high-main")
    for aspect, left in (("s202", "s206"), ("s210", "s212")):
        assert high.read(without(high.displays(aspect)[0], "number")).aspect == left
        assert freer("nl-1955", aspect, left)
