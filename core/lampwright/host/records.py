"""What the host knows of a plugin: where it comes from, what it brings, how it failed."""

from __future__ import annotations

from msgspec import Struct


class Entry(Struct, frozen=True):
    """A plugin as a distribution offers it: ``name = target``, not yet imported."""

    name: str
    target: str
    distribution: str
    version: str

    def load(self) -> object:
        """Import the plugin and return it; raises whatever the import raises."""
        from importlib import import_module  # built-in plugins are there already

        module, _, attributes = self.target.partition(":")
        plugin: object = import_module(module)
        for attribute in filter(None, attributes.split(".")):
            plugin = getattr(plugin, attribute)
        return plugin


class PluginInfo(Struct, frozen=True):
    """A plugin that was loaded, from which file, and the hooks it answers."""

    name: str
    version: str
    distribution: str
    location: str
    hooks: tuple[str, ...]


class PluginFailure(Struct, frozen=True):
    """A plugin, or a part of what it should have brought, that is missing from this run, and why.

    ``version`` and ``distribution`` are empty if nothing of that name is installed.
    """

    plugin: str
    version: str
    distribution: str
    cause: str
    tip: str = ""
