"""What all commands of one call share: the plugins, the rulebooks and the checks, each loaded when first asked for."""

from __future__ import annotations

import os
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.host import Host

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from lampwright.checks import Check
    from lampwright.documents import Document
    from lampwright.engine import Raised, Tell
    from lampwright.findings import Finding
    from lampwright.layout import Settings
    from lampwright.library import Library
    from lampwright.project import Result, Source
    from lampwright.settings import Configuration, Configurations

LIMIT = "LAMPWRIGHT_PLUGINS"
"""Variable of the environment that names the plugins to load."""


class Session:
    """The plugins of one call with what they bring; ``trace`` gets a line for every hook call."""

    def __init__(self, trace: Callable[[str], object] | None = None) -> None:
        self._trace = trace
        self._left_out: list[Finding] = []
        self._offered: list[Configuration] = []
        self._nowhere: list[Finding] = []

    @cached_property
    def host(self) -> Host:
        """The plugin host, with the kernel's own plugin and all that are installed."""
        from lampwright import builtin

        host = Host.load([builtin], os.environ.get(LIMIT))
        if self._trace:
            host.trace(self._trace)
        return host

    @cached_property
    def library(self) -> Library:
        """The rulebooks and parts data of all plugins."""
        from lampwright.library import Library

        rulebooks = (folder for _, folder in self.host.rulebook_dirs())
        made = Library(rulebooks, parts=(folder for _, folder in self.host.parts_dirs()))
        self._offer(made, self.configurations.within(Path()))
        return made

    @cached_property
    def configurations(self) -> Configurations:
        """What configuration files say, each read when a file is looked at for which it holds."""
        from lampwright.settings import Configurations

        return Configurations()

    @cached_property
    def checks(self) -> list[Check]:
        """The checks of all plugins in the order in which they run; those that cannot run are left out."""
        from lampwright.engine import UnknownPrerequisite, in_order
        from lampwright.failures import left_out

        usable = self.host.checks()
        while True:
            try:
                return in_order(usable)
            except UnknownPrerequisite as trouble:
                self._left_out.append(left_out(trouble))
                usable = [check for check in usable if check.name not in trouble.checks]

    def anew(self) -> Session:
        """Return a session of the same plugins that has read nothing yet."""
        again = Session(self._trace)
        again.host = self.host
        return again

    @property
    def troubles(self) -> list[Finding]:
        """A finding for every plugin that failed so far, and for checks that had to be left out."""
        from lampwright.failures import failed_plugin

        return [*map(failed_plugin, self.host.failures), *self._left_out]

    def examine(  # noqa: PLR0913  (what a run may be told)
        self,
        sources: Iterable[Source],
        settings: Settings,
        *,
        allow: bool = True,
        configure: bool = True,
        tell: Tell | None = None,
        share: bool = False,
    ) -> Result:
        """Run all checks over files; what failed in a plugin is among the findings.

        Unless ``allow``, comments that allow findings count for nothing; unless ``configure``, nor do configurations.
        ``tell`` is told how far the work is. With ``share`` other processes may help.
        """
        from lampwright.project import Run
        from lampwright.settings.judging import judge

        sources = list(sources)
        run = Run(self.library, self.checks, settings, self._blame, allow=allow, tell=tell)
        run.share = share
        run.by_file = self.configured(sources, settings) if configure else {}
        troubles = self.troubles  # before the run: a check that fails in it has a finding of its own
        result = run.over(sources)
        if configure:
            judge(result, self.configurations, [check.name for check in self.checks])
            result.findings += self.misconfigured
            result.documents.update(self.configuration_documents)
        result.findings += troubles
        return result

    def configured(self, sources: Iterable[Source], settings: Settings) -> dict[str, Settings]:
        """Return the settings of each file, what its configuration says included; let its rulebooks be found."""
        by_file: dict[str, Settings] = {}
        for name, _ in sources:
            if (found := self.configurations.of(name)).document:
                self._offer(self.library, found)
                by_file[name] = found.settings(settings)
        return by_file

    @property
    def misconfigured(self) -> list[Finding]:
        """What is wrong in the configurations that were met so far."""
        return [finding for found in self.configurations.read for finding in found.findings] + self._nowhere

    @property
    def configuration_documents(self) -> dict[str, Document]:
        """The configuration files that were met so far, by the names that findings give."""
        return {found.name: found.document for found in self.configurations.read if found.document}

    def _offer(self, library: Library, found: Configuration) -> None:
        """Let the rulebooks of a configuration be found; once for each."""
        if found in self._offered:
            return
        self._offered.append(found)
        from lampwright.settings.rulebooks import offered

        self._nowhere += offered(library, found)

    def _blame(self, raised: Raised, file: str, more: int) -> Finding:
        """Return the finding of a check that raised."""
        from lampwright.failures import failed_check

        failure = self.host.raised("checks", raised.check, raised.error)
        return failed_check(failure, file, raised.path, more)
