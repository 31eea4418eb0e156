"""Changes to a file: what is meant is what is read again, and every other character stays."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright.documents import read
from lampwright.edits import CannotEdit, Change, applied, changed, difference, edited, edits_of
from lampwright.edits.notation import entry, flow

PLAN = """\
# Two signals
plan: 1
signals:
  HF1:    # home
    form: three-aspect      # by the box
    lamps: [red, 'yellow',  green]   # from below
    routes:
      - {to: HF3, over: [AA]}
      - to: bay   # a siding
        over: [AB]
  HF3: {form: four-aspect}
boards:   # to come
note: >-
  two
  lines
"""
HF1 = ("signals", "HF1")


def made(*changes: Change, text: str = PLAN) -> str:
    """Return a text with changes made."""
    return edited(read(text.encode(), "plan.yaml"), changes)


def lines_changed(*changes: Change, text: str = PLAN) -> list[str]:
    """Return the lines that differ, as a diff has them."""
    shown = difference(text, made(*changes, text=text), "plan.yaml").splitlines()[2:]
    return [line for line in shown if line[0] in "+-"]


@pytest.mark.parametrize(
    ("change", "lines"),
    [
        pytest.param(
            Change.replace((*HF1, "form"), "two-aspect"),
            ["-    form: three-aspect      # by the box", "+    form: two-aspect      # by the box"],
            id="a word, its comment stays",
        ),
        pytest.param(
            Change.replace((*HF1, "lamps", 0), {"red": "A.0"}),
            [
                "-    lamps: [red, 'yellow',  green]   # from below",
                "+    lamps: [{red: A.0}, 'yellow',  green]   # from below",
            ],
            id="an item by a map",
        ),
        pytest.param(
            Change.replace((*HF1, "lamps", 1), "it's"),
            [
                "-    lamps: [red, 'yellow',  green]   # from below",
                "+    lamps: [red, 'it''s',  green]   # from below",
            ],
            id="quotes stay",
        ),
        pytest.param(Change.rename(HF1, "HF7"), ["-  HF1:    # home", "+  HF7:    # home"], id="a key"),
        pytest.param(
            Change.add((), "boards-2", {"A": {"kind": "pwm-16"}}),
            ["+boards-2:", "+  A: {kind: pwm-16}"],
            id="a map at the end of the file",
        ),
        pytest.param(
            Change.add(("boards",), "A", {"kind": "pwm-16", "address": "0x40"}),
            ["-boards:   # to come", "+boards:", "+  A: {kind: pwm-16, address: 0x40}   # to come"],
            id="a key that was left empty",
        ),
        pytest.param(
            Change.add(("signals", "HF3"), "wiring", "common-anode"),
            ["-  HF3: {form: four-aspect}", "+  HF3: {form: four-aspect, wiring: common-anode}"],
            id="a key into brackets",
        ),
        pytest.param(
            Change.add((*HF1, "routes", 1), "speed", "25 mph"),
            ["+        speed: 25 mph"],
            id="a key into a map behind a dash",
        ),
        pytest.param(
            Change.append((*HF1, "routes"), {"to": "HF5", "over": ["AC"]}),
            ["+      - {to: HF5, over: [AC]}"],
            id="an item",
        ),
        pytest.param(
            Change.remove((*HF1, "form")), ["-    form: three-aspect      # by the box"], id="a line goes whole"
        ),
        pytest.param(
            Change.remove((*HF1, "routes", 1, "to")),
            ["-      - to: bay   # a siding", "-        over: [AB]", "+      - over: [AB]"],
            id="the first key behind a dash",
        ),
        pytest.param(
            Change.remove((*HF1, "lamps", 2)),
            ["-    lamps: [red, 'yellow',  green]   # from below", "+    lamps: [red, 'yellow']   # from below"],
            id="the last in brackets",
        ),
        pytest.param(
            Change.replace((*HF1, "routes"), []),
            [
                "-    routes:",
                "-      - {to: HF3, over: [AA]}",
                "-      - to: bay   # a siding",
                "-        over: [AB]",
                "+    routes: []",
            ],
            id="lines by brackets",
        ),
    ],
)
def test_a_change_touches_only_its_lines(change: Change, lines: list[str]) -> None:
    """As an editor would make it."""
    assert lines_changed(change) == lines


def test_several_changes_of_one_map_are_made_together() -> None:
    """Paths are those of the file as it was; what is added keeps its order."""
    path = ("signals", "HF3")
    text = made(
        Change.add(path, "stage", "built"),
        Change.add(path, "side", "left"),
        Change.rename(path, "HF4"),
        Change.replace((*path, "form"), "three-aspect"),
        Change.remove((*HF1, "routes", 0)),
        Change.remove((*HF1, "routes", 1)),
        Change.append((*HF1, "lamps"), "white"),
    )
    values = read(text.encode(), "plan.yaml").values
    assert list(values["signals"]) == ["HF1", "HF4"]
    assert values["signals"]["HF4"] == {"form": "three-aspect", "stage": "built", "side": "left"}
    assert values["signals"]["HF1"]["lamps"][-1] == "white"


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_stay_as_they_are(end: str) -> None:
    """A file of another system gets no mixed lines."""
    text = PLAN.replace("\n", end)
    assert made(Change.add(HF1, "stage", "built"), text=text).count("\n") == text.count("\n") + 1
    assert made(Change.add(HF1, "stage", "built"), text=text).count(end) == text.count(end) + 1


def test_a_file_without_a_last_line_end() -> None:
    """The new key gets a line of its own."""
    assert made(Change.add((), "year", 1978), text="plan: 1") == "plan: 1\nyear: 1978"


def test_what_does_not_fit_is_refused() -> None:
    """By name, and nothing is changed."""
    with pytest.raises(CannotEdit, match=r"plan.yaml has nothing at signals.HF9"):
        made(Change.remove(("signals", "HF9")))
    with pytest.raises(CannotEdit, match="in each other's way"):
        made(Change.replace(HF1, {}), Change.replace((*HF1, "form"), "x"))
    kept = "plan: 1\nnote: |+\n  text\n\n\n"
    with pytest.raises(CannotEdit, match="make it by hand"):
        made(Change.add((), "year", 1978), text=kept)


words = st.text("ab1: #'\"-{},[]&*!|>%@é~.", max_size=6) | st.sampled_from(["true", "null", "017", "1:76.2", "on"])
scalars = st.none() | st.booleans() | st.integers(-99, 99) | words | st.decimals(-9, 9, places=2).map(abs)
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words.filter(lambda w: w not in {"", "<<"}), inner),
    max_leaves=12,
)
maps = st.dictionaries(st.from_regex(r"[a-z]{1,3}", fullmatch=True), values, min_size=1, max_size=4)


def paths(value: Any, at: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return all paths of a value."""
    held = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [at, *(path for step, one in held for path in paths(one, (*at, step)))]


