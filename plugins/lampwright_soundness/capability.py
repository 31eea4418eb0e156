"""What forms can give: every aspect on some form, every form some aspect, nothing named that cannot be shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks import patterns
from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.names_in_conditions import each
from lampwright.words import did_you_mean, listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form


class UnshowableAspect(Check):
    """Finds an aspect that a form is said to give, or to rest at, and has no display for.

    `gives`, `optional`, `rest`, `failsafe` and the couplings of a post name aspects; what they are made of stands in
    `shows`, or follows from what an aspect shows on every form with its lamps. Without a display the name means
    nothing.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          clear: {says: {authority: proceed}}
          caution: {shows: yellow, says: {authority: proceed, stop-at: next}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, clear: green}
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            rest: caution                  # expect: unshowable-aspect "two-aspect rests at caution"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          clear: {says: {authority: proceed}}
          caution: {shows: yellow, says: {authority: proceed, stop-at: next}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, clear: green}
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            rest: danger

    Limits: `in-doubt` may name any aspect, for it is read and not shown.
    """

    name = "unshowable-aspect"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Look for a display of everything that is named."""
        told: set[tuple[Spot, str]] = set()
        for name, form in subject.forms.items():
            whole = reader(subject, name)
            gives = list(dict.fromkeys(meaning.aspect for meaning in whole.meanings))
            for aspect, path, what in (*_named(form), *_forced(subject, form)):
                part, _, plain = aspect.rpartition(".")
                able = list(whole.parts[part].gives) if part else gives
                spot = subject.spot("forms", name, *path)
                if plain not in able and (spot, aspect) not in told:
                    told.add((spot, aspect))
                    message = f"{name} {what} {plain}, and has no display for it"
                    yield self.finding(message, spot, tip=did_you_mean(plain, able, "the aspects it can give"))


class FormWithoutAspects(Check):
    """Finds a form that can show nothing that means anything.

    No display of an aspect fits its lamps or heads: the names differ, a head stands a step too far down, or the aspects
    of its mount are missing.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        notation: {R: red, G: green}
        aspects:
          stop: {patterns: R/R, says: {authority: stop}}
          clear: {patterns: G/R, says: {authority: proceed}}
        order: [[stop, clear]]
        forms:
          high: {heads: {top: {letters: GR, at: [0, 1]}, bottom: {letters: GR, at: [0, 0]}}}
          dwarf: {heads: {only: {letters: GR, at: [0, 0]}}}              # expect: form-without-aspects "dwarf"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        notation: {R: red, G: green}
        aspects:
          stop: {patterns: [R/R, R], says: {authority: stop}}
          clear: {patterns: [G/R, G], says: {authority: proceed}}
        order: [[stop, clear]]
        forms:
          high: {heads: {top: {letters: GR, at: [0, 1]}, bottom: {letters: GR, at: [0, 0]}}}
          dwarf: {heads: {only: {letters: GR, at: [0, 0]}}}

    Limits: one display is enough.
    """

    name = "form-without-aspects"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Ask every form."""
        for name, form in subject.forms.items():
            if not form.parts and not reader(subject, name).meanings:
                yield self.finding(f"{name} can show no aspect", subject.spot("forms", name, on_key=True))


class AspectOnNoForm(Check):
    """Finds an aspect that no form can give.

    It is never shown, so nothing that is said of it is of use; most often a form of that time is missing, or the
    aspect names a lamp that no form has.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}   # expect: aspect-on-no-form "caution"
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
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
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}

    Limits: a pattern of an aspect that fits no form is told by itself.
    """

    name = "aspect-on-no-form"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("form-without-aspects", "ambiguous-display", "misread-display")

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Collect what forms can give."""
        given = {
            aspect for name, form in subject.forms.items() if not form.parts for aspect in reader(subject, name).gives
        }
        for aspect in subject.aspects if subject.forms else ():
            if aspect not in given:
                yield self.finding(f"no form can give {aspect}", subject.spot("aspects", aspect, on_key=True))


class PatternOnNoForm(Check):
    """Finds a pattern of an aspect that the heads of no form can show.

    A book prints all the ways an aspect can look. If a form for one of them is missing, or hangs its heads otherwise,
    that way can never be read.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        notation: {R: red, G: green, Y: yellow}
        aspects:
          stop: {patterns: [R/R], says: {authority: stop}}
          clear: {patterns: [G/R, G/R/R], says: {authority: proceed}}    # expect: pattern-on-no-form "G/R/R"
        order: [[stop, clear]]
        forms:
          high: {heads: {top: {letters: GR, at: [0, 1]}, bottom: {letters: GR, at: [0, 0]}}}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        notation: {R: red, G: green, Y: yellow}
        aspects:
          stop: {patterns: [R/R], says: {authority: stop}}
          clear: {patterns: [G/R], says: {authority: proceed}}
        order: [[stop, clear]]
        forms:
          high: {heads: {top: {letters: GR, at: [0, 1]}, bottom: {letters: GR, at: [0, 0]}}}

    Limits: an aspect of whose patterns none fits is told as one that no form can give.
    """

    name = "pattern-on-no-form"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("form-without-aspects", "aspect-on-no-form")

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Try every pattern on every form with heads."""
        for name, aspect in subject.aspects.items():
            for mount, texts in aspect.patterns.items():
                if lost := [text for text in texts if not _fits_somewhere(subject, mount, text)]:
                    on = f" of a {mount} signal" if mount else ""
                    spot = subject.spot("aspects", name, "patterns", *([mount] if mount else []))
                    what = "patterns" if len(lost) > 1 else "pattern"
                    yield self.finding(f"no form can show the {what} {listed(lost)} of {name}{on}", spot)


def _named(form: Form) -> Iterator[tuple[str, Path, str]]:
    """Yield the aspects that a form without parts names, with the place and the way it does."""
    if form.parts:
        return
    yield from ((aspect, path, "gives") for path, aspect in each(("gives",), form.gives))
    yield from ((aspect, path, "has as optional") for path, aspect in each(("optional",), form.optional))
    rest = form.rest.items() if isinstance(form.rest, dict) else [("", form.rest)]
    for mode, aspect in rest:
        if aspect not in (None, DARK):
            yield str(aspect), ("rest", mode) if mode else ("rest",), "rests at"
    if form.failsafe not in ("", DARK):
        yield form.failsafe, ("failsafe",), "falls to"


def _forced(rulebook: Rulebook, form: Form) -> Iterator[tuple[str, Path, str]]:
    """Yield the aspects that couplings force on the parts of a post, as ``main.danger``."""
    for number, coupling in enumerate(form.coupling):
        for key, forced in (("then", coupling.then), ("else", coupling.otherwise)):
            for part, aspect in forced.items():
                if part in form.parts and aspect != DARK and aspect in rulebook.aspects:
                    yield f"{part}.{aspect}", ("coupling", number, key, part), f"forces on {part}"


def _fits_somewhere(rulebook: Rulebook, mount: str, text: str) -> bool:
    """Tell whether a form can show a pattern, or gives another aspect for it."""
    return any(
        form.heads
        and (not mount or form.mount == mount)
        and (elements := patterns.elements(rulebook, reader(rulebook, name).anatomy, text)) is not None
        and reader(rulebook, name).anatomy.lit(elements) is not None
        for name, form in rulebook.forms.items()
    )
