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
    "points-both-ways": """
points-both-ways at signals/HF3/routes/0/points/102:
route HF3 to HF5 needs 101 and 102, which move together, to lie both normal and reverse
tip let them lie one way for it, in its way, overlap and flank alike
""",
    "unclear-repeat": """
unclear-repeat (warning) at signals/HF1R/repeats
HF1R tells of HF1 and HF3, and a banner repeater can tell of one
tip repeats: HF1, the next on the way
beside signals/HF1R/form: this form
""",
    "nothing-to-repeat": """
nothing-to-repeat (warning) at signals/HF1D:
HF1D is a two-aspect distant, and nothing says which signal it tells of
tip say `repeats:`, or let the route that runs past it have it in `passes:`
beside signals/HF1D/form: this form
""",
    "unwritten-route": """
unwritten-route (warning) at signals/HF3/routes:
the track leads from HF3 to south, and no route is written for it
tip {to: south, over: [AD], points: {101: reverse}}
beside track/AA/signals/HF3:: here it begins
""",
    "unfounded-conflict": """
unfounded-conflict (warning) at conflicts/HF2 to HF4/0
route HF2 to HF4 and route HF7 to HF9 are said to exclude each other, and have nothing in common that the plan
    says
tip say what they share, or give the reason in words
beside conflicts/HF7 to HF9/0: said here too
beside signals/HF2/routes/0/to: runs over AA and AB
beside signals/HF7/routes/0/to: runs over AC and AD
""",
    "unknown-scale": """
unknown-scale at scale
the plan is in the scale OOO, which is no ratio and no name of one
tip did you mean OO? a ratio would do too, as in 1:76.2 or 4 mm/ft
""",
    "unknown-parameter": """
unknown-parameter at parameters/overlaps:
the plan sets the figure overlaps, and its rulebook has none of that name
tip did you mean overlap?
""",
    "odd-stopping-distances": """
odd-stopping-distances at trains/express/stops/60 mph
express stops from 60 mph in less track than from 40 mph
tip the faster a train, the longer it runs
beside trains/express/stops/40 mph: more track
""",
    "ambiguous-display": """
ambiguous-display at forms/three-aspect/shows/clear
three-aspect shows caution and clear alike
because both are yellow
beside forms/three-aspect/shows/caution: the display of caution
""",
    "misread-display": """
misread-display at forms/automatic/shows/danger
the display of danger on automatic, red, reads as pass-slowly
beside aspects/pass-slowly/shows: the display of pass-slowly, which asks for more
""",
    "unsourced-datum": """
unsourced-datum at aspects/clear:
aspects clear: says.authority has no source
tip name one, or write source: memory
""",
    "uncited-source": """
uncited-source (warning) at sources/card:
no datum cites the source card
""",
    "dead-path": """
dead-path (warning) at forms/one/source-of/lamp.red:
forms one has no lamp.red, of which a source is told
tip did you mean lamps?
""",
    "freer-when-failed": """
freer-when-failed at forms/two-greens/shows/slow
two-greens at slow with lower lost reads as clear, which is freer
tip say what prevents it, as in faults: [{lost: lower, in: slow, then: ...}], or accept it
""",
    "false-announcement": """
false-announcement at aspects/expect-60/says/speed-next
expect-60 announces 60 km/h, and stands before slow, which shows 40 km/h
beside aspects/slow/says/speed-now: slow
beside sequence/1: this rule puts the one before the other
""",
    "circular-order": """
circular-order at order/1/1
the order of restriction goes in a circle: caution, clear, caution
beside order/0/2: clear is freer than caution
""",
    "verified-by-default": """
verified-by-default at source
3 data rest on book alone, which is verified, for want of a nearer source
tip name it where it was read, and let the outermost source be the weakest
""",
    "indicator-beyond-form": """
indicator-beyond-form at signals/HF3R/carries/0
HF3R carries position-1, and a banner repeater carries no such indicator
tip leave it out, or give the form that has one
beside signals/HF3R/form: as in use in 1978
beside forms/banner-repeater:: the rulebook's form
""",
    "red-far-from-eye": """
red-far-from-eye at forms/upside-down/lamps/red:
the form upside-down has green nearest the driver's eye: red is not the lowest lamp
tip red belongs at the bottom
beside forms/two-aspect-stop:: a two-aspect stop signal
""",
    "unused-lamp": """
unused-lamp (warning) at signals/HF1/gives:
HF1 lights upper-yellow for no aspect
tip say `blanked: upper-yellow` if the place is plated over, or use a form without it
beside forms/four-aspect/lamps/upper-yellow:: never lit
""",
    "indicator-with-wrong-aspect": """
indicator-with-wrong-aspect at signals/HF3/shows/danger/position-1
HF3 lights position-1 with danger, and must keep it dark then
tip it may be lit with caution, clear and flashing-caution
beside signals/HF3/shows/danger:: this aspect
beside indicators/junction/stands-with: when it may be lit
""",
}


@pytest.mark.parametrize("rule", FOUND)
def test_the_example_of_a_manual_is_told_so(rule: str) -> None:
    """Message, reason, tip, and all that stands beside it."""
    lines = (wrap(line, 110, subsequent_indent="    ", break_on_hyphens=False) for line in of_manual(rule))
    assert "\n".join(part for line in lines for part in line) == FOUND[rule].strip()
