"""What the examples of manuals get, word for word: the plans and rulebooks are those of `lampwright explain`.

`manuals_in_full.txt` holds a block for each rule, told by its first word: place, message, reason, tip, all that stands
beside it, and the sources it rests on. A long line goes on in the next, four spaces further in.
"""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap

import pytest

from full_findings import of_manual
from support import all_checks

BLOCKS = Path(__file__).with_name("manuals_in_full.txt").read_text(encoding="utf-8").strip().split("\n\n")
TOLD = {block.split()[0]: block for block in BLOCKS}
"""By rule what its example gets."""


def test_every_rule_is_told() -> None:
    """A new one is written down, an old one taken out."""
    assert TOLD.keys() == {check.name for check in all_checks()}


@pytest.mark.parametrize("rule", TOLD)
def test_the_example_of_a_manual_is_told_so(rule: str) -> None:
    """Nothing of it is left out."""
    told = (wrap(line, 118, subsequent_indent="    ", break_on_hyphens=False) for line in of_manual(rule))
    assert "\n".join(part for line in told for part in line) == TOLD[rule]
