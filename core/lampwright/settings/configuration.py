"""One configuration file: what it says, where, and what in it is wrong."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.findings import Finding, Level, Spot

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.documents import Document
    from lampwright.findings import Path as Steps
    from lampwright.layout import Settings

OFF = "off"
MOST = 50
"""Rules that are told of, if many are given a level they cannot have."""


class Configuration(Struct, frozen=True):
    """What one file says. ``folder`` is where its patterns and paths begin, ``section`` where it stands in the file.

    What is wrong in it is among ``findings`` and counts for nothing.
    """

    folder: Path = Path()
    document: Document | None = None
    section: Steps = ()
    values: Mapping[str, Any] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()

    @property
    def name(self) -> str:
        """The file, as it is shown to the user; empty if there is none."""
        return self.document.name if self.document else ""

    @property
    def year(self) -> str:
        """When plans are set that do not say it; empty if this says nothing either."""
        return str(self.values.get("year", ""))

    @property
    def rulebook(self) -> str:
        """The rulebook of plans that name none."""
        return str(self.values.get("rulebook", ""))

    @property
    def fail_on(self) -> Level:
        """The lowest level of a finding that fails a check."""
        return Level[str(self.values.get("fail-on", "error")).upper()]

    @property
    def levels(self) -> Mapping[str, str]:
        """Rules whose findings matter more or less here, or not at all (``off``)."""
        levels: Mapping[str, str] = self.values.get("levels", {})
        return levels

    @property
    def rulebooks(self) -> list[Path]:
        """Folders of rulebooks, or of several."""
        return [self.folder / name for name in self.values.get("rulebooks", ())]

    def spot(self, *steps: str | int, on_key: bool = False) -> Spot:
        """Return where a setting stands."""
        return Spot(self.name, (*self.section, *steps), on_key=on_key)

    def settings(self, options: Settings) -> Settings:
        """Return what holds for a plan: the options of a call, then the plan, then this."""
        free = [key for key, option in (("year", options.year), ("rulebook", options.rulebook)) if not option]
        said = {key: self.spot(key) for key in free if key in self.values}
        return replace(options, usual_year=self.year, usual_rulebook=self.rulebook, said=said)

    def takes(self, file: Path) -> bool:
        """Tell whether a file that was found in a folder is one to look at."""
        include, exclude = self.values.get("include"), self.values.get("exclude")
        if include is None and exclude is None:
            return True
        from lampwright.settings.patterns import fits

        try:
            inside = Path(os.path.abspath(file)).relative_to(self.folder).as_posix()  # noqa: PTH100  (links stay)
        except ValueError:
            return True
        return (include is None or fits(include, inside)) and not fits(exclude or (), inside)


NONE = Configuration()
"""What holds where no file says anything."""


def unsettable(configuration: Configuration, known: set[str], settable: set[str]) -> Iterator[Finding]:
    """Yield a finding for each rule that is given a level and is not among ``known``, or is none that may be set."""
    wrong = [rule for rule in configuration.levels if rule not in known or rule not in settable]
    if len(wrong) > MOST:
        message = f"{len(wrong) - MOST:,} more rules are given a level here that they cannot have"
        yield Finding("bad-setting", Level.ERROR, message, configuration.spot("levels", on_key=True))
    for rule in wrong[:MOST]:
        spot = configuration.spot("levels", rule, on_key=True)
        if rule not in known:
            from lampwright.words import nearest

            close = nearest(rule, known)
            tip = f"did you mean {close}?" if close else "`lampwright explain` lists the rules"
            yield Finding("bad-setting", Level.ERROR, f"there is no rule {rule}", spot, tip=tip)
        else:
            message = f"{rule} is always an error: where it is found, something has not been checked at all"
            yield Finding("bad-setting", Level.ERROR, message, spot, tip="take the line away")
