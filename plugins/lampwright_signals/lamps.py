"""The lamps of a signal as built: all there, of the right colours, in the right order, each with a use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.words import counted, listed, with_article
from lampwright_signals.built import Compared, Place, compared, ordinal, places
from lampwright_signals.displaying import NAMES_FIRST
from lampwright_signals.judging import judged
from lampwright_signals.respelling import built_spot, index_of, reordered, spelt
from lampwright_signals.saying import blanked, form_spot, kind, lamp_spot, short, taken_over, why_lamp

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.plans import BuiltLamp
    from lampwright.rulebooks.displays import FormReader


class MissingLamp(Check):
    """Finds a signal built with fewer lamps than its form has.

    A signal without one of its lamps cannot show what that lamp is for, or is of another form.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: [green, yellow, red]          # expect: missing-lamp "without its upper-yellow"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: [yellow, green, yellow, red]
          HF3:
            form: four-aspect
            blanked: upper-yellow
            lamps: [green, yellow, red]

    Limits: a list tells lamps by colour from the top down, a map by name. A blanked lamp may be listed or not.
    """

    name = "missing-lamp"
    scope = that_say("lamps")
    needs = ("unknown-lamp",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report all lamps left out as one finding."""
        form, missing = subject.reader, _compared(subject).missing
        if form is None or not missing:
            return
        names = [_lacking(form, place) for place in missing]
        first = missing[0].lamp
        yield self.finding(
            f"{subject.name} is built without {listed(names)}",
            subject.spot("lamps", on_key=True),
            related=(*form_spot(subject), *(lamp_spot(subject, first, "this lamp") if first else ())),
            citations=[one for place in missing if place.lamp for one in why_lamp(subject, place.lamp)],
            tip=_all_lamps(form),
        )


