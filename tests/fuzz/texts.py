"""Files to try: the examples there are, spoilt a little or much, and bytes of no meaning."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from random import Random

ROOT: Final = Path(__file__).parents[2]
TOKEN: Final = re.compile(r"[\w./-]+|[^\w\s]")
ODD: Final = (
    *(
        "null",
        "~",
        "true",
        "0",
        "-1",
        "1e9",
        "999999999999999999999",
        "0x40",
        "1.10",
        "''",
        '"',
        "'",
        "[]",
        "{}",
        "[",
        "}",
    ),
    *(
        ": ",
        "- ",
        "#",
        "&a",
        "*a",
        "!!python/name:os",
        "<<",
        "%YAML 1.1",
        "---",
        "...",
        "|",
        ">-",
        "?",
        "\t",
        "\r",
        "\0",
    ),
    *(
        "\u2028",
        "\ufeff",
        "\u202e",
        "\U0001f682",
        "é",
        "\x1b[31m",
        "a" * 300,
        "[" * 200,
        "{a: " * 100,
        "like",
        "any",
        "dark",
    ),
)
"""What breaks readers, and words that mean something here."""


@cache
def seeds(kind: str) -> tuple[str, ...]:
    """Return real files of a kind: plans, rulebooks, parts, cases, configurations, what was seen, logs, baselines."""
    found = {
        "plan": [*ROOT.glob("rulesets/*/examples/*.yaml"), *ROOT.glob("tests/plans/**/*.yaml")],
        "rulebook": [*ROOT.glob("rulesets/*/rulebook.yaml"), *ROOT.glob("tests/rulebooks/**/*.yaml")],
        "parts": list(ROOT.glob("plugins/lampwright_wiring/parts/*.yaml")),
        "cases": list(ROOT.glob("rulesets/*/cases.yaml")),
    }
    return tuple(path.read_text(encoding="utf-8") for path in sorted(found[kind])) if kind in found else SMALL[kind]


SMALL: Final[dict[str, tuple[str, ...]]] = {
    "settings": (
        'year = 1978\nrulebook = "gb-colour-light"\nfail-on = "warning"\nexclude = ["old"]\n[levels]\nidle = 1\n',
        'rulebooks = ["books/ours"]\ninclude = ["*.yaml"]\n[levels]\nno-rule-fits = "error"\n',
    ),
    "seen": (
        "seen: 1\nplan: 0badcafe\nsignals: {HF1: {danger: [red], caution: {red: dark, yellow: dim}}}\n",
        "seen: 1\nsignals:\n  HF3:\n    danger: [{red: flashing}]\noutputs: {A.0: [HF1 red], none: []}\n",
    ),
    "log": ("log: 1\nrecords:\n  - {date: 2020-01-01, signal: HF1, fingerprint: 12345678, result: good}\n",),
    "baseline": ("baseline: 1\nfiles:\n  plan.yaml:\n    unknown-form: 1\n",),
}


def spoilt(text: str, others: Sequence[str], luck: Random) -> bytes:
    """Return a file with one to four slips in it, some of which no pen makes."""
    for _ in range(luck.choice([1, 1, 1, 2, 3, 4])):
        text = luck.choice(SLIPS)(text, others, luck)
    data = text.encode("utf-8", "surrogatepass")
    if luck.random() < 0.05 and data:
        at = luck.randrange(len(data))
        data = data[:at] + luck.randbytes(luck.randint(1, 3)) + data[at + luck.randint(0, 2) :]
    return data


def _line(text: str, _: Sequence[str], luck: Random) -> str:
    """Lose, double or move a line, or change its indent."""
    lines = text.splitlines(keepends=True) or [""]
    at, to = luck.randrange(len(lines)), luck.randrange(len(lines))
    line = lines[at]
    how = luck.randrange(4)
    if how == 0:
        del lines[at]
    elif how == 1:
        lines.insert(to, line)
    elif how == 2:
        lines.insert(to, lines.pop(at))
    else:
        lines[at] = " " * luck.randrange(9) + line.lstrip(" ")
    return "".join(lines)


def _token(text: str, others: Sequence[str], luck: Random) -> str:
    """Put a word of this or another file, or something odd, in the place of a word."""
    places = list(TOKEN.finditer(text))
    if not places:
        return text
    place = luck.choice(places)
    source = luck.choice([text, luck.choice(others)])
    words = TOKEN.findall(source[:20_000]) or [""]
    word = luck.choice(ODD) if luck.random() < 0.4 else luck.choice(words)
    return text[: place.start()] + word + text[place.end() :]


def _letter(text: str, _: Sequence[str], luck: Random) -> str:
    """Lose, double or add a letter."""
    at = luck.randrange(len(text) + 1)
    return text[:at] + luck.choice(["", text[at : at + 1] * 2, luck.choice(ODD)]) + text[at + 1 :]


def _cut(text: str, others: Sequence[str], luck: Random) -> str:
    """End too early, or go on with another file."""
    at = luck.randrange(len(text) + 1)
    other = luck.choice(others)
    return text[:at] + (other[luck.randrange(len(other) + 1) :] if luck.random() < 0.5 else "")


SLIPS: Final[tuple[Callable[[str, Sequence[str], Random], str], ...]] = (_line, _token, _token, _token, _letter, _cut)
