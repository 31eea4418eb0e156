"""Germany, H/V light signals where DV 301 holds: what it allows beside the rest, by Ril 301.0201 (verified)."""

from __future__ import annotations

from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from seen_lamps import form, lit, must
from support import bundled, findings_of, library

BOOK = bundled("de-hv-dv301")
ELSEWHERE = bundled("de-hv")
MIRRORED = {"lower-green": "lit", "upper-yellow": "lit"}


def test_vr2_in_a_mirror_is_read_here_and_only_here() -> None:
    """Ril 301.0201 s4: green lower left, yellow upper right; two lights that do not rise are no distant's."""
    assert form(BOOK, "vr").read(MIRRORED).aspect == "vr2"
    assert form(ELSEWHERE, "vr").read(MIRRORED).kind is Kind.NONE
    assert form(BOOK, "vr").displays("vr2") == form(ELSEWHERE, "vr").displays("vr2")
    assert BOOK.why("forms", "vr", "also-read", 0).basis is Basis.VERIFIED
    assert form(BOOK, "vr-oblique").read(MIRRORED).kind is Kind.NONE


def test_a_distant_that_is_built_so_shows_it_so() -> None:
    """What another may be seen to show it is commanded to show, and both read as Vr 2."""
    assert form(BOOK, "vr-mirrored").displays("vr2") == (MIRRORED,)
    assert form(BOOK, "vr-mirrored").read({"lower-yellow": "lit", "upper-green": "lit"}).aspect == "vr2"
    assert BOOK.why("forms", "vr-mirrored", "shows", "vr2").basis is Basis.VERIFIED


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
        "vr-mirrored",
        "vr-one-light",
    }


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
