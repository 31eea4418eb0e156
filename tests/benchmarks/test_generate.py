"""The plans that benchmarks run over are plans."""

from __future__ import annotations

import json

import pytest

from benchmarks.generate import SIGNALS, plan
from support import result_of


@pytest.mark.parametrize("wired", [False, True])
@pytest.mark.parametrize("stations", [1, 3])
def test_a_generated_plan_is_silent_and_has_its_size(stations: int, *, wired: bool) -> None:
    """Every check over it finds nothing; each station brings as many signals as it should."""
    made = plan(stations * SIGNALS, wired=wired)
    assert len(made["signals"]) == stations * SIGNALS
    result = result_of(json.dumps(made))
    assert [finding.message for finding in result.findings] == []
