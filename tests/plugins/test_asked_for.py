"""What checks ask for: on a plan that does not give it they do not run, and the summary says what is not given."""

from __future__ import annotations

import pytest

from support import result_of

BARE = "plan: 1\nsignals: {HF1: {form: three-aspect}}\n"
BOOK = "plan: 1\nrulebook: gb-colour-light\nsignals: {HF1: {form: three-aspect}}\n"
ROUTE = (
    "signals:\n  HF1: {form: three-aspect, sighting: 60 cm, routes: [{to: HF3, SAID}]}\n  HF3: {form: three-aspect}\n"
)
LINES = "lines: {main: {headway: 80 s}, slow: {}}\n"
UNSCALED = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n" + LINES + ROUTE
ASKED = [
    (BARE, "no rulebook given",
     """aspect-not-in-use distant-of-distant fitted-after-plan-year form-not-in-use form-not-said idle-aspect
     indicator-not-in-use missing-indication no-rule-fits nothing-to-repeat red-far-from-eye
     shows-lacks-aspect splitting-without-junction sudden-turn unannounced-flashing-release unclear-repeat
     undated-indicator undated-survivor unidentified-form unknown-form unknown-release unknown-rulebook
     unwarned-stop year-outside-rulebook"""),
    (BARE, "no boards given",
     """board-address-clash board-overloaded dead-fibre forbidden-address impossible-chain kept-output
     lamps-out-of-step lit-at-power-up missing-resistor mixed-polarity one-way-outputs output-out-of-range
     output-overloaded output-used-twice resistor-too-large resistor-too-small resistor-too-weak
     servo-beside-dimmed-lamp servo-out-of-time shared-resistor slow-fade-step too-little-voltage
     uncounted-lights unequal-brightness unknown-resistor unreachable-frequency unreachable-supply unsafe-mix
     unwired-lamp visible-flicker voltage-out-of-range wire-drop wrong-common-lead wrong-polarity"""),
    (BARE, "no proofs given",
     """changed-since-proved"""),
    (BARE, "no lengths given",
     """close-spacing late-caution wide-spacing"""),
    (BARE, "no track given",
     """flank-towards-route idle-flank misplaced-signal no-such-way off-the-track one-sided-joint
     points-in-two-sections points-off-way sections-off-way signals-off-way track-against-routes
     turn-against-points unclear-route unguarded-flank unwritten-route"""),
    (BARE, "no sections of points given",
     """points-off-section"""),
    (BARE, "no kinds of parts given",
     """scanned-wiring unknown-part wrong-led-colour"""),
    (BARE, "no supplies given",
     """supplies-in-parallel supply-not-extra-low supply-overloaded"""),
    (BARE, "no routes given",
     """unreached-signal unused-end unused-track"""),
    (BARE, "no conflicts given",
     """missing-conflict one-sided-conflict unfounded-conflict"""),
    (UNSCALED.replace("SAID", "overlap: {length: 10 cm}, to-points: 10 cm"), "no scale given",
     "misplaced-junction-signal short-overlap short-sighting"),
    (UNSCALED.replace("SAID", "turns: left"), "no lengths given", "headway-not-kept"),
    (UNSCALED.replace("SAID", "turns: left"), "no sections of all routes given", "unused-track"),
    ("plan: 1\nparameters: {overlap: 5 m}\n" + ROUTE.replace("SAID", "over: AA"), "no rulebook given",
     "unknown-parameter"),
    (BOOK, "no year given",
     """aspect-not-in-use fitted-after-plan-year form-not-in-use indicator-not-in-use undated-indicator
     undated-survivor year-outside-rulebook"""),
]  # fmt: skip


@pytest.mark.parametrize(("plan", "reason", "names"), ASKED, ids=lambda value: str(value)[:24])
def test_a_check_says_what_it_was_not_given(plan: str, reason: str, names: str) -> None:
    """Of one signal and its form, and with a rulebook but no year."""
    skipped = {skip.check for skip in result_of(plan).skips if skip.reason == reason}
    assert set(names.split()) - skipped == set()
