"""What the examples of manuals get, word for word, where more than a name and a number follows from the plan.

The plans are those of `lampwright explain`; a long line goes on in the next, four spaces further in.
"""

from __future__ import annotations

from textwrap import wrap

import pytest

from full_findings import of_manual

FOUND = {
    "late-caution": """
late-caution at sections/AB/length
HF3 shows the first caution only 366 m (1.20 m on the layout) before the red of HF5, and a train needs 719 m
    (2.36 m on the layout) to stop from 60 mph (braking at 0.5 m/s2)
because HF1 is still clear, then comes HF3 caution, then HF5 at stop
tip 719 m (2.36 m on the layout) from HF3 to HF5, or a caution at HF1 already
beside signals/HF3:: shows caution
beside signals/HF5:: at stop
beside parameters/caution-to-stop: the rulebook's figure
beside parameters/deceleration: the rulebook's figure
""",
    "missing-indication": """
missing-indication at signals/HF2/form
HF2 must be able to show caution, and a two-aspect stop signal has no yellow
because route HF2 to HF4 (102 normal, 103 normal) may be set while HF4 stands at danger
tip three-aspect is the smallest form that can say all HF2 is asked: danger, caution, clear; or let a distant
    tell of HF4
beside signals/HF2/routes/0/to: asked on this route
beside sequence/stop/7: asked by this rule
""",
    "no-rule-fits": """
no-rule-fits (warning) at signals/HF1/routes/0/to
no rule of gb-colour-light says what HF1 shows while the next signal shows banner-off
because route HF1 to north may be set while north is taken to show banner-off
tip rules of gb-colour-light begin with `when:`
beside sequence:: its rules
""",
    "short-sighting": """
short-sighting (warning) at signals/HF3/sighting
HF3 is in sight for 6.8 s at 60 mph, and a driver needs 8 s to read it
tip 215 m (0.70 m on the layout) would do; or a repeater before it
beside parameters/reading-time: the rulebook's figure
""",
    "shows-lacks-aspect": """
shows-lacks-aspect at signals/HF1/shows:
HF1 will be asked to show flashing-caution, and its own displays leave it out
because route HF1 to HF3 may be set while HF3 shows caution, route HF3 to north being set while north is taken
    to show danger
tip add how it shows flashing-caution, or say under `gives` which aspects it is meant to give
beside signals/HF1/form: this form
beside sequence/stop/8: the rule
""",
    "unannounced-flashing-release": """
unannounced-flashing-release at signals/HF3/routes/1/release
route HF3 to branch is released with flashing aspects, and HF1 before it cannot show flashing-caution
because route HF1 to HF3 may be set while HF3 shows caution, route HF3 to branch being set while branch is
    taken to show clear
tip three-aspect, four-aspect or led-three-aspect can show flashing-caution; or release it from red
beside signals/HF1/form: a searchlight
""",
    "close-spacing": """
close-spacing (warning) at sections/AC/length
HF5 to HF7 is 213 m (0.70 m on the layout) long, less than the 360 m (1.18 m on the layout) that four-aspect
    working asks there (0.5..0.75 stopping distances from 60 mph, braking at 0.5 m/s2)
tip 360 m (1.18 m on the layout) at least
beside parameters/spacing-four-aspect: the rulebook's figure
beside parameters/deceleration: the rulebook's figure
""",
    "wide-spacing": """
wide-spacing (warning) at sections/AB/length
HF3 to HF5 is 762 m (2.50 m on the layout) long, more than the 425 m (1.40 m on the layout) that three-aspect
    working asks there (1..1.33 stopping distances from 40 mph, braking at 0.5 m/s2)
tip 425 m (1.40 m on the layout) at most, so one more signal on the way
beside parameters/spacing-three-aspect: the rulebook's figure
beside parameters/deceleration: the rulebook's figure
""",
    "distant-of-distant": """
distant-of-distant (warning) at signals/HF1D/repeats
HF1D is a two-aspect distant and repeats HF1R, another distant: it never shows anything but clear
tip repeat HF1, the signal that HF1R tells of
beside signals/HF1D/form: this form
beside signals/HF1R:: never at stop
""",
}


@pytest.mark.parametrize("rule", FOUND)
def test_the_example_of_a_manual_is_told_so(rule: str) -> None:
    """Message, reason, tip, and all that stands beside it."""
    lines = (wrap(line, 110, subsequent_indent="    ", break_on_hyphens=False) for line in of_manual(rule))
    assert "\n".join(part for line in lines for part in line) == FOUND[rule].strip()
