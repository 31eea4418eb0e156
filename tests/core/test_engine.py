"""Running checks: their order, what is skipped and why, and what happens when one raises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import pytest

from lampwright.checks import Check, Scope
from lampwright.engine import Outcome, UnknownPrerequisite, in_order, run
from lampwright.findings import Path, Spot

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding


@dataclass(frozen=True)
class Subject:
    """A thing to look at."""

    path: Path


HF1, HF2, ROUTE = Subject(("signals", "HF1")), Subject(("signals", "HF2")), Subject(("signals", "HF1", "routes", 0))
SIGNALS = Scope("signal", "plan", lambda _: (HF1, HF2))
ROUTES = Scope("route", "plan", lambda _: (ROUTE,))


def check(
    name: str, *needs: str, finds: tuple[Subject, ...] = (), scope: Scope = SIGNALS, raises: Any = ()
) -> type[Check]:
    """Return a check that finds something on some subjects, and raises on others."""

    class Made(Check):
        def look(self, subject: Any) -> Iterator[Finding]:
            if subject in finds:
                yield self.finding(f"{name} on {subject.path[1]}", Spot("plan.yaml", subject.path))
            if subject in raises:
                raise KeyError("lens")

    Made.name, Made.needs, Made.scope = name, needs, scope
    return Made


def outcome(*checks: type[Check], of: str = "plan") -> Outcome:
    """Run checks over something."""
    return run(in_order(checks), object(), of, "plan.yaml")


def told(result: Outcome) -> tuple[list[str], list[tuple[str, str, str]]]:
    """Return the messages found, and what was skipped where for what reason."""
    skips = [(skip.check, ".".join(map(str, skip.path[1:])), skip.reason) for skip in result.skips]
    return [finding.message for finding in result.findings], skips


def test_a_check_comes_after_those_it_needs() -> None:
    """Others stay in the order of their names."""
    checks = in_order([check("d"), check("a", "c"), check("c", "d"), check("b")])
    names = [made.name for made in checks]
    assert sorted(names) == ["a", "b", "c", "d"]
    assert names.index("d") < names.index("c") < names.index("a")


def test_what_needs_a_failed_check_is_skipped_there_and_only_there() -> None:
    """The other signal is looked at all the same."""
    found = outcome(check("first", finds=(HF1,)), check("second", "first", finds=(HF1, HF2)))
    assert told(found) == (["first on HF1", "second on HF2"], [("second", "HF1", "first")])
    assert found.ran == 2


def test_the_reason_is_the_check_that_found_something_however_far_back() -> None:
    """The reader wants to know what to mend."""
    found = outcome(check("a", finds=(HF1,)), check("b", "a"), check("c", "b"))
    assert told(found)[1] == [("b", "HF1", "a"), ("c", "HF1", "a")]


def test_what_belongs_to_a_failed_subject_is_skipped_too() -> None:
    """A route of a signal whose form is unknown."""
    found = outcome(check("form", finds=(HF1,)), check("route", "form", scope=ROUTES, finds=(ROUTE,)))
    assert told(found) == (["form on HF1"], [("route", "HF1.routes.0", "form")])


def test_checks_of_another_kind_do_not_run() -> None:
    """Rulebooks have their own."""
    assert outcome(check("a", finds=(HF1,)), of="rulebook") == Outcome()


def test_a_check_that_misses_something_is_skipped_as_a_whole() -> None:
    """Its reason is what was not given."""

    class Dated(check("dated", finds=(HF1,))):  # type: ignore[misc]  # made just now
        def missing(self, whole: Any) -> str:
            del whole
            return "no year given"

    found = outcome(Dated)
    assert (told(found), found.ran) == (([], [("dated", "", "no year given")]), 0)


def test_a_check_that_raises_stops_there_and_everything_else_goes_on() -> None:
    """What it had found stays, its other subjects are looked at, and what needs it is skipped where it raised."""
    bad = check("bad", finds=(HF1, HF2), raises=(HF1,))
    found = outcome(bad, check("after", "bad", finds=(HF1, HF2)), check("other", finds=(HF1,)))
    messages, skips = told(found)
    assert sorted(messages) == ["bad on HF1", "bad on HF2", "other on HF1"]
    assert skips == [("after", "HF1", "bad"), ("after", "HF2", "bad")]
    (raised,) = found.raised
    assert (raised.check, raised.path, repr(raised.error)) == ("bad", HF1.path, "KeyError('lens')")


def _fails(_: object) -> tuple[Subject, ...]:
    raise SystemExit(0)


def test_a_check_that_cannot_even_begin_blocks_what_needs_it() -> None:
    """Leaving the program counts as raising."""
    bad = check("bad", scope=Scope("signal", "plan", _fails))
    found = outcome(bad, check("after", "bad", finds=(HF1, HF2)))
    assert told(found) == ([], [("after", "HF1", "bad"), ("after", "HF2", "bad")])
    assert [raised.path for raised in found.raised] == [()]


def test_what_is_no_finding_counts_as_raising() -> None:
    """A report could not print it."""

    class Wrong(check("wrong")):  # type: ignore[misc]  # made just now
        scope: ClassVar[Scope] = ROUTES

        def look(self, subject: Any) -> Any:
            del subject
            yield "a text"

    (raised,) = outcome(Wrong).raised
    assert str(raised.error) == "look() yielded str, not a finding"


def test_a_need_that_no_plugin_brings_names_all_that_cannot_run() -> None:
    """Those that need it, and those that need these."""
    with pytest.raises(UnknownPrerequisite) as caught:
        in_order([check("unknown-form"), check("b", "unknwon-form"), check("c", "b"), check("d")])
    assert caught.value.message == "the checks b and c need unknwon-form, which no plugin brings"
    assert caught.value.tip == "did you mean unknown-form?"
    assert caught.value.checks == {"b", "c"}


def test_a_circle_is_named_with_all_that_hangs_on_it() -> None:
    """None of them can be the first."""
    with pytest.raises(UnknownPrerequisite, match=r"in a circle.*(a -> b -> a|b -> a -> b)") as caught:
        in_order([check("a", "b"), check("b", "a"), check("c", "b"), check("d")])
    assert caught.value.checks == {"a", "b", "c"}
