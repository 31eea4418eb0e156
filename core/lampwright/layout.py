"""A plan bound to its rulebook and years: what checks look at."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.findings import Finding, Path, Spot
from lampwright.identify import Identified, identify
from lampwright.intake import unknown_names
from lampwright.rulebooks import RulebookFaults, with_forms
from lampwright.rulebooks.displays import FormReader, reader
from lampwright.years import Years

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lampwright.library import Library
    from lampwright.plans import Plan, Signal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form


class Settings(Struct, frozen=True):
    """What the user set for the whole run; it takes the place of what plans say.

    ``usual_year`` and ``usual_rulebook`` are for plans that do not say it; ``said`` is where that is written, by the
    key that such a plan lacks.
    """

    year: str = ""
    rulebook: str = ""
    usual_year: str = ""
    usual_rulebook: str = ""
    said: Mapping[str, Spot] = field(default_factory=dict)


class Layout:
    """One plan with the rulebook it follows, the years it is set in, and its signals bound to both.

    ``path`` is the plan's root. ``others`` are the plans read beside it, by the name of their file.
    """

    path: Path = ()

    def __init__(
        self,
        plan: Plan,
        library: Library,
        settings: Settings | None = None,
        others: Mapping[str, Plan] | None = None,
    ) -> None:
        """Bind the plan; what the settings say takes the place of what it says itself."""
        settings = settings or Settings()
        self.plan = plan
        self.library = library
        self.others = others or {}
        self.rulebook_name = settings.rulebook or plan.rulebook or settings.usual_rulebook
        self.year_text = settings.year or plan.year or settings.usual_year
        self.settings = settings
        self.findings: list[Finding] = []
        self.cache: dict[Any, Any] = {}  # for what several checks need and one works out
        self._books: dict[str, Rulebook | None] = {}
        self.rulebook = self.book(self.rulebook_name)
        self.signals = {name: BoundSignal(self, signal) for name, signal in plan.signals.items()}

    @cached_property
    def years(self) -> Years | None:
        """The years the plan is set in: a year, a span, or an era of its rulebook; None if not said or not known."""
        return years_of(self.year_text, self.rulebook)

    @cached_property
    def reached_from_others(self) -> frozenset[str]:
        """The signals and ends of the plan that routes of other plans lead to."""
        here = f"{self.plan.stem}/"
        names = (name for other in self.others.values() for name in other.leads_out if name.startswith(here))
        return frozenset(name.removeprefix(here) for name in names)

    def that_say(self, keys: Sequence[str]) -> Iterable[BoundSignal]:
        """Return the signals that say something under one of some keys, in the order of the plan."""
        first, *others = (self._saying.get(key, {}) for key in keys)
        if not others:
            return first.values()
        names = {name for saying in (first, *others) for name in saying}
        return [signal for name, signal in self.signals.items() if name in names]

    @cached_property
    def _saying(self) -> Mapping[str, Mapping[str, BoundSignal]]:
        """The signals that say something, by key, whether they say it themselves or have it from one they are like."""
        found: dict[str, dict[str, BoundSignal]] = {}
        entries = self.plan.values.get("signals") or {}
        for name, signal in self.signals.items():
            entry = signal.entry
            keys = entry.inherited.keys() | (entries.get(name) or {}).keys() | ({"routes"} if entry.routes else set())
            for key in keys:
                found.setdefault(key, {})[name] = signal
        return found

    def book(self, name: str) -> Rulebook | None:
        """Return a rulebook with the plan's own forms in it; None if it is unknown or cannot be used."""
        if name not in self._books:
            self._books[name] = self._with_own_forms(self.library.get(name) if name else None)
        return self._books[name]

    def spot(self, *path: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return a place in the plan's file; for what is said for many plans, the place where that is."""
        if path and path[0] in self.settings.said and path[0] not in self.plan.values:
            return replace(self.settings.said[str(path[0])], label=label)
        return Spot(self.plan.file, path, label, on_key)

    def _with_own_forms(self, rulebook: Rulebook | None) -> Rulebook | None:
        """Add the forms the plan defines; if they are wrong, say so and go on without them."""
        if rulebook is None or not self.plan.forms:
            return rulebook
        try:
            return with_forms(rulebook, self.plan.forms, self.plan.file)
        except RulebookFaults as error:
            self.findings += unknown_names(error)
            return rulebook


class BoundSignal:
    """One signal of a layout with its rulebook and form.

    ``form_name`` is empty if the form is neither given nor told by the lamps as built.
    """

    def __init__(self, layout: Layout, entry: Signal) -> None:
        """Bind the signal to its own rulebook, or to the plan's."""
        self.layout = layout
        self.entry = entry
        self.name = entry.name
        self.path = entry.path
        self.rulebook = layout.book(entry.rulebook) if entry.rulebook else layout.rulebook
        self.cache: dict[Any, Any] = {}  # for what several checks need and one works out

    def __repr__(self) -> str:
        """Return the signal's name and form."""
        return f"BoundSignal({self.name}, {self.form_name or 'no form'})"

    @cached_property
    def years(self) -> Years | None:
        """The years the signal stands in: its own, or the plan's."""
        own = "" if self.layout.settings.year else self.entry.year
        return years_of(own, self.rulebook) if own else self.layout.years

    @cached_property
    def identified(self) -> Identified | None:
        """What the lamps as built say of the form; None if the plan names the form or tells no lamps."""
        if self.entry.form or self.entry.lamps is None or self.rulebook is None:
            return None
        return identify(self.rulebook, self.entry, self.years)

    @cached_property
    def form_name(self) -> str:
        """The form, as given or as the lamps tell it without doubt."""
        if self.entry.form:
            known = self.rulebook is not None and self.entry.form in self.rulebook.forms
            return self.entry.form if known else ""
        return self.identified.forms[0] if self.identified and len(self.identified.forms) == 1 else ""

    @property
    def form(self) -> Form | None:
        """The form's record, if the form is known."""
        return self.rulebook.forms[self.form_name] if self.rulebook is not None and self.form_name else None

    @cached_property
    def reader(self) -> FormReader | None:
        """What reads the signal's displays in its years; None if its form is not known."""
        if self.rulebook is None or not self.form_name:
            return None
        return reader(self.rulebook, self.form_name, self.years, self.entry.regime)

    def spot(self, *steps: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return the place of something the signal says, or of the signal itself."""
        return Spot(self.layout.plan.file, self.entry.at(*steps), label, on_key or not steps)

    def element(self, name: str) -> str:
        """Return the full name of a lamp or head, ``main.red`` for ``red`` if one part has it, or an empty text."""
        return full_name(self.reader, name) if self.reader else ""

    @cached_property
    def indicators(self) -> tuple[str, ...]:
        """The indicators the form may carry, its parts' included; those the plan says it carries come first."""
        if self.rulebook is None or self.form is None:
            return ()
        forms = [self.form, *(self.rulebook.forms[part.form] for part in self.form.parts.values())]
        allowed = dict.fromkeys(indicator for form in forms for indicator in form.indicators)
        carried = {item.name.partition(".")[0] for item in self.entry.carries or ()}
        return tuple(sorted(allowed, key=lambda name: name not in carried))

    def indicator(self, name: str) -> tuple[str, str] | None:
        """Return the indicator and position that ``position-1``, ``junction`` or ``junction.position-1`` mean here."""
        if self.rulebook is None:
            return None
        first, _, position = name.partition(".")
        if first in self.indicators and (not position or position in self.rulebook.indicators[first].positions):
            return first, position
        for indicator in self.indicators:
            if name in self.rulebook.indicators[indicator].positions:
                return indicator, name
        return None


def years_of(text: str, rulebook: Rulebook | None) -> Years | None:
    """Return the years a plan means: a year, a span, or an era of the rulebook; None if not said or not known."""
    if rulebook is not None and (era := rulebook.eras.get(text)) is not None:
        text = str(era["years"] if isinstance(era, dict) else era)
    try:
        return Years.parse(text)
    except ValueError:
        return None


def full_name(form: FormReader, name: str) -> str:
    """Return the full name of a lamp, head or box of a form, or an empty text if it has none of that name."""
    if not form.parts:
        known: Any = (form.anatomy.lamps, form.anatomy.faces, form.anatomy.others)
        return name if any(name in names for names in known) else ""
    part, _, rest = name.partition(".")
    if part in form.parts and rest:
        inner = full_name(form.parts[part], rest)
        return f"{part}.{inner}" if inner else ""
    found = [f"{part}.{inner}" for part, item in form.parts.items() if (inner := full_name(item, name))]
    return found[0] if len(found) == 1 else ""
