"""The plugin host: what plugins may bring, and how they are found, loaded and asked."""

from lampwright.host.host import Host
from lampwright.host.markers import hookimpl
from lampwright.host.records import PluginFailure, PluginInfo

__all__ = ["Host", "PluginFailure", "PluginInfo", "hookimpl"]
