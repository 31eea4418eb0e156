"""A slip of each kind in a sound rulebook, through ``lampwright check``: one finding, and its frame in the rulebook."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from command_line import Done, call

if TYPE_CHECKING:
    from pathlib import Path

SOUND = """\
rulebook: 1
id: toy
title: A toy
territory: Nowhere
years: 1920..
source: memory
sources:
  card: {title: a card for drivers, basis: secondary}
states:
  flash: {per-minute: 60}
aspects:
  danger: {says: {authority: stop}, source: card}
  slow: {shows: {yellow: lit, speed: lit}, says: {authority: proceed, speed-now: speed}}
  caution: {says: {authority: proceed, stop-at: next}}
  on-sight: {says: {authority: proceed-on-sight}}
  clear: {says: {authority: proceed, speed-now: line}}
  crossing: {years: 1950.., says: {authority: proceed, expect: clear}}
order:
  - [danger, on-sight, caution, slow, clear]
  - [caution, crossing, clear]
indicators:
  speed: {kind: figure, figures: 3..9, times: 10 km/h, colour: white, stands-with: slow}
plates:
  number: {title: a number}
forms:
  home:
    role: stop
    years: 1930..
    lamps:
      green:  {colour: green,  at: [0, 3]}
      yellow: {colour: yellow, at: [0, 2]}
      red:    {colour: red,    at: [0, 1]}
      white:  {colour: white,  at: [0, 0]}
    shows:
      danger: red
      caution: {yellow: lit, speed: dark}
      on-sight: [red, white]
      clear: green
    in-doubt: danger
    indicators: speed
    plates: number
    faults: [{lost: red, in: on-sight, then: danger}]
  distant:
    role: distant
    years: 1950..
    lamps:
      upper: {colour: yellow, at: [0, 1]}
      lower: {colour: green,  at: [0, 0]}
    shows: {caution: upper, clear: lower, crossing: {lower: flash}}
    in-doubt: caution
    faults: [{steady: lower, in: crossing, accepted: nobody is harmed}]
sequence:
  stop:
    - {when: {route: {class: call-on}}, show: on-sight}
    - {when: {next: {authority: [stop, proceed-on-sight]}}, show: caution}
    - {when: {route: {speed: {below: line}}}, show: slow}
    - {when: {next: {authority: proceed}}, show: clear}
  distant:
    - {when: {next: {authority: [stop, proceed-on-sight]}}, show: caution}
    - {when: {next: slow}, show: crossing}
    - {when: {next: {at-least: caution}}, show: clear}
