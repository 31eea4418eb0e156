"""What is read line by line is what the YAML parser reads, values and places; everything else is left to it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from lampwright.documents.builder import Builder
from lampwright.documents.faults import Limits, Refused
from lampwright.documents.source import decode
from lampwright.documents.usual import Unusual, usual

ROOT = Path(__file__).parents[2]
FILES = sorted([*ROOT.glob("rulesets/**/*.yaml"), *ROOT.glob("plugins/**/*.yaml")])
PIECES = (
    *" \n\t\r:#,[]{}\"'-?&*!|>%@`<.\\~/ab0=\x85\xa0é🚦\x00\x1b\x7f\x9f\ufffe",
    *("\r\n", ": ", " #", "- ", "---", "...", "key: ", "{a: b}", "[a, b]", "\n  ", '"x"', "'y'", "null", "1.5", "<<"),
    *("? ", "# c\n", "{}", "[]", '""', "''", ">-\n  x", "{a: [b, {c: d}], e: }", '"k": v', "a: b: c", "''''"),
)
"""What is put into a file for a slip: what YAML knows, and what it does not."""
USUAL = """\
# a comment
plan: 1                 # and one behind
name: "a b: c"
year: '1978'
nothing:
times: 12:30 or 7
"101": north
lines: {down: {speed: 75 mph}, "up": [1, 2.50,
    # between
    -3], none: {}}
signals:
  HF1:
    form: three-aspect
    routes:
      - to: HF2
        over: [T1, T2]
      - {to: bay}

  HF2:
    on-its-own:
      [a, b]
list:
  - x
  - 'y'
last:"""


def test_usual_text() -> None:
    """Everything that is usual."""
    assert same(USUAL)
    assert same(USUAL.replace("\n", "\r\n"))
    assert usual(USUAL, Limits())[0]["lines"] == {"down": {"speed": "75 mph"}, "up": [1, 2.5, -3], "none": {}}


def test_files_that_come_with_the_program_are_usual() -> None:
    """So the parser is not even loaded for them; but for cases, which hold plans as text."""
    left = [path.name for path in FILES if not same(path.read_text(encoding="utf-8")) and path.name != "cases.yaml"]
    assert left == ["boards.yaml"]


@pytest.mark.parametrize(
    "text",
    [
        "a: &b c",
        "a: *b",
        "a: !b c",
        "a: |\n  b",
        "a: b\n  c",
        'a: "b\n  c"',
        'a: "b\\n"',
        "a: 'it''s'",
        "? a",
        "a:\tb",
        "\ta: b",
        "a: b\rc: d",
        "---\na: b",
        "a: b\n...\n",
        "%YAML 1.2\n---\na: b",
        "a: b\na: c",
        '{a: b, "a": c}',
        "<<: b",
        '"": b',
        "a: {b}",
        "a: [b: c]",
        "a: [b, ]",
        "a:\n- b",
        "a: -",
        "a: b: c",
        "a: [b",
        "a: [b}",
        "a: {b: c]",
        "a\n",
        "- a\nb: c",
        "a:\n   b: c\n  d: e",
        "a: b\n   c: d",
        "",
        "# nothing",
        "[a, b]",
        "a: b\x07",
        "a: '\ufffe'",
        f"{'a' * 201}: b",
    ],
)
def test_what_is_not_usual_is_left_to_the_parser(text: str) -> None:
    """Wrong or only rare: that is not for it to say."""
    with pytest.raises(Unusual):
        usual(text, Limits())


@pytest.mark.parametrize(
    ("text", "limits"),
    [
        ("a:\n b:\n  c: d", Limits(depth=2)),
        ("a: {b: {c: d}}", Limits(depth=2)),
        ("- b: {c: d}", Limits(depth=2)),
        ("a: bcdefghi", Limits(scalar=8)),
        ("a: [b, c, d, e]", Limits(nodes=4)),
        ("- a:\n- a:\n- a:\n- a:\n", Limits(nodes=10)),
    ],
)
def test_what_may_be_over_a_limit_is_left_to_the_parser(text: str, limits: Limits) -> None:
    """It counts exactly; here a text that cannot be over is enough."""
    assert same(text)
    with pytest.raises(Unusual):
        usual(text, limits)


@pytest.mark.parametrize("seed", range(8))
def test_slips_are_read_as_the_parser_reads_them(seed: int) -> None:
    """Pieces of files with slips in them; of several hundred thousand tried once, none was read in another way."""
    dice = random.Random(seed)  # noqa: S311  (no secret)
    texts = [path.read_text(encoding="utf-8").split("\n") for path in FILES]
    read = sum(same(spoilt(piece(dice.choice(texts), dice), dice)) for _ in range(1_000))
    assert read > 100


def piece(lines: list[str], dice: random.Random) -> str:
    """Return some lines of a file, moved to the left as far as they go."""
    first = dice.randrange(len(lines))
    some = lines[first : first + dice.randint(1, 12)]
    least = min((len(line) - len(line.lstrip(" ")) for line in some if line.strip()), default=0)
    return "\n".join(line[least:] for line in some)


def spoilt(text: str, dice: random.Random) -> str:
    """Put something in, take something out, or say something twice; up to three times."""
    for _ in range(dice.choice([0, 1, 1, 1, 2, 3])):
        at, start = dice.randint(0, len(text)), dice.randint(0, len(text))
        more = dice.choice(["", dice.choice(PIECES), text[start : start + dice.randint(1, 20)]])
        text = text[:at] + more + text[at + dice.randint(0, 3 if not more else 1) :]
    return text


def same(text: str) -> bool:
    """Tell whether a text is usual; if so, the parser must read the same values at the same places, and no slip."""
    try:
        text = decode(text.encode())
        found = usual(text, Limits())
    except (Unusual, Refused):
        return False
    parser = Builder(text, Limits())
    parser.build()
    assert (found, []) == ((parser.root, parser.marks), parser.slips)
    assert repr(found[0]) == repr(parser.root)
    return True
