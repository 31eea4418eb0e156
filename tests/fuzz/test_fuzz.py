"""Spoilt files, a few of each kind: nothing that may stand in a file is an accident. ``fuzz.run`` tries more."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzz.run import by_chance
from fuzz.targets import TARGETS, accept, check, read

FEW = {"commands": 8, "check": 12, "rulebook": 12}


@pytest.mark.parametrize("name", TARGETS)
def test_slips_in_examples(name: str) -> None:
    """By the seed that is said, so that a failure comes again; numbers are small, and the time is no matter."""
    tried = by_chance(name, seconds=60, seed=20_26, most=FEW.get(name, 40))
    assert tried.inputs == FEW.get(name, 40)
    assert tried.failures == {}


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.one_of(
        st.binary(max_size=200), st.text(alphabet="ab:- \n[]{}#'\"|>&*!?,%~\t\r0.é\u2028", max_size=120).map(str.encode)
    )
)
def test_bytes_of_no_meaning(data: bytes) -> None:
    """With a head that makes them a plan, and without."""
    for whole in (data, b"plan: 1\nsignals:\n  A1: {form: three-aspect}\n" + data):
        read(whole)
        accept(whole)
        check(whole)
