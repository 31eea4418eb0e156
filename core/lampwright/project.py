"""One run: files in, models, layouts and checks, findings out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from lampwright import engine
from lampwright.findings import Finding, Level, Spot
from lampwright.hands import hands, shared
from lampwright.intake import build_plan, build_rulebook, read_document
from lampwright.layout import Layout
from lampwright.library import FILE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from lampwright.checks import Check, Skip
    from lampwright.documents import Document
    from lampwright.layout import Settings
    from lampwright.library import Library
    from lampwright.plans import Plan
    from lampwright.rulebooks import Rulebook
    from lampwright.rules import Rule

    Blame = Callable[[engine.Raised, str, int], Finding]
    """Makes a finding of a check that raised, in a file, and how often it raised besides."""

READING = "reading"
Source = tuple[str, "Path | bytes"]
"""A file as it is shown to the user, and where its bytes are."""


class Result(Struct):
    """Everything a report needs: findings, the documents they stand in, and what was looked at.

    ``documents`` are by the name that a finding's spot gives; one that could not be read has lines at most.
    ``allowed`` counts the findings left out because a comment allows them, ``known`` those that a baseline holds,
    ``off`` those whose rules the configuration has switched off. ``unshown`` are found like the others and not to be
    printed, for there are very many of their kind. ``brought`` are the checks that were to run.
    """

    findings: list[Finding] = field(default_factory=list)
    skips: list[Skip] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)
    layouts: list[Layout] = field(default_factory=list)
    rulebooks: list[Rulebook] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    checks: int = 0
    allowed: int = 0
    known: int = 0
    off: int = 0
    brought: Sequence[Check] = ()
    unshown: list[Finding] = field(default_factory=list)

    def rule(self, name: str) -> Rule | None:
        """Return a rule with its manual; None if nobody knows it."""
        from lampwright.manual import manual
        from lampwright.rules import RULES, Rule

        check = next((check for check in self.brought if check.name == name), None)
        return Rule(name, manual(type(check)), check.level) if check else RULES.get(name)

    def worst(self) -> Level | None:
        """Return the highest level found."""
        return max((finding.level for finding in self.findings), default=None)


class Run:
    """Reads files, builds what they hold, and runs the checks over it."""

    def __init__(  # noqa: PLR0913  (what a run is made of, each with a name)
        self,
        library: Library,
        checks: Sequence[Check],
        settings: Settings,
        blame: Blame | None = None,
        *,
        allow: bool = True,
        tell: engine.Tell | None = None,
    ) -> None:
        """Begin with nothing read; ``checks`` are in the order of their prerequisites.

        ``by_file`` may be given other settings for single files, by name; with ``share`` other processes may help.
        What a check raises becomes the finding that ``blame`` makes of it; without ``blame`` it is raised. Unless
        ``allow``, comments that allow findings count for nothing. ``tell`` is told how far the work is.
        """
        self.tell = tell or engine.untold
        self.library = library
        self.checks = checks
        self.settings = settings
        self.blame = blame
        self.allow = allow
        self.by_file: Mapping[str, Settings] = {}
        self.result = Result(brought=checks)
        self.share = False
        self._known = 0
        self._raised: dict[str, list[tuple[str, engine.Raised]]] = {}

    def over(self, sources: Iterable[Source]) -> Result:
        """Examine files. Rulebooks come before plans, so that a plan beside one can follow it."""
        named = list(sources)
        opened = [
            document
            for done, (name, source) in enumerate(named)
            if (document := self._open(name, source, done, len(named))) is not None
        ]
        for document in opened:
            if document.kind == "rulebook":
                self._rulebook(document)
            elif document.kind != "plan":
                self.result.findings.append(_neither(document))
        plans = [plan for document in opened if document.kind == "plan" and (plan := self._plan(document))]
        by_name = {plan.stem: plan for plan in sorted(plans, key=lambda plan: plan.file)}
        layouts = [self._layout(plan, by_name) for plan in plans]
        self._known = len(self.library.documents)
        self._plans(layouts)
        self._blame()
        self.result.documents.update(self.library.documents)
        self.result.findings += self.library.findings
        self._sift()
        return self.result

    def _sift(self) -> None:
        """Leave out what comments in the files allow."""
        if self.allow and any("lampwright:" in document.text for document in self.result.documents.values()):
            from lampwright.rules import RULES
            from lampwright.sifting import allow

            allow(self.result, {*RULES, *(check.name for check in self.checks)})

    def _open(self, name: str, source: Path | bytes, done: int, of: int) -> Document | None:
        """Read one file, or keep the findings that say why not."""
        self.tell(f"{READING} {name}", done, of)
        self.result.files.append(name)
        document, findings = read_document(source, name)
        self.result.findings += findings
        self.result.documents[name] = document
        if findings:
            self._withdraw(name, "")
            return None
        return document

    def _plan(self, document: Document) -> Plan | None:
        """Build one plan, or keep the findings that say why not."""
        plan, findings = build_plan(document)
        self.result.findings += findings
        return plan

    def _rulebook(self, document: Document) -> None:
        """Build one rulebook, check it, and let plans follow it."""
        rulebook, findings = build_rulebook(document, self.library)
        self.result.findings += findings
        if rulebook is None:
            self._withdraw(document.name, str(document.values.get("id", "")))
            return
        self.library.add(rulebook)
        self.result.rulebooks.append(rulebook)
        self._keep(engine.run(self.checks, rulebook, "rulebook", document.name, self.tell), document.name)

    def _withdraw(self, file: str, name: str) -> None:
        """Let no plan of this run follow a rulebook that cannot be used: by its id, or else by its folder."""
        path = Path(file)
        if name or path.name == FILE:
            self.library.withdraw(name or path.parent.name, path)

    def _layout(self, plan: Plan, by_name: dict[str, Plan]) -> Layout:
        """Bind one plan."""
        others = {name: other for name, other in by_name.items() if other is not plan}
        layout = Layout(plan, self.library, self.by_file.get(plan.file, self.settings), others)
        self.result.layouts.append(layout)
        self.result.findings += layout.findings
        return layout

    def _plans(self, layouts: Sequence[Layout]) -> None:
        """Check plans, if there is much to do by several processes."""
        size = sum(len(self.result.documents[layout.plan.file].text) for layout in layouts)
        many = hands(size, len(layouts)) if self.share else 1
        look = self._looked_at
        outcomes = map(look, layouts) if many == 1 else shared(layouts, look, self._whole, many)
        for layout, outcome in zip(layouts, outcomes, strict=True):
            self._keep(outcome, layout.plan.file)

    def _looked_at(self, layout: Layout) -> engine.Outcome:
        """Run the checks over one plan."""
        return engine.run(self.checks, layout, "plan", layout.plan.file, self.tell)

    def _whole(self, outcome: engine.Outcome) -> bool:
        """Tell whether all that running checks has come to is in its outcome: nothing raised, and nothing was read."""
        before, self._known = self._known, len(self.library.documents)
        return not outcome.raised and self._known == before

    def _keep(self, outcome: engine.Outcome, file: str) -> None:
        """Add what one run of checks gave."""
        self.result.findings += outcome.findings
        self.result.skips += outcome.skips
        self.result.checks = max(self.result.checks, outcome.ran)
        for raised in outcome.raised:
            if self.blame is None:
                raise raised.error
            self._raised.setdefault(raised.check, []).append((file, raised))

    def _blame(self) -> None:
        """Make one finding of every check that raised, however often it did."""
        for (file, first), *more in self._raised.values():
            if self.blame is not None:
                self.result.findings.append(self.blame(first, file, len(more)))


def _neither(document: Document) -> Finding:
    """Say that a file is neither a plan nor a rulebook."""
    message = f"{document.name} is neither a plan nor a rulebook"
    tip = "a plan begins with `plan: 1`, a rulebook with `rulebook: 1`"
    return Finding("unknown-kind", Level.ERROR, message, Spot(document.name, ()), tip=tip)
