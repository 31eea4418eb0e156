"""Boxes and plates: what they are to show can be shown, and something carries them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks.contents import characters, figures, unshowable
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import fits
from lampwright.words import listed
from lampwright_soundness.reading import shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning
    from lampwright.rulebooks.model import Indicator

STATES = frozenset({"lit", "dark", "flash", "present", "absent"})
"""What an aspect may ask of a box without saying what is on it."""


class ImpossibleContent(Check):
    """Finds a content that a box cannot show, or a box that can show nothing.

    A display asks for a figure, character, bar or position that its indicator does not have; the span of figures or the
    list of characters is empty; or an aspect takes its speed from a box or plate that has no speeds.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow:
            shows: {green: lit, speed: "12"}                   # expect: impossible-content "12 in speed"
            says: {authority: proceed, speed-now: speed}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        indicators:
          speed: {kind: figure, figures: 1..9, times: 10 km/h, colour: white, proved: true}
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            indicators: speed

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          slow: {shows: {green: lit, speed: lit}, says: {authority: proceed, speed-now: speed}}
          clear: {says: {authority: proceed}}
        order: [[danger, slow, clear]]
        indicators:
          speed: {kind: figure, figures: 1..9, times: 10 km/h, colour: white, proved: true}
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            indicators: speed

    Limits: figures and characters that are not said are not established, and then everything may be shown.
    """

    name = "impossible-content"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Look at the boxes, then at what displays and aspects ask of them."""
        for name, indicator in subject.indicators.items():
            for key, wrong in _empty(indicator):
                yield self.finding(f"{name} {wrong}", subject.spot("indicators", name, key))
        told: set[tuple[Spot, str]] = set()
        for form in (reader(subject, name) for name, form in subject.forms.items() if not form.parts):
            for meaning in form.meanings:
                for box, wrong, tip in _asked(form, meaning):
                    spot = shown_at(form, meaning)
                    if (spot, box) not in told:
                        told.add((spot, box))
                        yield self.finding(f"{meaning.aspect} is to be shown with {box}, {wrong}", spot, tip=tip)
        yield from self._speechless(subject)

    def _speechless(self, subject: Rulebook) -> Iterator[Finding]:
        """Yield a finding for every box or plate that is to tell a speed and has none."""
        for name, aspect in subject.aspects.items():
            for key in ("speed-now", "speed-next"):
                said = aspect.says.get(key)
                for item in said if isinstance(said, list) else [said]:
                    box = subject.indicators.get(str(item)) or subject.plates.get(str(item))
                    if box is not None and not box.times and not getattr(box, "shows", None):
                        message = f"{name} takes its speed from {item}, which has none"
                        tip = "a figure needs times, as in times: 10 km/h; bars need shows, as in {one-bar: 60 km/h}"
                        yield self.finding(message, subject.spot("aspects", name, "says", key), tip=tip)


class CarriedByNoForm(Check):
    """Finds an indicator or plate that no form may carry, or an indicator that may be lit with none of their aspects.

    A plan can never use it: a form lacks it among its `indicators` or `plates`, or `stands-with` asks for what those
    forms never show.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          clear: {says: {authority: proceed}}
        order: [[danger, clear]]
        indicators:
          arm: {kind: positions, positions: {left-arm: left}}          # expect: carried-by-no-form "arm"
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          clear: {says: {authority: proceed}}
        order: [[danger, clear]]
        indicators:
          arm: {kind: positions, positions: {left-arm: left}}
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            indicators: arm

    Limits: a plate that tells of a regime may hang on any form.
    """

    name = "carried-by-no-form"
    level = Level.WARNING
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Look for a form for everything that can be carried."""
        forms = subject.forms.values()
        told_by = {regime.told_by for regime in subject.regimes.values()}
        for name in subject.plates if forms else ():
            if name not in told_by and not any(name in form.plates for form in forms):
                yield self.finding(f"no form may carry the plate {name}", subject.spot("plates", name, on_key=True))
        for name, indicator in subject.indicators.items() if forms else ():
            carriers = [form for form, said in subject.forms.items() if name in said.indicators]
            if not carriers:
                spot = subject.spot("indicators", name, on_key=True)
                yield self.finding(f"no form may carry the indicator {name}", spot)
            elif indicator.stands_with is not None and not _stands(subject, carriers, indicator.stands_with):
                message = f"{name} may be lit with no aspect of {listed(carriers)}, which may carry it"
                yield self.finding(message, subject.spot("indicators", name, "stands-with"))


def _stands(rulebook: Rulebook, carriers: list[str], wanted: Any) -> bool:
    """Tell whether a form, or another part of a post that the form is part of, gives an aspect that is wanted."""
    posts = [
        [part.form for part in form.parts.values()]
        for name, form in rulebook.forms.items()
        if name in carriers or any(part.form in carriers for part in form.parts.values())
    ]
    names = {*carriers, *(name for post in posts for name in post)}
    given = {aspect for name in names for aspect in reader(rulebook, name).gives if not rulebook.forms[name].parts}
    return any(fits(rulebook, {"here": wanted}, {"here": aspect}) for aspect in given)


def _empty(indicator: Indicator) -> Iterator[tuple[str, str]]:
    """Yield the keys of an indicator that leave it nothing to show."""
    if indicator.figures and not all(figure.isdecimal() for figure in figures(indicator.figures) or ("none",)):
        yield "figures", f"has figures that are none: {indicator.figures}; expected something like 1..16 or 4 6 8"
    if indicator.characters and not characters(indicator.characters):
        yield "characters", f"has no characters in {indicator.characters}; expected something like A-Z 0-9"


def _asked(form: FormReader, meaning: Meaning) -> Iterator[tuple[str, str, str]]:
    """Yield what a display asks of a box that cannot show it: the box with its content, why, what would be right."""
    for name, state in meaning.tests:
        content = state.removeprefix("flash ").strip()
        indicator = form.rulebook.indicators.get(name)
        if indicator is not None and content not in STATES:
            for _, wrong, tip in unshowable(indicator, content):
                yield f"{content} in {name}", wrong, tip
