"""A check of mixed colours: what a lamp shows when one of its LEDs fails."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import SIGNAL
from lampwright.findings import Level
from lampwright_wiring.scopes import ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import FormReader, Reading
    from lampwright_wiring.model import WiredLamp


class UnsafeMix(ElectricalCheck):
    """Finds a colour mixed from several LEDs that says more than it should once one of them is lost.

    Yellow made of red and green is green when the red LED fails: the signal would clear itself, from caution to a clear
    road. On the prototype no single failure may do that.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1955
        boards: {A: {kind: pwm-16, frequency: 1500 Hz}}
        signals:
          HF1:
            form: searchlight
            lamps:
              lens:
                red: A.0
                green: A.1
                yellow: {mix: {red: 60 %, green: 100 %}}     # expect: unsafe-mix "HF1 would show clear for caution"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1955
        boards: {A: {kind: pwm-16}}
        signals:
          HF1: {form: searchlight, lamps: {lens: {red: A.0, green: A.1, yellow: A.2}}}

    Limits: a warning, as LEDs of two colours leave no other way. Where the lamp is not a lens, what is left is read as
    the form's own lamp of that colour.
    """

    name = "unsafe-mix"
    level = Level.WARNING
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each mixed lamp, at the first aspect it would spoil."""
        from lampwright_wiring.model import bind

        form = subject.reader
        if form is None or subject.rulebook is None:
            return
        for lamp in bind(subject.layout).by_signal.get(subject.name, []):
            mixed = lamp.detail.get("mix")
            for lost, left in _pairs(list(mixed) if isinstance(mixed, dict) else []):
                spoilt = _spoilt(form, lamp, left)
                if spoilt is not None:
                    aspect, instead, owner = spoilt
                    yield self.finding(
                        f"{subject.name} would show {instead} for {aspect} if the {lost} LED of its mixed "
                        f"{lamp.colour} failed",
                        subject.layout.spot(*lamp.path),
                        citations=(
                            subject.rulebook.why("forms", owner, "shows", aspect),
                            subject.rulebook.why("order"),
                        ),
                        tip=f"an LED that is {lamp.colour} by itself",
                    )
                    break


def _pairs(colours: list[str]) -> Iterator[tuple[str, str]]:
    """Yield, for a mix of two colours, each with the one that is left without it."""
    if len(colours) == 2:  # noqa: PLR2004  (of three, two that are left make a colour nobody has named)
        yield colours[0], colours[1]
        yield colours[1], colours[0]


def _spoilt(form: FormReader, lamp: WiredLamp, left: str) -> tuple[str, str, str] | None:
    """Return an aspect that would be taken for a freer one, that one, and the form (or part) that shows them."""
    from lampwright.rulebooks.failing import verdict
    from lampwright.rulebooks.order import Verdict

    for name in lamp.names:
        inner, own = _owner(form, name)
        for aspect in inner.gives:
            for display in inner.displays(aspect):
                for reading in _without(inner, display, own, lamp, left):
                    worse, instead = verdict(inner, aspect, reading)
                    if worse is Verdict.YES:
                        return aspect, instead, inner.name
    return None


def _owner(form: FormReader, name: str) -> tuple[FormReader, str]:
    """Return the form or part a lamp belongs to, and its name there."""
    part, _, rest = name.partition(".")
    return _owner(form.parts[part], rest) if part in form.parts else (form, name)


def _without(form: FormReader, display: Mapping[str, str], name: str, lamp: WiredLamp, left: str) -> Iterator[Reading]:
    """Yield what is read if a mixed lamp that is lit shows only the colour that is left."""
    *way, colour = display.get(name, "dark").split()
    if lamp.many and colour == lamp.colour and left in form.anatomy.lamps[name].colours:
        yield form.read({**display, name: " ".join((*way, left))})
    if not lamp.many and colour != "dark":
        others = {key: state for key, state in display.items() if key != name}
        for other, record in form.anatomy.lamps.items():
            if record.colours == (left,):
                yield form.read({**others, other: display[name]})
