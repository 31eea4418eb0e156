"""Faults: nothing that fails by itself may let a driver do more than he was told, unless an interlock sees to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.rulebooks.failing import LOST, answer, failings, verdict
from lampwright.rulebooks.order import Verdict
from lampwright.words import listed
from lampwright_soundness.reading import clause, readers, shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.failing import Failing


class FreerWhenFailed(Check):
    """Finds an aspect that reads as a freer one when a single lamp, box or plate is lost or a flasher sticks.

    Lamps burn out. On the prototype either no such aspect exists, or the circuits see to it that a lamp that matters is
    proved alight; on the model nobody does, and the answer tells what to build.

    The form's `faults` answer it: `{lost: upper, in: warning, then: danger}` is an interlock, `accepted:` a reason to
    live with it. A box that is proved (`proved: true`) counts as an interlock too.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        forms:
          two-greens:
            lamps: {upper: green, red: red, lower: green}
            shows:
              danger: red
              slow: [upper, lower]       # expect: freer-when-failed "slow with lower lost reads as clear"
              clear: upper

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        forms:
          two-greens:
            lamps: {upper: green, red: red, lower: green}
            shows: {danger: red, slow: [upper, lower], clear: upper}
            faults: [{lost: lower, in: slow, then: danger}]

    Limits: one fault at a time. Lamps that stay lit when they should not are judged for a plan, which knows how they
    are wired. What nothing lit is read as follows from the form's `in-doubt`; where that is not said, nothing is
    claimed. Two readings of which neither is the freer pass.
    """

    name = "freer-when-failed"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Let every single thing fail; forms that are shown one display by one line are named together."""
        found: dict[tuple[Spot, str, str], tuple[FormReader, str, Failing]] = {}
        forms: dict[tuple[Spot, str, str], dict[str, None]] = {}
        for form, when in readers(subject):
            for failing in failings(form):
                freer, read = verdict(form, failing.meaning.aspect, failing.reading)
                if freer is Verdict.YES and not _proved(form, failing) and answer(form, failing) is None:
                    key = (shown_at(form, failing.meaning), str(failing), read)
                    found.setdefault(key, (form, when, failing))
                    forms.setdefault(key, {})[form.name] = None
        for key, (form, when, failing) in found.items():
            yield self._finding(form, listed(forms[key]), when, failing, key[-1])

    def _finding(self, form: FormReader, forms: str, when: str, failing: Failing, read: str) -> Finding:
        doubt = "" if read in failing.reading.aspects else " in doubt"
        aspect = failing.meaning.aspect
        message = clause(f"{forms} at {aspect} with {failing} reads as {read}{doubt}, which is freer", when)
        element = failing.elements[0] if len(failing.elements) == 1 else "any"
        tip = (
            f"say what prevents it, as in faults: [{{{failing.how}: {element}, in: {aspect}, then: ...}}], or accept it"
        )
        return self.finding(message, shown_at(form, failing.meaning), tip=tip)


class FreerAnswer(Check):
    """Finds an interlock that answers a fault with a freer aspect.

    What is shown, or holds, once a fault is detected must not let a driver do more than the aspect that has failed.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        forms:
          two-greens:
            lamps: {upper: green, red: red, lower: green}
            shows: {danger: red, slow: [upper, lower], clear: upper}
            faults: [{lost: lower, in: slow, then: clear}]       # expect: freer-answer "clear, which is freer"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {says: {authority: proceed, speed-now: 40 km/h}}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        forms:
          two-greens:
            lamps: {upper: green, red: red, lower: green}
            shows: {danger: red, slow: [upper, lower], clear: upper}
            faults: [{lost: lower, in: slow, then: danger}]

    Limits: an answer that names no aspects it holds in is compared with each aspect that the fault can meet.
    """

    name = "freer-answer"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare every answer with what it answers."""
        told: set[tuple[Spot, str]] = set()
        for form, when in readers(subject):
            for failing in failings(form):
                found = answer(form, failing)
                if found is None or not found[1].then:
                    continue
                number, fault = found
                aspect = failing.meaning.aspect
                spot = subject.spot("forms", form.name, "faults", number, "then")
                freer = subject.order.less_restrictive(fault.then, aspect) is Verdict.YES
                if freer and (spot, aspect) not in told:
                    told.add((spot, aspect))
                    text = f"when {form.name} at {aspect} has {failing}, the answer is {fault.then}, which is freer"
                    yield self.finding(clause(text, when), spot)


def _proved(form: FormReader, failing: Failing) -> bool:
    """Tell whether what is lost is a box that is proved alight."""
    names = [element.partition(".")[0] for element in failing.elements]
    boxes = [form.rulebook.indicators[name] for name in names if name in form.rulebook.indicators]
    return failing.how == LOST and bool(boxes) and all(box.proved for box in boxes)
