"""Comments that allow findings: which they take away, and what is said of those that do nothing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support import findings_of, result_of

PLAN = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1:
    form: three-aspect
    lamps: [red, red, red]
  HF3:
    form: four-aspekt
  HF5:
    form: three-aspect
    shows:
      clear: [green, red]
"""
LINES = PLAN.splitlines()


def with_line(number: int, text: str) -> str:
    """Return the plan with a line in place of another."""
    return "\n".join([*LINES[: number - 1], text, *LINES[number:]]) + "\n"


def behind(number: int, comment: str) -> str:
    """Return the plan with a comment behind a line."""
    return with_line(number, f"{LINES[number - 1]}  # {comment}")


def found(text: str) -> list[tuple[str, int]]:
    """Return rules with the lines they point to."""
    result = result_of(text)
    named = result.documents["plan.yaml"]
    return sorted(
        (one.rule, one.spot.span[0] if one.spot.span else named.place(one.spot.path, on_key=one.spot.on_key).line)
        for one in result.findings
    )


ALL = found(PLAN)


def test_the_plan_has_three_slips() -> None:
    """One in each signal, so that the tests below can fail."""
    assert [line for _, line in sorted(ALL, key=lambda one: one[1])] == [7, 9, 13]


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(ALL), st.sampled_from(["line", "above", "signal"]))
def test_a_comment_takes_away_exactly_its_finding(one: tuple[str, int], where: str) -> None:
    """Behind the line, above it, or behind the signal it stands in."""
    rule, line = one
    comment = f"lampwright: allow[{rule}] it is being rebuilt"
    if where == "above":
        indent = LINES[line - 1][: len(LINES[line - 1]) - len(LINES[line - 1].lstrip())]
        text = with_line(line, f"{indent}# {comment}\n{LINES[line - 1]}")
        moved = [(name, at + (at >= line)) for name, at in ALL if (name, at) != one]
    else:
        head = max(at for at in range(1, line) if LINES[at - 1].startswith("  HF"))
        text = behind(head if where == "signal" else line, comment)
        moved = [other for other in ALL if other != one]
    assert found(text) == moved
    assert result_of(text).allowed == 1


def test_above_the_first_key_it_speaks_of_the_whole_file() -> None:
    """All findings of that rule, and of no other."""
    rule = ALL[0][0]
    text = f"# Notes\n# lampwright: allow[{rule}] old drawings\n{PLAN}"
    assert found(text) == [(name, line + 2) for name, line in ALL if name != rule]


def test_several_rules_share_a_comment() -> None:
    """With commas."""
    rules = ", ".join(sorted({rule for rule, _ in ALL}))
    assert found(f"# lampwright: allow[{rules}] a demonstration\n{PLAN}") == []


@pytest.mark.parametrize(
    ("comment", "rule", "message"),
    [
        ("lampwright: allow[unknown-form]", "bad-allowance", "no reason is given for allowing unknown-form"),
        ("lampwright: alow[unknown-form] x", "bad-allowance", "not understood"),
        ("lampwright: allow[unknown-from] x", "bad-allowance", "there is no rule unknown-from to allow"),
        ("lampwright: allow[duplicate-key] x", "unused-allowance", "nothing here needs duplicate-key allowed"),
    ],
)
def test_a_comment_that_does_nothing_is_told(comment: str, rule: str, message: str) -> None:
    """Beside what is found anyway."""
    findings = findings_of(behind(4, comment))
    assert len(findings) == len(ALL) + 1
    (told,) = [one for one in findings if one.rule == rule]
    assert message in told.message


def test_a_rule_that_was_not_looked_for_is_not_called_unused() -> None:
    """HF3 has an unknown form, so nothing that follows from its form was looked for."""
    assert found(behind(8, "lampwright: allow[unused-lamp] as on the box")) == ALL


def test_what_looks_like_a_comment_in_a_text_is_none() -> None:
    """A note may speak of the program."""
    note = 'note: "x # lampwright: allow[unknown-form] y"\n'
    lines = "remark: |\n  # lampwright: allow[unknown-form] y\n"
    assert found(PLAN + note) == ALL
    assert found(PLAN + lines.replace("remark", "note")) == ALL


def test_behind_the_head_of_a_text_is_a_comment() -> None:
    """The text begins on the next line; what looks like one inside it is none."""
    plan = """\
plan: 1
rulebook: gb-colour-light
signals:
  HF1:
    form: three-aspect
    note: >-  # lampwright: allow[unknown-form] as it was
      old  # lampwright: allow[unknown-form] as it was
"""
    assert found(plan) == [("unused-allowance", 6)]


def test_nothing_is_allowed_on_request() -> None:
    """As `--no-suppress` has it."""
    from lampwright.layout import Settings
    from lampwright.project import Run
    from support import all_checks, library

    text = f"# lampwright: allow[{ALL[0][0]}] old drawings\n{PLAN}"
    run = Run(library(), all_checks(), Settings(), allow=False)
    assert len(run.over([("plan.yaml", text.encode())]).findings) == len(ALL)


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_line_ends_of_other_systems_change_nothing(end: str) -> None:
    """A comment behind a line, above one, and above all of the file."""
    rule = next(rule for rule, line in ALL if line == 9)
    comment = f"lampwright: allow[{rule}] as painted"
    whole = f"# {comment}\n{PLAN}"
    for text in (behind(9, comment), with_line(9, f"    # {comment}\n{LINES[8]}"), whole):
        assert rule not in {one for one, _ in found(text)}
        assert found(text.replace("\n", end)) == found(text)


def test_a_comment_on_every_signal_of_many_is_no_work_for_hours() -> None:
    """Each is looked up, not searched for: work grows with the file, not with its square."""
    from time import perf_counter

    from lampwright.documents import read
    from lampwright.sifting.comments import comments

    signals = "".join(f"  S{n}:\n    form: x  # lampwright: allow[unknown-form] old\n" for n in range(3000))
    document = read(f"plan: 1\nsignals:\n{signals}".encode(), "plan.yaml")
    began = perf_counter()
    said = list(comments(document))
    assert perf_counter() - began < 5  # a tenth of a second; it was two minutes
    assert [(one.first, one.last) for one in said] == [(line, line) for line in range(4, 6003, 2)]
