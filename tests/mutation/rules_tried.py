"""Tries mutants: a warm process that has collected the tests forks for each, and runs those that reach the change.

Runners that start pytest for each mutant import, collect and run for 4 s, and there are thousands. Here a change in
a function gets into use as the code of that very function, wherever it has been imported to. What is run on import
is tried in a process that has not imported anything of ours yet, with the changed module in its place.
"""

from __future__ import annotations

import gc
import os
import resource
import signal
import sys
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from multiprocessing import Pipe
from types import CodeType, FrameType, FunctionType
from typing import TYPE_CHECKING, Any, Final

import pytest
from _pytest.tmpdir import tmppath_result_key

from mutation.rules_made import mutants

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from multiprocessing.connection import Connection
    from pathlib import Path

    from mutation.rules_made import Mutant

FOUND, SURVIVED, TIMED_OUT = 0, 1, 2
MEMORY: Final = 3 << 30
PACKAGES: Final = ("core", "plugins")
Place = tuple[str, int]
"""A file and a line that was run."""
Live = dict[str, list[FunctionType]]
"""The functions of a file that are in use, by name."""


@dataclass(frozen=True)
class Reach:
    """What a test runs, and for how long."""

    seconds: float
    places: frozenset[Place]

    def within(self, path: Path, lines: range) -> int:
        """Return how many of some lines it runs."""
        return sum((str(path), line) in self.places for line in lines)


def tried(paths: Sequence[Path], tests: Sequence[str], longest: float) -> Iterator[tuple[Mutant, int]]:
    """Yield what comes of every mutant of some files, tried by tests that take no longer than so many seconds."""
    ours, theirs = Pipe(duplex=False)
    child = os.fork()
    if not child:
        warm = Warm(paths, theirs, longest)
        os._exit(pytested(tests, warm))
    theirs.close()
    later: list[tuple[Mutant, list[tuple[str, str]]]] = []
    with suppress(EOFError):
        while True:
            match ours.recv():
                case str(said):
                    raise RuntimeError(said)
                case mutant, int(outcome):
                    yield mutant, outcome
                case mutant, near:
                    later.append((mutant, near))
    if os.waitpid(child, 0)[1]:
        raise RuntimeError(f"pytest could not be run over {' '.join(tests)}")
    for mutant, near in later:
        yield mutant, outcome_of(lambda m=mutant, t=near: imported(m, t))[0]  # type: ignore[misc]


def pytested(tests: Sequence[str], plugin: object) -> int:
    """Run pytest in this process, without a word."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    return int(pytest.main(["-q", "-x", "-p", "no:cacheprovider", *tests], plugins=[plugin]))


class Warm:
    """A plugin of pytest that runs, instead of the tests, every mutant."""

    def __init__(self, paths: Sequence[Path], out: Connection, longest: float) -> None:
        self.paths, self.out, self.longest = paths, out, longest
        self.early: set[Place] = set()
        sys.settrace(watch(self.early, paths))

    def pytest_collection_modifyitems(self) -> None:
        """Let nothing be random."""
        settled()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try them all. What has been read for one test is kept for all mutants, unless the reader may be changed."""
        sys.settrace(None)
        kept = all("plugins" in path.parts for path in self.paths)
        try:
            reach = measured(session.items, self.paths) if kept else apart(session.items, self.paths)
        except RuntimeError as trouble:
            self.out.send(str(trouble))
            return True
        quick = [item for item in session.items if reach[item.nodeid].seconds <= self.longest]
        live = {path: functions(path) for path in self.paths}
        gc.collect()
        gc.freeze()
        for path in self.paths:
            self.module(path, live[path], [(item, reach[item.nodeid]) for item in quick])
        return True

    def module(self, path: Path, live: Live, items: Sequence[tuple[pytest.Item, Reach]]) -> None:
        """Try the mutants of a module. Tests that found others come first, then those that run most of the function."""
        hits: Counter[str] = Counter()
        for mutant in mutants(path):
            near = [(item, at) for item, at in items if at.within(path, mutant.lines)]
            near.sort(key=lambda one: (-hits[one[0].nodeid], -one[1].within(path, mutant.body), one[1].seconds))
            if mutant.function not in live or any((str(path), line) in self.early for line in mutant.lines):
                self.out.send(
                    (mutant, [(str(item.path), item.nodeid) for item, at in items if str(path) in dict(at.places)])
                )
                continue
            outcome, by = outcome_of(lambda m=mutant, n=near: swapped(m, n, live))  # type: ignore[misc]
            hits.update([near[by][0].nodeid] if outcome == FOUND and near else [])
            self.out.send((mutant, outcome))


