"""The hooks: what a plugin may bring, and what it owes in return.

A plugin is a module (or an object) that states ``lampwright_api = 1``, is offered as an entry point in the group
``lampwright``, and answers any of these hooks with functions marked ``@lampwright.host.hookimpl``. Common to all:

- A hook takes no arguments, and is called at most once in a run, when its answer is first needed. Import late what
  only some commands use.
- Every plugin is asked by itself: first the kernel's own, then Lampwright's, then all others by name. All answers
  count. The first to bring a name keeps it; a second one is a failure of the plugin that came later.
- A hook that raises, returns nothing, or returns something else than it says here becomes one error finding that
  names the plugin. What was right in the same answer still counts, and so do all other plugins.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host.markers import hookspec

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    import click

    from lampwright.checks import Check
    from lampwright.page import PagePart
    from lampwright.reports import Reporter


@hookspec
def rulebooks() -> Iterable[Path]:
    """Return folders that hold rulebooks: in each, one folder a rulebook, named by its id, with a ``rulebook.yaml``.

    The folders must exist and are only read as data. Of two rulebooks with one id, that of the first plugin counts.
    """
    raise NotImplementedError


@hookspec
def parts() -> Iterable[Path]:
    """Return folders that hold data of parts: every ``*.yaml`` in them begins with ``parts: 1``.

    The folders must exist and are only read as data. Of two parts of one kind and name, that of the first plugin
    counts; what uses the data says which kinds there are.
    """
    raise NotImplementedError


@hookspec
def checks() -> Iterable[type[Check]]:
    """Return check classes, each with a name of its own; one is made from nothing, as ``Name()``.

    When a check runs follows from what it needs; the order of this list means nothing.
    """
    raise NotImplementedError


@hookspec
def reporters() -> Mapping[str, Reporter]:
    """Return what can print a report, by the word the user gives to ``--format``.

    A reporter is a function of three arguments: what a run gave (``lampwright.project.Result``), a function that takes
    pieces of text, and the ``lampwright.reports.Options``. What it returns means nothing; if it raises, the run fails.
    """
    raise NotImplementedError


@hookspec
def commands() -> Iterable[click.Command]:
    """Return commands to stand beside ``lampwright check``; each has the name it is called by.

    What all commands of one call share, rulebooks and checks among it, is ``lampwright.commands.session_of(context)``.
    """
    raise NotImplementedError


@hookspec
def page_parts() -> Iterable[PagePart]:
    """Return what the plugin adds to the page that ``lampwright report`` makes of a plan, each with a name of its own.

    A part that raises when it is asked for its markup is left out, and the failure is told.
    """
    raise NotImplementedError
