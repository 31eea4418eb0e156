"""The aspects a signal is said to show: known, within what its form can give, and complete."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import Check, that_say
from lampwright.findings import Fix, Level
from lampwright.rulebooks.displays import reader
from lampwright.words import CAP, did_you_mean, listed
from lampwright_signals.displaying import NAMES_FIRST
from lampwright_signals.judging import Verdict, found, judged, standing
from lampwright_signals.saying import blanked, form_spot, kind, owner, short_aspect, taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader


class UnknownAspect(Check):
    """Finds a name in ``shows`` or ``gives`` that is no aspect of the rulebook.

    What stands under a name nobody knows is compared with nothing.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows:
              danger: red
              claer: green               # expect: unknown-aspect "claer"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: two-aspect-stop
            shows: {danger: red, clear: green}

    Limits: an aspect goes by its name in the rulebook; a code (YY) or a trade name is told what that is.
    """

    name = "unknown-aspect"
    scope = that_say("shows", "gives")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each name that is no aspect."""
        form = subject.reader
        if form is None:
            return
        for said, name, spot in _named(subject, Verdict.UNKNOWN):
            coined = _coined(form.rulebook, name)
            tip = f"the rulebook calls it {coined}" if coined else did_you_mean(name, _gives(form), "its aspects")
            message = f"{subject.name} {said} {name}, which is no aspect of {form.rulebook.id}"
            yield self.finding(message, spot, related=form_spot(subject), tip=tip)


class AspectBeyondForm(Check):
    """Finds an aspect in ``shows`` or ``gives`` that the signal's form cannot give.

    A three-aspect signal has one yellow: whatever lights up, it can never be a preliminary caution.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows:
              danger: red
              caution: yellow
              preliminary-caution: yellow        # expect: aspect-beyond-form "a three-aspect signal cannot give"
              clear: green

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            shows:
              danger: red
              caution: lower-yellow
              preliminary-caution: [upper-yellow, lower-yellow]
              clear: green

    Limits: what a form can give is what its displays in the rulebook say, read back; the plan cannot add to it but by
    a form of its own under ``forms``.
    """

    name = "aspect-beyond-form"
    scope = that_say("shows", "gives")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report each aspect that the form cannot give in any year."""
        form = subject.reader
        if form is None:
            return
        for said, name, spot in _named(subject, Verdict.BEYOND):
            able = listed(_able(form, name.rpartition(".")[2]), "or")
            yield self.finding(
                f"{subject.name} {said} {name}, which {kind(form.name, form.form)} cannot give",
                spot,
                related=form_spot(subject),
                citations=(form.rulebook.why("forms", form.name, "shows"),),
                tip=f"it can give {listed(_gives(form))}" + (f"; {name} needs {able}" if able else ""),
            )


class MissingAspect(Check):
    """Finds an aspect that the form must be able to show and that ``shows`` leaves out.

    Whoever writes down a signal's displays mostly means all of them; one that is left out is never lit. It is a
    warning, since ``shows`` may also hold only what differs.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            shows:                       # expect: missing-aspect "does not say how it shows caution"
              danger: red
              clear: green

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            gives: [danger, clear]
            blanked: yellow
            shows: {danger: red, clear: green}

    Limits: an aspect that the rulebook calls optional need not be shown, nor one that needs a blanked lamp; ``gives``
    says which aspects a signal is meant to give. Whether the layout needs an aspect is asked of its routes elsewhere.
    """

    name = "missing-aspect"
    level = Level.WARNING
    scope = that_say("shows")
    needs = (
        *NAMES_FIRST,
        "impossible-combination",
        "display-of-another-aspect",
        "same-display-twice",
        "nothing-lit",
        "flashing-steady-aspect",
    )

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the aspects shown with those the form must show."""
        form = subject.reader
        if form is None or not subject.entry.shows:
            return
        if taken_over(subject, "form", "shows", "gives", "blanked", "rulebook", "regime", "year"):
            return
        shown = {f"{one.part}.{one.aspect}" if one.part else one.aspect for one in judged(subject)}
        left_out = [aspect for aspect in form.gives if aspect not in shown and _required(subject, form, aspect)]
        if left_out:
            yield self._left_out(subject, form, left_out)

    def _left_out(self, signal: BoundSignal, form: FormReader, aspects: list[str]) -> Finding:
        """Return the finding, with the displays to be added."""
        from lampwright.edits import Change  # only what is wrong pays for it
        from lampwright.edits.notation import flow

        names = [short_aspect(form, aspect) for aspect in aspects]
        paths = [("forms", owner(signal, aspect)[0], "shows", owner(signal, aspect)[1]) for aspect in aspects]
        added = ", ".join(
            f"{name}: {flow(display_as_written(form, aspect))}" for name, aspect in zip(names, aspects, strict=True)
        )
        shows = (*signal.path, "shows")
        skeleton = tuple(
            (signal.layout.plan.file, Change.add(shows, name, display_as_written(form, aspect)))
            for name, aspect in zip(names, aspects, strict=True)
        )
        return self.finding(
            f"{signal.name} does not say how it shows {listed(names)}",
            signal.spot("shows", on_key=True),
            related=(*form_spot(signal), form.rulebook.spot(*paths[0], label=f"the rulebook's {names[0]}")),
            citations=tuple(form.rulebook.why(*path) for path in paths),
            tip=f"add {added}; or say under `gives` which aspects it is meant to give",
            fixes=[Fix(f"add {added}", skeleton)],
        )