class Only:
    """A plugin of pytest that runs the tests named."""

    def __init__(self, names: set[str]) -> None:
        self.names = names

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave the others out."""
        settled()
        items[:] = [item for item in items if item.nodeid in self.names]


def settled() -> None:
    """Let hypothesis try the same each time."""
    from hypothesis import settings

    settings.register_profile("mutation", derandomize=True, database=None, deadline=None)
    settings.load_profile("mutation")


def watch(seen: set[Place], paths: Sequence[Path]) -> Callable[[FrameType, str, object], Any]:
    """Return a trace function that notes which lines of some files are run."""
    files = {str(path) for path in paths}

    def call(frame: FrameType, event: str, arg: object) -> Any:
        del event, arg
        return line if frame.f_code.co_filename in files else None

    def line(frame: FrameType, event: str, arg: object) -> Any:
        del event, arg
        seen.add((frame.f_code.co_filename, frame.f_lineno))
        return line

    return call


def measured(items: Sequence[pytest.Item], paths: Sequence[Path]) -> dict[str, Reach]:
    """Run every test once; return what each reaches. One that fails unchanged is an error."""
    found = {}
    for item in items:
        seen: set[Place] = set()
        start = time.process_time()
        sys.settrace(watch(seen, paths))
        failed = fails(item)
        sys.settrace(None)
        if failed:
            raise RuntimeError(f"fails without any change: {item.nodeid}")
        found[item.nodeid] = Reach(time.process_time() - start, frozenset(seen))
    return found


def apart(items: Sequence[pytest.Item], paths: Sequence[Path]) -> dict[str, Reach]:
    """Do so in a fork, so that nothing of it is kept here."""
    ours, theirs = Pipe(duplex=False)
    child = os.fork()
    if not child:
        theirs.send(measured(items, paths))
        os._exit(0)
    theirs.close()
    told: dict[str, Reach] = ours.recv()
    os.waitpid(child, 0)
    return told


def fails(item: pytest.Item) -> bool:
    """Run one test, leaving nothing set up behind it; tell whether it fails. How is not written: that takes long."""
    state = item.session._setupstate  # noqa: SLF001
    item.stash[tmppath_result_key] = {}
    try:
        item._initrequest()  # type: ignore[attr-defined]  # noqa: SLF001
        state.setup(item)
        item.runtest()
    except pytest.skip.Exception:
        return False
    except BaseException:  # noqa: BLE001  (a test may fail by anything)
        return True
    finally:
        state.teardown_exact(None)
    return False


def functions(path: Path) -> Live:
    """Return the functions of a file that are alive, by name, whatever wraps them."""
    found: Live = {}
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and thing.__code__.co_filename == str(path):
            found.setdefault(thing.__code__.co_qualname, []).append(thing)
    return found


def swapped(mutant: Mutant, order: Sequence[tuple[pytest.Item, Reach]], live: Live) -> tuple[int, int]:
    """Give a function its changed code, and run tests until one fails; say which."""
    code = compile(mutant.source, str(mutant.path), "exec", dont_inherit=True)
    made = next(one for one in codes(code) if one.co_qualname == mutant.function)
    for function in live[mutant.function]:
        function.__code__ = made
    for number, (item, reach) in enumerate(order):
        limited(2 + 10 * reach.seconds)
        if fails(item):
            return FOUND, number
    return SURVIVED, 0


def codes(code: CodeType) -> Iterator[CodeType]:
    """Yield a code and what it holds."""
    yield code
    for held in code.co_consts:
        if isinstance(held, CodeType):
            yield from codes(held)


def imported(mutant: Mutant, tests: Sequence[tuple[str, str]]) -> tuple[int, int]:
    """Import the changed module where the original would be, and run tests, said by file and name, until one fails."""
    sys.meta_path.insert(0, Instead(mutant))
    limited(600)
    ended = pytested(list(dict(tests)), Only({name for _, name in tests})) if tests else pytest.ExitCode.OK
    return SURVIVED if ended == pytest.ExitCode.OK else FOUND, 0


class Instead:
    """A finder of modules that has one: the changed one."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant
        parts = mutant.path.with_suffix("").parts
        start = max(len(parts) - parts[::-1].index(name) for name in PACKAGES if name in parts)
        self.name = ".".join(part for part in parts[start:] if part != "__init__")

    def find_spec(self, name: str, path: object = None, target: object = None) -> ModuleSpec | None:
        """Return the changed module."""
        del path, target
        if name != self.name:
            return None
        return spec_from_file_location(name, self.mutant.path, loader=Changed(self.mutant, name))


class Changed(SourceFileLoader):
    """Loads the changed text in place of the file's."""

    def __init__(self, mutant: Mutant, name: str) -> None:
        super().__init__(name, str(mutant.path))
        self.mutant = mutant

    def get_code(self, fullname: str) -> CodeType:
        """Return the changed module."""
        del fullname
        return compile(self.mutant.source, str(self.mutant.path), "exec", dont_inherit=True)


def limited(seconds: float) -> None:
    """Let this process be ended if it takes more time of the processor, and give it no more memory than there is."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_PROF, seconds)


def outcome_of(job: Callable[[], tuple[int, int]]) -> tuple[int, int]:
    """Do a job in a fork; return what it returns, or that its time was up. One that falls over has found something."""
    ours, theirs = os.pipe()
    child = os.fork()
    if not child:
        with suppress(BaseException):
            os.write(theirs, "{} {}".format(*job()).encode())
        os._exit(0)
    os.close(theirs)
    with os.fdopen(ours) as told:
        said = told.read().split()
    _, ended = os.waitpid(child, 0)
    if os.WIFSIGNALED(ended) and os.WTERMSIG(ended) == signal.SIGPROF:
        return TIMED_OUT, 0
    return (int(said[0]), int(said[1])) if said else (FOUND, 0)
