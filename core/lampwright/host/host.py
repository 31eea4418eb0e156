"""The host: loads plugins, asks each for what it brings, and keeps one's failure from stopping the others."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import pluggy

from lampwright import ANYTHING, API, __version__
from lampwright.host import hookspecs
from lampwright.host.answers import KINDS, Item, sift
from lampwright.host.installed import installed, leave_working_folder
from lampwright.host.markers import GROUP
from lampwright.host.records import Entry, PluginFailure, PluginInfo

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    import click

    from lampwright.checks import Check
    from lampwright.page import PagePart
    from lampwright.reports import Reporter


class Host:
    """The plugins of one run: none at first; ``Host.load`` is the usual way in."""

    def __init__(self) -> None:
        self._manager = pluggy.PluginManager(GROUP)
        self._manager.add_hookspecs(hookspecs)
        self._entries: dict[str, Entry] = {}
        self._answers: dict[str, dict[str, tuple[str, Any]]] = {}
        self._failures: list[PluginFailure] = []

    @classmethod
    def load(cls, builtins: Sequence[object] = (), limit: str | None = None) -> Host:
        """Return a host with the kernel's own plugins and those installed.

        ``limit`` is what LAMPWRIGHT_PLUGINS says: names with commas between, and of the installed plugins only these
        are loaded; None or an empty text means all. Never raises on a plugin's account: see ``failures``. From here
        on the process imports nothing from the working folder.
        """
        leave_working_folder()
        host = cls()
        for plugin in builtins:
            host._admit(_built_in(plugin), plugin)
        for entry in host._chosen(installed(), limit):
            host._admit(entry)
        return host

    @property
    def failures(self) -> tuple[PluginFailure, ...]:
        """What has failed so far. A hook fails when it is first asked, so look once all that is needed was asked."""
        return tuple(self._failures)

    @property
    def plugins(self) -> tuple[PluginInfo, ...]:
        """The plugins that were loaded, in the order in which they are asked."""
        return tuple(self._described(entry) for entry in self._entries.values())

    def checks(self) -> list[type[Check]]:
        """Return the check classes of all plugins; no two have one name."""
        return [item for _, item in self._ask_all("checks").values()]

    def rulebook_dirs(self) -> list[tuple[str, Path]]:
        """Return the folders that hold rulebooks, each with the name of the plugin that brings it."""
        return list(self._ask_all("rulebooks").values())

    def parts_dirs(self) -> list[tuple[str, Path]]:
        """Return the folders that hold data of parts, each with the name of the plugin that brings it."""
        return list(self._ask_all("parts").values())

    def reporters(self) -> dict[str, Reporter]:
        """Return the reporters of all plugins by name."""
        return dict(item for _, item in self._ask_all("reporters").values())

    def commands(self) -> list[click.Command]:
        """Return the commands of all plugins; no two have one name."""
        return [item for _, item in self._ask_all("commands").values()]

    def page_parts(self) -> list[PagePart]:
        """Return the parts of the page of all plugins; no two have one name."""
        return [item for _, item in self._ask_all("page_parts").values()]

    def bringer(self, hook: str, name: str) -> str:
        """Return the name of the plugin that brings the check, reporter or command called ``name``."""
        return self._ask_all(hook)[name][0]

    def raised(self, hook: str, name: str, error: BaseException) -> PluginFailure:
        """Record that something a hook brought raised when it was used, as a failure of the plugin it came from.

        ``name`` is the name of the check, the reporter or the command.
        """
        plugin, _ = self._ask_all(hook)[name]
        return self._blame(self._entries[plugin], f"the {KINDS[hook].one} {name} raised", error)

    def trace(self, write: Callable[[str], object]) -> None:
        """``write`` a line for each plugin and each failure there is, then for every hook call as it happens."""
        from lampwright.host.trace import trace  # only when it is asked for

        for plugin in self.plugins:
            write(f"loaded {plugin.name} {plugin.version} from {plugin.location}, hooks: {', '.join(plugin.hooks)}")
        for failure in self._failures:
            write(f"failed {failure.plugin} {failure.version}: {failure.cause}")
        trace(self._manager, write)

    def _chosen(self, entries: list[Entry], limit: str | None) -> list[Entry]:
        wanted = [name.strip() for name in (limit or "").split(",") if name.strip()]
        names = {entry.name for entry in entries}
        for name in wanted:
            if name not in names | set(self._entries):
                self._miss(name, names)
        return [entry for entry in entries if not wanted or entry.name in wanted]

    def _miss(self, name: str, names: set[str]) -> None:
        from lampwright.words import did_you_mean  # only a slip pays for it

        tip = did_you_mean(name, sorted(names), "the installed plugins")
        self._failures.append(PluginFailure(name, "", "", f"no plugin named {name} is installed", tip))

    def _admit(self, entry: Entry, plugin: object = None) -> None:
        """Load and register one plugin, or record why that cannot be."""
        if taken := self._entries.get(entry.name):
            self._fail(entry, f"the name {entry.name} is taken by the plugin of {taken.distribution} {taken.version}")
            return
        try:
            plugin = entry.load() if plugin is None else plugin
        except KeyboardInterrupt as stop:
            stop.add_note(f"while the plugin {entry.name} was imported")
            raise
        except ANYTHING as error:
            self._blame(entry, "cannot be imported:", error)
            return
        try:
            self._register(entry, plugin)
        except ANYTHING as error:
            if self._manager.has_plugin(entry.name):  # older pluggy keeps the hooks it took before it failed
                self._manager.unregister(name=entry.name)
            self._blame(entry, "cannot be used:", error)

    def _register(self, entry: Entry, plugin: object) -> None:
        stated = getattr(plugin, "lampwright_api", None)
        if type(stated) is not int or stated != API:
            needs = "states no number of the plugin API" if stated is None else f"needs plugin API {stated!r}"
            self._fail(entry, f"{needs}, and Lampwright {__version__} has plugin API {API}")
            return
        self._manager.register(plugin, entry.name)
        self._entries[entry.name] = entry
        for hook in self._hooks_of(plugin):
            if hook not in KINDS:
                self._unknown(entry, hook)

    def _unknown(self, entry: Entry, hook: str) -> None:
        from lampwright.words import did_you_mean  # only a slip pays for it

        self._fail(entry, f"answers a hook that does not exist, {hook}()", did_you_mean(hook, KINDS, "the hooks"))

    def _ask_all(self, hook: str) -> dict[str, tuple[str, Any]]:
        """Return by name what all plugins bring for a hook, each with the plugin's name; they are asked once."""
        if hook not in self._answers:
            brought = self._answers[hook] = {}
            for entry in self._entries.values():
                self._take(entry, hook, brought)
        return self._answers[hook]

    def _take(self, entry: Entry, hook: str, brought: dict[str, tuple[str, Any]]) -> None:
        for name, item in self._ask(entry, hook):
            if name in brought:
                self._fail(entry, f"the {KINDS[hook].one} {name} is already brought by {brought[name][0]}")
            else:
                brought[name] = (entry.name, item)

    def _ask(self, entry: Entry, hook: str) -> list[Item]:
        """Ask one plugin alone, so that what it raises says nothing about another."""
        plugin = self._manager.get_plugin(entry.name)
        if hook not in self._hooks_of(plugin):
            return []
        others = [other for name, other in self._manager.list_name_plugin() if name != entry.name]
        try:
            items, complaint = sift(hook, self._manager.subset_hook_caller(hook, others)())
        except KeyboardInterrupt as stop:
            stop.add_note(f"in {hook}() of the plugin {entry.name}")
            raise
        except ANYTHING as error:
            self._blame(entry, f"{hook}() raised", error)
            return []
        if complaint:
            self._fail(entry, complaint)
        return items

    def _hooks_of(self, plugin: object) -> list[str]:
        return [caller.name for caller in self._manager.get_hookcallers(plugin) or ()]

    def _blame(self, entry: Entry, what: str, error: BaseException) -> PluginFailure:
        from lampwright.host.causes import told  # only a failure pays for it

        return self._fail(entry, f"{what} {told(error)}")

    def _fail(self, entry: Entry, cause: str, tip: str = "") -> PluginFailure:
        failure = PluginFailure(entry.name, entry.version, entry.distribution, cause, tip)
        self._failures.append(failure)
        return failure

    def _described(self, entry: Entry) -> PluginInfo:
        plugin = self._manager.get_plugin(entry.name)
        module = sys.modules.get(getattr(plugin, "__module__", getattr(plugin, "__name__", "")))
        location = getattr(module, "__file__", None) or "memory"
        return PluginInfo(entry.name, entry.version, entry.distribution, location, tuple(self._hooks_of(plugin)))


def _built_in(plugin: object) -> Entry:
    name = str(getattr(plugin, "__name__", type(plugin).__name__))
    return Entry(name.rpartition(".")[2], name, GROUP, __version__)
