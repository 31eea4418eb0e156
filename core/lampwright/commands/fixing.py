"""``lampwright check --fix``: mends files, or shows how they would be mended."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.output import say, write
from lampwright.words import counted

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lampwright.mending import Mended
    from lampwright.project import Result

    Examine = Callable[[Mapping[str, str]], Result]


def fixed(result: Result, examine: Examine, *, unsafe: bool, show: bool) -> Result:
    """Mend the files of a run, or with ``show`` only say how; return what is found afterwards."""
    from lampwright.mending import mend

    mended = mend(result, examine, unsafe=unsafe)
    if show:
        _show(result, mended)
    else:
        _save(result, mended)
    _tell(mended, show=show)
    return result if show else mended.result


def _show(before: Result, mended: Mended) -> None:
    """Print what would change."""
    from lampwright.edits import difference

    for file, text in sorted(mended.texts.items()):
        write(difference(before.documents[file].text, text, file))


def _save(before: Result, mended: Mended) -> None:
    """Write the mended files: all of them or none."""
    from lampwright.edits import CannotWrite, Written, save

    try:
        save([Written(Path(file), before.documents[file].text, text) for file, text in sorted(mended.texts.items())])
    except CannotWrite as error:
        raise click.ClickException(str(error)) from error


def _tell(mended: Mended, *, show: bool) -> None:
    """Say what was mended, and what was not and why."""
    would = "would be mended" if show else "mended"
    files = f" in {counted(len(mended.texts), 'file')}" if mended.texts else ""
    say(f"lampwright: {counted(len(mended.made), 'finding')} {would}{files}")
    reasons: dict[str, list[str]] = {}
    for finding, fix, why in mended.refused:
        reasons.setdefault(why, []).append(f"{finding.message} ({fix.title})")
    for why, refused in reasons.items():
        more = f", and {len(refused) - 1:,} more" if len(refused) > 1 else ""
        say(f"lampwright: not mended: {refused[0]}{more}: {why}")
