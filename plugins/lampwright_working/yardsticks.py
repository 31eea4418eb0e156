"""What distances are measured by: the scale, the figures of the rulebook, the trains of the plan."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.words import did_you_mean, listed
from lampwright.working.measures import Yardstick
from lampwright.working.parameters import saying
from lampwright.working.scales import NAMES, TRADE, meanings, shown

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.findings import Finding
    from lampwright.layout import Layout


class UnknownScale(Check):
    """Finds a scale that is no ratio and no name of one, or a name that means several.

    Without the scale no length of the layout can be compared with one of the prototype. Some names mean one thing in
    one country and another in the next; where the rulebook does not settle that, only the ratio is plain.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        scale: OOO                       # expect: unknown-scale "OOO"
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        scale: OO
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        scale: 1:76.2
        sections: {AA: {length: 1.2 m}}

    Limits: a name that means several scales is a warning, and only where the plan gives lengths or trains.
    """

    name = "unknown-scale"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the scale with what is known of scales."""
        found = meanings(subject)
        spot = subject.spot("scale")
        if subject.plan.scale and not found:
            message = f"the plan is in the scale {subject.plan.scale}, which is no ratio and no name of one"
            tip = did_you_mean(subject.plan.scale.upper(), NAMES, "the names")
            yield self.finding(
                message,
                spot,
                tip=f"{tip}{' ' if tip.endswith('?') else '; '}a ratio would do too, as in 1:76.2 or 4 mm/ft",
            )
        elif len(found) > 1 and _measured(subject):
            ratios = listed((shown(scale.ratio) for scale in found), "or")
            message = f"the scale {subject.plan.scale} can be {ratios}, so no length can be compared"
            tip = "write the ratio, as in `scale: 1:160`"
            yield self.finding(message, spot, citations=(TRADE,), tip=tip, level=Level.WARNING)


class UnknownParameter(Check):
    """Finds a figure in a plan that no check asks for, or that measures something else.

    A plan may have figures of its own in place of the rulebook's: a shorter overlap, another rate of braking. Under a
    name that is written wrong, or with a unit that does not fit, it would change nothing, and nobody would see.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        parameters: {overlaps: 100 m}    # expect: unknown-parameter "overlaps"
        signals:
          HF1: {form: three-aspect}

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        parameters:
          overlap: 8 s                   # expect: unknown-parameter "is a time"
        signals:
          HF1: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        parameters: {overlap: 100 m}
        signals:
          HF1: {form: three-aspect}

    Limits: names are those of the rulebook, so nothing is said without one.
    """

    name = "unknown-parameter"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook, if there are figures."""
        said = whole.plan.values.get("parameters")
        return "no rulebook given" if said and whole.rulebook is None else ""

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the plan's figures with those of its rulebook."""
        known = subject.rulebook.parameters if subject.rulebook is not None else {}
        for name, said in (subject.plan.values.get("parameters") or {}).items():
            spot = subject.spot("parameters", name, on_key=name not in known)
            if name not in known:
                message = f"the plan sets the figure {name}, and its rulebook has none of that name"
                yield self.finding(message, spot, tip=did_you_mean(name, known, "the figures"))
                continue
            own, usual = (
                saying(item["value"] if isinstance(item, dict) else item, None) for item in (said, known[name])
            )
            if usual is not None and (own is None or own.measures != usual.measures):
                kind = f"is a {own.measures or 'plain number'}" if own else "is no figure"
                message = f"{name} {kind} here, and the rulebook has {usual.text}"
                book = (
                    subject.rulebook.spot("parameters", name, label="the rulebook's figure")
                    if subject.rulebook
                    else None
                )
                yield self.finding(message, spot, related=(book,) if book else (), tip=f"a figure such as {usual.text}")


class OddStoppingDistances(Check):
    """Finds a train that stops from a higher speed in less track than from a lower one.

    What was measured is the measure of all signals of the layout. Two figures in the wrong order, or one with a slip,
    and the checks of distances look at the wrong train.

    Wrong:

        plan: 1
        scale: OO
        trains:
          express:
            stops:
              40 mph: 1.9 m
              60 mph: 90 cm              # expect: odd-stopping-distances "express"

    Right:

        plan: 1
        scale: OO
        trains:
          express:
            stops:
              40 mph: 90 cm
              60 mph: 1.9 m

    Limits: whether the distances as such are likely is not asked: models stop as their makers and owners like.
    """

    name = "odd-stopping-distances"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the stopping distances of every train with each other."""
        yard = Yardstick.of(subject)
        for name, said in (subject.plan.values.get("trains") or {}).items():
            measured = sorted(_measurements((said or {}).get("stops") or {}, yard))
            for (_, lower, less), (_, higher, more) in pairwise(measured):
                if less > more:
                    yield self.finding(
                        f"{name} stops from {higher} in less track than from {lower}",
                        subject.spot("trains", name, "stops", higher),
                        related=(subject.spot("trains", name, "stops", lower, label="more track"),),
                        tip="the faster a train, the longer it runs",
                    )


def _measurements(stops: dict[str, object], yard: Yardstick) -> Iterator[tuple[Fraction, str, Fraction]]:
    """Yield each speed, as it is written too, with its distance on the layout."""
    for written, length in stops.items():
        speed, metres = yard.speed(written), yard.length(length).model
        if speed is not None and metres is not None:
            yield speed, written, metres


def _measured(layout: Layout) -> bool:
    """Tell whether a plan gives anything that is compared by its scale."""
    plan = layout.plan
    return bool(plan.values.get("trains")) or any("length" in (section or {}) for section in plan.sections.values())
