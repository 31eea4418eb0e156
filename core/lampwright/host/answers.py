"""What a hook's answer must be, and what is wrong with one that is not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable

Item = tuple[str, Any]
"""One thing a plugin brings, and the name no other may have."""


class Kind(Struct, frozen=True):
    """What a hook hands over: in words, for one and for several; how to tell; what names it."""

    one: str
    several: str
    fits: Callable[[Any], bool]
    name: Callable[[Any], str]


def _is_check(item: object) -> bool:
    from lampwright.checks import Check, Scope  # whoever brings a check has them already
    from lampwright.findings import Level

    if not isinstance(item, type) or not issubclass(item, Check) or item.__init__ is not object.__init__:
        return False
    stated = ((item.name, str), (item.level, Level), (item.scope, Scope), (item.needs, tuple))
    return item.name != "" and all(isinstance(value, kind) for value, kind in stated)


def _is_command(item: object) -> bool:
    from click import Command  # whoever brings a command has it already

    return isinstance(item, Command) and isinstance(item.name, str)


def _is_part(item: object) -> bool:
    from lampwright.page import PagePart, Place  # whoever brings a part has it already

    if not isinstance(item, PagePart) or not isinstance(item.place, Place):
        return False
    named = isinstance(item.name, str) and item.name.replace("-", "").isalnum() and item.name.isascii()
    return named and callable(item.html) and isinstance(item.order, int)


def _is_folder(item: object) -> bool:
    return isinstance(item, Path) and item.is_dir()


def _is_reporter(item: tuple[object, object]) -> bool:
    name, function = item
    return isinstance(name, str) and callable(function) and _takes_three(function)


def _takes_three(function: Callable[..., object]) -> bool:
    from inspect import signature  # pluggy has it already

    try:
        signature(function).bind(None, None, None)
    except TypeError:
        return False
    except ValueError:  # written in C and silent about its arguments
        return True
    return True


KINDS = {
    "rulebooks": Kind("folder", "paths of folders that exist", _is_folder, str),
    "parts": Kind("folder", "paths of folders that exist", _is_folder, str),
    "checks": Kind("check", "classes of Check with a name", _is_check, lambda item: str(item.name)),
    "reporters": Kind("reporter", "a map of names to reporters", _is_reporter, lambda item: str(item[0])),
    "page_parts": Kind("part of the page", "parts of the page", _is_part, lambda item: str(item.name)),
    "commands": Kind("command", "click commands with a name", _is_command, lambda item: str(item.name)),
}
"""By hook: see ``hookspecs``."""


def sift(hook: str, answers: object) -> tuple[list[Item], str]:
    """Return the items in one plugin's answer that are what the hook asks for, and the complaint about the rest.

    ``answers`` is what pluggy makes of it: a list of one, or of none if the plugin returned None. The complaint is
    empty if there is nothing to complain about. Reading the answer may run code of the plugin, and so may raise.
    """
    kind = KINDS[hook]
    if not isinstance(answers, list) or len(answers) != 1:
        return [], f"{hook}() returned nothing, not {kind.several}"
    answer = answers[0]
    wanted = Mapping if hook == "reporters" else Iterable
    if not isinstance(answer, wanted) or isinstance(answer, str):
        return [], f"{hook}() returned {_shown(answer)}, not {kind.several}"
    found = list(answer.items() if isinstance(answer, Mapping) else answer)
    wrong = [_shown(item) for item in found if not kind.fits(item)]
    complaint = f"{hook}() returned {', '.join(wrong)} among {kind.several}" if wrong else ""
    return [(kind.name(item), item) for item in found if kind.fits(item)], complaint


def _shown(item: object) -> str:
    from reprlib import repr as shortened  # only a wrong answer is shown

    return shortened(item)