def block(value: Any, indent: str = "") -> str:
    """Return a map in lines, with a comment behind each."""
    lines = [entry(key, held, indent, "\n").replace("\n", "  # c\n") for key, held in value.items()]
    return "".join(f"{indent}{line}  # c\n" for line in lines)


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    """Return what is at a path."""
    for step in path:
        value = value[step]
    return value


@st.composite
def edits(draw: st.DrawFn) -> tuple[dict[str, Any], str, Change]:
    """Draw values, a text of them, and a change."""
    whole = draw(maps)
    path = draw(st.sampled_from(paths(whole)[1:]))
    held = at(whole, path)
    hows = ["replace", "remove"]
    hows += ["rename"] if isinstance(path[-1], str) else []
    hows += ["add"] if held is None or isinstance(held, dict) else []
    hows += ["append"] if held is None or isinstance(held, list) else []
    how = draw(st.sampled_from(hows))
    new = draw(values)
    change = {
        "replace": Change.replace(path, new),
        "remove": Change.remove(path),
        "rename": Change.rename(path, "zz"),
        "add": Change.add(path, "zz", new),
        "append": Change.append(path, new),
    }[how]
    text = draw(st.sampled_from([block(whole), flow(whole) + "\n"]))
    return whole, text, change


@given(edits())
def test_what_is_written_reads_as_what_was_meant(drawn: tuple[dict[str, Any], str, Change]) -> None:
    """Whatever the values and however they are written; outside the spans nothing moves."""
    whole, text, change = drawn
    document = read(text.encode(), "x")
    assert document.values == whole
    meant = changed(whole, [change])
    if meant == {}:
        return  # a file must hold something
    spans = edits_of(document, [change])
    new = applied(text, spans)
    assert read(new.encode(), "x").values == meant
    assert len(spans) == 1
    assert new.startswith(text[: spans[0].start])
    assert new.endswith(text[spans[0].end :])


@given(values)
def test_every_value_can_be_written(value: Any) -> None:
    """Decimals keep their noughts, words their quotes."""
    back = read(f"a: {flow(value)}".encode(), "x").values["a"]
    assert back == value
    assert type(back) is type(value)


def test_a_decimal_keeps_its_digits() -> None:
    """1.10 is not 1.1 where somebody wrote a scale so."""
    assert flow({"a": Decimal("1.10")}) == "{a: 1.10}"
