"""Germany, H/V light signals where DV 301 holds: what it allows beside the rest, by Ril 301.0201 (verified)."""

from __future__ import annotations

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from seen_lamps import form, lit, must
from support import bundled, findings_of, library

BOOK = bundled("de-hv-dv301")
ELSEWHERE = bundled("de-hv")
MIRRORED = {"lower-green": "lit", "upper-yellow": "lit"}


@pytest.mark.parametrize("name", ["vr", "vr-oblique"])
def test_vr2_in_a_mirror_is_read_here_and_only_here(name: str) -> None:
    """Ril 301.0201 s4."""
    assert form(BOOK, name).read(MIRRORED).aspect == "vr2"
    assert form(ELSEWHERE, name).read(MIRRORED).kind is Kind.NONE
    assert form(BOOK, name).displays("vr2") == form(ELSEWHERE, name).displays("vr2")
    assert BOOK.why("forms", name, "also-read", 0).basis is Basis.VERIFIED


def test_one_yellow_is_vr0_and_one_green_vr1_on_a_distant_with_one_light() -> None:
    """Ril 301.0201 s2 and s3: free-standing ones; of two lights one alone is no aspect."""
    assert (lit(BOOK, "vr-one-light", "vr0"), lit(BOOK, "vr-one-light", "vr1")) == (["yellow"], ["green"])
    assert form(BOOK, "vr").read({"lower-yellow": "lit"}).kind is Kind.NONE
    assert (must(BOOK, "vr-one-light", "hp0"), must(BOOK, "vr-one-light", "hp1")) == ("vr0", "vr1")


def test_all_else_is_as_in_the_rest_of_germany() -> None:
    """What it does not name it takes over."""
    assert BOOK.aspects == ELSEWHERE.aspects
    assert BOOK.sequence == ELSEWHERE.sequence
    assert {name for name in BOOK.forms if BOOK.forms[name] != ELSEWHERE.forms.get(name)} == {
        "vr",
        "vr-oblique",
        "vr-one-light",
    }


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
