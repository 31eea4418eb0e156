"""What a check is: one class whose docstring is its whole documentation."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from msgspec import Struct

from lampwright.findings import Finding, Level

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from types import ModuleType

    from lampwright.findings import Citation, Fix, Path, Spot


class Scope(Struct, frozen=True):
    """What a check looks at, one subject at a time.

    ``of`` is ``plan`` or ``rulebook``; ``subjects`` returns, from a layout or a rulebook, things with a ``path``.
    """

    name: str
    of: str
    subjects: Callable[[Any], Iterable[Any]]


PLAN = Scope("plan", "plan", lambda layout: (layout,))
SIGNAL = Scope("signal", "plan", lambda layout: layout.signals.values())
RULEBOOK = Scope("rulebook", "rulebook", lambda rulebook: (rulebook,))


def that_say(*keys: str) -> Scope:
    """Return the scope of the signals that say something under one of some keys, or have it from one they are like.

    A check that could find nothing on other signals need not look at them: large plans are full of such signals.
    """
    return Scope("signal", "plan", lambda layout: layout.that_say(keys))


class Check:
    """Looks at one subject and yields a finding for everything wrong with it.

    The docstring says, in this order: what it finds (first line), why it matters, ``Wrong:`` and ``Right:`` examples,
    limits. Each example is a whole plan or rulebook, indented by four more spaces, and is run as a test: a wrong one
    says ``# expect: rule-name "part of the message"`` for every finding it gets.
    """

    name: ClassVar[str] = ""
    """The wrong pattern in kebab-case; reads well after ``allow``."""
    level: ClassVar[Level] = Level.ERROR
    scope: ClassVar[Scope] = SIGNAL
    needs: ClassVar[tuple[str, ...]] = ()
    """Checks that must have found nothing on a subject (or on what it belongs to) for this one to look at it."""
    sources: ClassVar[tuple[str, ...]] = ()
    """Why the rule exists at all, where no datum of a rulebook says so."""

    def missing(self, whole: Any) -> str:  # noqa: ARG002  (most checks ask for nothing)
        """Return why the check cannot run on a layout or rulebook at all, as in ``no year given``; empty if it can."""
        return ""

    def look(self, subject: Any) -> Iterator[Finding]:
        """Yield what is wrong with one subject."""
        raise NotImplementedError

    def finding(  # noqa: PLR0913  (each part of a finding is said where it is made)
        self,
        message: str,
        spot: Spot,
        *,
        related: Iterable[Spot] = (),
        citations: Iterable[Citation] = (),
        because: str = "",
        tip: str = "",
        level: Level | None = None,
        fixes: Iterable[Fix] = (),
    ) -> Finding:
        """Return a finding of this check; a datum known from memory alone makes it a note."""
        made = Finding(
            self.name, level or self.level, message, spot, tuple(related), tuple(citations), because, tip, tuple(fixes)
        )
        return made.weighed()


class Skip(Struct, frozen=True):
    """A check that did not look, where, and why: another check's name, or what was not given."""

    check: str
    path: Path
    reason: str
    file: str = ""


def defined_in(package: ModuleType) -> list[type[Check]]:
    """Return every check class in the modules of a package, so that a new class is all a new check needs."""
    from importlib import import_module
    from pkgutil import iter_modules

    names = sorted(module.name for module in iter_modules(package.__path__))
    modules = [import_module(f"{package.__name__}.{name}") for name in names]
    found = [item for module in modules for item in vars(module).values() if isinstance(item, type)]
    return [
        item for item in found if issubclass(item, Check) and item.name and item.__module__.startswith(package.__name__)
    ]