"""

SOURCED = (
    *("order", "forms", "indicators", "plates", "sequence", "years", "states", "territory"),
    *("aspects.slow", "aspects.caution", "aspects.on-sight", "aspects.crossing"),
)


@dataclass(frozen=True)
class Slip:
    """What is changed, and the finding: its level, rule, part of its message, what its frame underlines."""

    old: str
    new: str
    level: str
    rule: str
    message: str
    marked: str


SLIPS = {
    "two aspects with one display": Slip(
        "on-sight: [red, white]",
        "on-sight: red",
        "error",
        "ambiguous-display",
        "home shows danger and on-sight alike",
        "red",
    ),
    "a display that reads as another aspect": Slip(
        "clear: {says: {authority: proceed, speed-now: line}}",
        "clear: {says: {authority: proceed, speed-now: line}}\n"
        "  onward: {shows: {green: lit, number: absent}, says: {authority: proceed}}",
        "error",
        "misread-display",
        "the display of clear on home, green, reads as onward",
        "green",
    ),
    "an unknown lamp": Slip("clear: green\n", "clear: greem\n", "error", "unknown-name", "greem", "greem"),
    "an unknown colour": Slip(
        "colour: green,  at: [0, 3]", "colour: gren, at: [0, 3]", "error", "unknown-name", "gren", "gren"
    ),
    "an unknown form": Slip(
        "sequence:\n", "  post: {parts: {main: {form: hom}}}\nsequence:\n", "error", "unknown-name", "hom", "hom"
    ),
    "an unknown aspect": Slip("show: crossing}", "show: crosing}", "error", "unknown-name", "crosing", "crosing"),
    "an order that goes in a circle": Slip(
        "[caution, crossing, clear]", "[caution, crossing, danger]", "error", "circular-order", "in a circle", "danger"
    ),
    "an order that is not complete": Slip(
        "  - [caution, crossing, clear]\n",
        "  - [danger, crossing]\n",
        "warning",
        "undecided-order",
        "nothing says whether crossing or caution is the freer",
        "{lower: flash}",
    ),
    "a sequence that is not total": Slip(
        "    - {when: {next: {at-least: caution}}, show: clear}\n",
        "    - {when: {next: clear}, show: clear}\n",
        "error",
        "sequence-gap",
        "none of the rules of distant fits next: caution",
        "{when: {next: clear}, show: clear}",
    ),
    "a rule that can never apply": Slip(
        "    - {when: {next: slow}, show: crossing}\n    - {when: {next: {at-least: caution}}, show: clear}\n",
        "    - {when: {next: slow}, show: crossing}\n    - {when: {next: {at-least: caution}}, show: clear}\n"
        "    - {when: {next: clear}, show: clear}\n",
        "warning",
        "idle-rule",
        "rule 4 of distant never applies",
        "{when: {next: clear}, show: clear}",
    ),
    "a run that is asked for and forbidden": Slip(
        "sequence:\n",
        "never:\n  - {run: [danger, clear]}\n  - {run: [[slow, caution], danger]}\nsequence:\n",
        "error",
        "forbidden-run",
        "the sequence asks for caution before danger, a run that is forbidden",
        "[[slow, caution], danger]",
    ),
    "an aspect that no sequence can reach": Slip(
        "    - {when: {next: slow}, show: crossing}\n",
        "",
        "note",
        "unasked-aspect",
        "signals can give crossing, and no rule of the sequence asks for it",
        "crossing",
    ),
    "a rule for an aspect that no form of its role has": Slip(
        "{when: {next: slow}, show: crossing}",
        "{when: {next: slow}, show: [slow, crossing]}",
        "warning",
        "ungiven-aspect",
        "asks for slow, which no form of distant can give",
        "{when: {next: slow}, show: [slow, crossing]}",
    ),
    "a content that an indicator cannot have": Slip(
        "{yellow: lit, speed: lit}",
        '{yellow: lit, speed: "12"}',
        "error",
        "impossible-content",
        "slow is to be shown with 12 in speed",
        '{yellow: lit, speed: "12"}',
    ),
    "an indicator that is lit with nothing": Slip(
        "stands-with: slow",
        "stands-with: crossing",
        "warning",
        "carried-by-no-form",
        "speed may be lit with no",
        "crossing",
    ),
    "a plate that no form may carry": Slip(
        "    plates: number\n", "", "warning", "carried-by-no-form", "no form may carry the plate number", "number"
    ),
    "an aspect that is older than its form": Slip(
        "crossing: {years: 1950..,",
        "crossing: {years: 1940..,",
        "warning",
        "contradicting-years",
        "crossing is in use from 1940, and the first form that shows it, distant, came in 1950",
        "1940..",
    ),
    "years that never meet": Slip(
        "crossing: {years: 1950..,",
        "crossing: {years: ..1910,",
        "error",
        "contradicting-years",
        "crossing is of ..1910",
        "..1910",
    ),
    "a datum without a source": Slip(
        "source: memory\n",
        f"source-of: {{{', '.join(f'{name}: card' for name in SOURCED)}}}\n",
        "error",
        "unsourced-datum",
        "aspects clear: says.authority and says.speed-now have no source",
        "clear",
    ),
    "a source without a basis": Slip(
        "{title: a card for drivers, basis: secondary}",
        "{title: a card for drivers}",
        "error",
        "malformed",
        "basis",
        "card",
    ),
    "a source nobody cites": Slip(
        "{authority: stop}, source: card}", "{authority: stop}}", "warning", "uncited-source", "card", "card"
    ),
    "a source of nothing": Slip(
        "years: 1920..\n",
        "years: 1920..\nsource-of: {forms.hom: card}\n",
        "warning",
        "dead-path",
        "forms.hom",
        "forms.hom",
    ),
    "everything verified for want of another source": Slip(
        "source: memory\nsources:\n",
        "source: book\nsources:\n  book: {title: the book, basis: verified}\n",
        "error",
        "verified-by-default",
        "rest on book alone",
        "book",
    ),
    "a lost lamp that frees": Slip(
        "    faults: [{lost: red, in: on-sight, then: danger}]\n  distant:",
        "    also-read: [{aspect: clear, shows: [white]}]\n  distant:",
        "error",
        "freer-when-failed",
        "home at on-sight with red lost reads as clear",
        "[red, white]",
    ),
    "a flasher that frees when it sticks": Slip(
        "    faults: [{steady: lower, in: crossing, accepted: nobody is harmed}]\n",
        "",
        "error",
        "freer-when-failed",
        "distant at crossing with lower steady reads as clear",
        "{lower: flash}",
    ),
    "an interlock that frees": Slip(
        "{lost: red, in: on-sight, then: danger}",
        "{lost: red, in: on-sight, then: clear}",
        "error",
        "freer-answer",
        "the answer is clear, which is freer",
        "clear",
    ),
    "an announcement that is not kept": Slip(
        "crossing: {years: 1950.., says: {authority: proceed, expect: clear}}",
        "crossing: {years: 1950.., says: {authority: proceed, expect: clear, speed-next: 100 km/h}}",
        "error",
        "false-announcement",
        "crossing announces 100 km/h, and stands before slow, which shows",
        "100 km/h",
    ),
    "a form that gives what it cannot": Slip(
        "    in-doubt: caution\n",
        "    in-doubt: caution\n    gives: [caution, clear, crossing, danger]\n",
        "error",
        "unshowable-aspect",
        "danger",
        "danger",
    ),
    "an aspect on no form": Slip(
        "order:\n",
        "  lost: {says: {authority: none}}\norder:\n",
        "warning",
        "aspect-on-no-form",
        "no form can give lost",
        "lost",
    ),
    "two forms that look alike": Slip(
        "sequence:\n",
        "  other:\n    years: 1930..\n    lamps: {a: {colour: yellow, at: [0, 1]}, b: {colour: green, at: [0, 0]}}\n"
        "    shows: {clear: a}\nsequence:\n",
        "error",
        "looks-like-another-form",
        "one display is clear on other, caution on distant",
        "a",
    ),
    "lamps that nobody can keep in phase": Slip(
        "crossing: {lower: flash}}",
        "crossing: {lower: flash, upper: fast}}",
        "error",
        "unkeepable-phase",
        "distant at crossing has lower and upper keep a phase at different rates",
        "{lower: flash, upper: fast}",
    ),
}
"""By what is wrong."""


def test_the_rulebook_without_a_slip_is_sound(tmp_path: Path) -> None:
    """So that what is found below comes of the slip."""
    done = checked(tmp_path, SOUND)
    assert (done.code, done.out.splitlines()[0].partition(".")[0]) == (0, "No findings")


@pytest.mark.parametrize("slip", SLIPS.values(), ids=SLIPS)
def test_a_slip_is_one_finding_in_its_place(tmp_path: Path, slip: Slip) -> None:
    """By the command, with the level, the rule, the line and what is underlined; nothing else is found beside it."""
    text = SOUND.replace(slip.old, slip.new, 1)
    assert text != SOUND
    if "onward" in slip.new:
        text = text.replace("slow, clear]", "slow, onward, clear]").replace("show: clear}", "show: [clear, onward]}")
    if "fast" in slip.new:
        text = text.replace("flash: {per-minute: 60}", "flash: {per-minute: 60}\n  fast: {per-minute: 90, phase: 180}")
    done = checked(tmp_path, text)
    heads = re.findall(r"^(error|warning|note)\[([a-z-]+)\]: ((?:.+\n)(?:    .+\n)*)", done.out, re.MULTILINE)
    assert [(level, rule) for level, rule, _ in heads] == [(slip.level, slip.rule)], done.out
    assert slip.message in " ".join(heads[0][2].split())
    assert marked(text, done.out) == slip.marked
    assert done.code == (1 if slip.level == "error" else 0)


def checked(folder: Path, text: str) -> Done:
    """Check a rulebook as a user does."""
    file = folder / "rulebook.yaml"
    file.write_text(text, encoding="utf-8")
    return call("check", str(file))


def marked(text: str, out: str) -> str:
    """Return what the frame underlines, by its line and column in the text itself."""
    place = re.search(r"--> \S+rulebook\.yaml:(\d+):(\d+)$", out, re.MULTILINE)
    underline = re.search(r"\|[ -]*(\^+)", out)
    assert place
    assert underline
    line, column = map(int, place.groups())
    return text.splitlines()[line - 1][column - 1 : column - 1 + len(underline[1])]
