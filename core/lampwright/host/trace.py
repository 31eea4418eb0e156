"""Showing every hook call as it happens."""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    import pluggy


def trace(manager: pluggy.PluginManager, write: Callable[[str], object]) -> None:
    """From now on ``write`` one line as a hook of a plugin is called and one as it comes back, with the time taken."""
    started: list[float] = []

    def before(hook: str, plugins: Sequence[pluggy.HookImpl], _arguments: Mapping[str, Any]) -> None:
        write(f"hook {_whose(plugins)}.{hook}() is called")
        started.append(perf_counter())

    def after(
        outcome: pluggy.Result[Any], hook: str, plugins: Sequence[pluggy.HookImpl], _arguments: Mapping[str, Any]
    ) -> None:
        taken = (perf_counter() - started.pop()) * 1000
        write(f"hook {_whose(plugins)}.{hook}() {_came_to(outcome)} ({taken:.1f} ms)")

    manager.add_hookcall_monitoring(before, after)


def _whose(plugins: Sequence[pluggy.HookImpl]) -> str:
    return ", ".join(plugin.plugin_name for plugin in plugins)


def _came_to(outcome: pluggy.Result[Any]) -> str:
    if outcome.exception is not None:
        return f"raised {outcome.exception!r}"
    answer = (outcome.get_result() or [None])[0]
    size = f" of {len(answer)}" if hasattr(answer, "__len__") else ""
    return f"returned {type(answer).__name__}{size}"