def _named(signal: BoundSignal, verdict: Verdict) -> Iterator[tuple[str, str, Spot]]:
    """Yield the aspects in ``shows`` and ``gives`` of one verdict: what the plan does with it, its name, its place."""
    for one in found(signal, verdict):
        yield "shows", one.shown.aspect, signal.spot("shows", one.shown.aspect, on_key=True)
    if signal.reader is None or taken_over(signal, "form", "gives", "rulebook"):
        return
    for index, name in enumerate(signal.entry.gives):
        if standing(signal, signal.reader, name) is verdict:
            yield "gives", name, signal.spot("gives", index)


def _required(signal: BoundSignal, form: FormReader, aspect: str) -> bool:
    """Tell whether a signal must be able to show one of the aspects that its form can give."""
    part, _, name = aspect.rpartition(".")
    wanted, covered = signal.entry.gives, blanked(signal)
    if name not in wanted if wanted else name in form.parts.get(part, form).form.optional:
        return False
    return any(not covered & display.keys() for display in form.displays(aspect))


def _gives(form: FormReader) -> list[str]:
    """Return what a form can give, by the names a plan would use."""
    return [short_aspect(form, aspect) for aspect in form.gives]


def _able(form: FormReader, aspect: str) -> list[str]:
    """Return the forms of the same duty that can give an aspect."""
    alike = [name for name, other in form.rulebook.forms.items() if other.roles == form.form.roles]
    return [name for name in alike if aspect in reader(form.rulebook, name, form.years).gives][:CAP]


def _coined(rulebook: Rulebook, word: str) -> str:
    """Return the aspect that goes by a code or another name, in whatever case and spacing."""
    plain = word.casefold().replace("-", " ")
    for name, aspect in rulebook.aspects.items():
        others = (aspect.code, aspect.name, *aspect.alternative_names.values())
        if plain in (other.casefold().replace("-", " ") for other in others if other):
            return name
    return ""


def display_as_written(form: FormReader, aspect: str) -> Any:
    """Return the rulebook's display of an aspect as a plan would say it."""
    display = form.displays(aspect)[0]
    if not display:
        return "dark"
    if set(display.values()) <= {"lit"}:
        return list(display) if len(display) != 1 else next(iter(display))
    return dict(display)