class SurplusLamp(Check):
    """Finds a signal built with more lamps than its form has.

    The lamp that is too many can never be lit by right, or the signal is of another form.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            lamps: [yellow, green, yellow, red]          # expect: surplus-lamp "one lamp more"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            lamps: [green, yellow, red]

    Limits: in a map of lamps one that is too many has no name in the form: that is an unknown-lamp. A junction
    indicator or a position light is not counted among the lamps of the head.
    """

    name = "surplus-lamp"
    scope = that_say("lamps")
    needs = ("unknown-lamp",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report all lamps that have no place as one finding."""
        form, surplus = subject.reader, _compared(subject).surplus
        if form is None or not surplus:
            return
        number = "one lamp" if len(surplus) == 1 else counted(len(surplus), "lamp")
        which = listed(f"the {ordinal(index_of(lamp) + 1)}, {lamp.colour}" for lamp in surplus)
        yield self.finding(
            f"{subject.name} is built with {number} more than {kind(form.name, form.form)} has: {which}",
            built_spot(subject, surplus[0]),
            related=form_spot(subject),
            citations=(form.rulebook.why("forms", form.name, "parts" if form.parts else "lamps"),),
            tip=_all_lamps(form),
        )


class WrongLampColour(Check):
    """Finds a lamp built in a colour that its place in the form does not have.

    Wrong colours read as other aspects, or as none.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            lamps: [green, white, red]           # expect: wrong-lamp-colour "second lamp is white"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            lamps: [green, yellow, red]

    Limits: this is about the lamps listed; the colour of an LED told beside a lamp is a matter of its wiring.
    """

    name = "wrong-lamp-colour"
    scope = that_say("lamps")
    needs = ("unknown-lamp",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report all lamps of a wrong colour as one finding."""
        form, wrong = subject.reader, _compared(subject).wrong
        if form is None or not wrong:
            return
        lamp, place = wrong[0]
        said = listed(f"{_built(subject, one)} is {one.colour}, not {there.colour}" for one, there in wrong)
        yield self.finding(
            f"{subject.name} has lamps of the wrong colour for {kind(form.name, form.form)}: {said}",
            built_spot(subject, lamp),
            related=(*form_spot(subject), *(lamp_spot(subject, place.lamp, "this lamp") if place.lamp else ())),
            citations=[one for _, there in wrong if there.lamp for one in why_lamp(subject, there.lamp)],
            tip=_all_lamps(form),
            fixes=spelt(subject, form, wrong),
        )


class WrongLampOrder(Check):
    """Finds lamps built in another order from the top than the form has.

    The order is not chance: red stands nearest the driver's eye, at the bottom of a head on a post and at the top of
    one on the ground; the two yellows of a four-aspect head are kept apart so that they do not run into one.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: [green, yellow, yellow, red]          # expect: wrong-lamp-order "green, yellow, yellow and red"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            lamps: [yellow, green, yellow, red]

    Limits: for forms whose lamps are one column; names in a map say nothing of the order.
    """

    name = "wrong-lamp-order"
    scope = that_say("lamps")
    needs = ("unknown-lamp",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Report the order as built, with the exchange that mends it."""
        form, order = subject.reader, _compared(subject).order
        built = subject.entry.lamps or ()
        if form is None or not order:
            return
        wrong = [index for index, lamp in enumerate(built) if lamp.colour != order[index].colour]
        first, *others = wrong
        yield self.finding(
            f"{subject.name} has its lamps in the wrong order for {kind(form.name, form.form)}: "
            f"{listed(lamp.colour for lamp in built)} from the top",
            subject.spot("lamps", first, label=f"{order[first].colour} belongs here"),
            related=(
                *(subject.spot("lamps", index, label=f"{order[index].colour} belongs here") for index in others),
                *form_spot(subject),
            ),
            citations=[one for index in wrong for one in why_lamp(subject, order[index].lamp, "at")],
            tip=_mend([lamp.colour for lamp in built], order),
            fixes=reordered(subject, [lamp.colour for lamp in built], order),
        )


class UnusedLamp(Check):
    """Finds a lamp that no aspect of the signal lights.

    Either an aspect is not defined, or the lamp is not needed: then the form is another one, or the place is blanked.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            gives: [danger, caution, clear]      # expect: unused-lamp "upper-yellow"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: four-aspect
            gives: [danger, caution, clear]
            blanked: upper-yellow

    Limits: displays that ``shows`` does not define are the rulebook's. A lens is one lamp, whatever colours it has.
    """

    name = "unused-lamp"
    level = Level.WARNING
    needs = (
        *NAMES_FIRST,
        "impossible-combination",
        "display-of-another-aspect",
        "display-of-a-fault",
        "same-display-twice",
        "nothing-lit",
        "flashing-steady-aspect",
    )

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the lamps of the form with what is lit for all aspects together."""
        form, entry = subject.reader, subject.entry
        if form is None or not (entry.gives or form.name in subject.layout.plan.forms):
            return
        if taken_over(subject, "form", "shows", "gives", "blanked", "rulebook", "regime", "year"):
            return
        used = _lit(subject, form) | blanked(subject)
        dark = [lamp for lamp in _needed(subject, form) if lamp not in used]
        key = next((key for key in ("gives", "shows") if getattr(entry, key)), "")
        if dark and (key or subject is _first_of(subject)):
            yield self.finding(
                f"{subject.name} lights {listed(short(form, lamp) for lamp in dark)} for no aspect",
                subject.spot(key or "form", on_key=bool(key)),
                related=lamp_spot(subject, dark[0], "never lit"),
                tip=_plated(dark),
            )


def _plated(dark: list[str]) -> str:
    """Say what to write of lamps that nothing lights."""
    if len(dark) == 1:
        return f"say `blanked: {dark[0]}` if the place is plated over, or use a form without it"
    return f"say `blanked: [{', '.join(dark)}]` if the places are plated over, or use a form without them"


def _compared(signal: BoundSignal) -> Compared:
    """Compare the lamps as built with the form's, unless the signal it is like has them all and the form too."""
    if signal.entry.lamps is None or taken_over(signal, "form", "lamps", "blanked", "rulebook", "year"):
        return Compared()
    return compared(signal)


def _lacking(form: FormReader, place: Place) -> str:
    """Return what a place that got no lamp is called: ``its upper-yellow``, ``yellow in its lens``, ``a yellow``."""
    if not place.lamp:
        return with_article(place.colour)
    name = f"its {short(form, place.lamp)}"
    return f"{place.colour} in {name}" if place.colour and _several(form, place.lamp) else name


def _several(form: FormReader, lamp: str) -> bool:
    """Tell whether a lamp has several colours."""
    return sum(place.lamp == lamp for place in places(form)) > 1


def _all_lamps(form: FormReader) -> str:
    """Return the lamps a form has, as a tip."""
    down = form.column
    if down is not None:
        return f"from the top: {', '.join(colour for _, colour in down)}"
    colours = {lamp: [place.colour for place in places(form) if place.lamp == lamp] for lamp in form.lamps}
    names = {lamp: short(form, lamp) for lamp in colours}
    told = [names[lamp] + (f" ({listed(own, 'or')})" if own != [names[lamp]] else "") for lamp, own in colours.items()]
    return f"its lamps are {listed(told)}"


def _built(signal: BoundSignal, lamp: BuiltLamp) -> str:
    """Return what a lamp as built is called: ``the second lamp``, or its name."""
    return f"the {ordinal(index_of(lamp) + 1)} lamp" if signal.entry.listed else lamp.name


def _mend(built: list[str], order: tuple[Place, ...]) -> str:
    """Say what to exchange, and the order that results."""
    wanted = [place.colour for place in order]
    whole = f"from the top: {', '.join(wanted)}"
    wrong = [index for index, colour in enumerate(wanted) if built[index] != colour]
    if len(wrong) == 2:  # noqa: PLR2004  (one exchange)
        one, other = (f"the {ordinal(index + 1)} ({built[index]})" for index in wrong)
        return f"exchange {one} and {other}; {whole}"
    if built == wanted[::-1]:
        return f"turn the list over: it begins at the top; {whole}"
    return whole


def _lit(signal: BoundSignal, form: FormReader) -> set[str]:
    """Return the lamps that any aspect lights: the plan's displays, and the rulebook's for all others."""
    own = {f"{one.part}.{one.aspect}" if one.part else one.aspect: one for one in judged(signal)}
    lit: set[str] = set()
    for aspect in dict.fromkeys((*form.gives, *own)):
        if signal.entry.gives and aspect.rpartition(".")[2] not in signal.entry.gives:
            continue
        if aspect in own:
            start = f"{own[aspect].part}." if own[aspect].part else ""
            lit |= {f"{start}{lamp}" for lamp in own[aspect].lamps}
        else:
            lit |= {name for display in form.displays(aspect) for name, state in display.items() if state != "dark"}
    return lit


def _needed(signal: BoundSignal, form: FormReader) -> Iterable[str]:
    """Return the lamps a signal must have a use for: of a rulebook's form those it lights, of the plan's own all."""
    if form.name in signal.layout.plan.forms:
        return form.lamps
    lit = {name for aspect in form.gives for display in form.displays(aspect) for name in display}
    return [lamp for lamp in form.lamps if lamp in lit]


def _first_of(signal: BoundSignal) -> BoundSignal:
    """Return the first signal of the plan with the same form: what is wrong with the form alone is said once."""
    return next(other for other in signal.layout.signals.values() if other.form_name == signal.form_name)
