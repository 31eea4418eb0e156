"""Strikes a process at one of its system calls: kills it there, has the call fail, cuts a write short, or sends ^C.

The process is watched as a debugger does (``ptrace``), so that nothing of it is replaced and nothing is missed. Linux
on x86-64 alone: registers have other names elsewhere.
"""

from __future__ import annotations

import ctypes
import errno
import os
import platform
import signal
import sys
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

POSSIBLE: Final = sys.platform == "linux" and platform.machine() == "x86_64"
TRACEME, PEEKUSER, POKEUSER, SYSCALL, SETOPTIONS = 0, 3, 6, 24, 0x4200
KILL_WITH_ME: Final = 0x100000
TELL_CALLS: Final = 1
CALL: Final = signal.SIGTRAP | 0x80
RAX, RDX, RSI, RDI, NUMBER = 80, 96, 104, 112, 120
"""Where registers of a process stand: what a call gives, its third, second and first argument, and which it is."""
READ, WRITE, OPEN, OPENAT = 0, 1, 2, 257
PATH_MAX: Final = 4096
FORBIDDEN: Final = 77
"""Exit code of a call that the system does not let anybody watch."""
LONGEST: Final = 20
"""Seconds after which a call ends by itself, with code -14: a hang is a failure, and not a hang of the tests."""
CHANGING: Final = {
    WRITE: "write", 18: "write", 20: "write", 74: "fsync", 75: "fsync", 76: "truncate", 77: "truncate",
    82: "rename", 264: "rename", 316: "rename", 86: "link", 265: "link", 87: "unlink", 263: "unlink",
    83: "mkdir", 258: "mkdir", 84: "rmdir", 90: "chmod", 91: "chmod", 268: "chmod", 88: "symlink", 266: "symlink",
}  # fmt: skip
"""The calls that change files; opening one to write it is another."""
NAMING: Final = {
    OPEN: ("open", RDI), OPENAT: ("open", RSI), 21: ("access", RDI), 269: ("access", RSI), 439: ("access", RSI),
    4: ("stat", RDI), 6: ("stat", RDI), 262: ("stat", RSI),
}  # fmt: skip
"""The calls that name a file to open it, to ask what is allowed with it or what it is; and where its name stands."""
TO_WRITE: Final = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC
KILL, TEAR, INTERRUPT = "kill", "tear", "interrupt"
DONE_TO_FILES: Final[dict[str, Callable[[Path], object]]] = {
    "remove": Path.unlink,
    "grow": lambda file: file.write_bytes(file.read_bytes() + b"# more\n"),
    "shrink": lambda file: os.truncate(file, 100),
    "replace": lambda file: Path(file.parent, "new").replace(file),
}
"""What can be done besides having a call fail, which is the name of an error, as ``ENOSPC``."""


@dataclass
class Watched:
    """A process that is watched, and the calls met so far that change files; the streams of the terminal are none.

    With ``every``, all calls count; with ``on``, those of some ``kinds`` that name or read the file of that name in
    ``folder``. ``what`` is done at call number ``at``.
    """

    pid: int
    what: str = ""
    at: int = -1
    every: bool = False
    on: str = ""
    kinds: str = "open read"
    folder: str = ""
    calls: list[str] = field(default_factory=list)
    _leaving: int | None = None
    """What is to be done when the call ends: the error it is to give, 0 for the end of the process."""

    def run(self) -> int:
        """Let it run to its end; return its exit code, negative for a signal."""
        status = os.waitpid(self.pid, 0)[1]
        if not os.WIFSTOPPED(status):
            return os.waitstatus_to_exitcode(status)
        _ask(SETOPTIONS, self.pid, 0, TELL_CALLS | KILL_WITH_ME)
        send, inside = 0, False
        while True:
            _ask(SYSCALL, self.pid, 0, send)
            status = os.waitpid(self.pid, 0)[1]
            if not os.WIFSTOPPED(status):
                return os.waitstatus_to_exitcode(status)
            stopped = os.WSTOPSIG(status)
            send = 0 if stopped == CALL else stopped
            if stopped == CALL:
                inside = not inside
                self._enter() if inside else self._leave()

    def _enter(self) -> None:
        """Look at a call that is about to be made."""
        name = self._name()
        if not name:
            return
        self.calls.append(name)
        if len(self.calls) - 1 != self.at:
            return
        if self.what == KILL:
            os.kill(self.pid, signal.SIGKILL)
        elif self.what == INTERRUPT:
            os.kill(self.pid, signal.SIGINT)
        elif self.what in DONE_TO_FILES:
            DONE_TO_FILES[self.what](Path(self.folder, self.on))
        elif self.what == TEAR:
            _ask(POKEUSER, self.pid, RDX, _ask(PEEKUSER, self.pid, RDX, 0) // 2)
            self._leaving = 0
        elif self.what:
            _ask(POKEUSER, self.pid, NUMBER, -1)
            self._leaving = getattr(errno, self.what)

    def _leave(self) -> None:
        """Let a call give an error instead of what it gave, or let it be the last."""
        if self._leaving == 0:
            os.kill(self.pid, signal.SIGKILL)
        elif self._leaving:
            _ask(POKEUSER, self.pid, RAX, -self._leaving)
        self._leaving = None

    def _name(self) -> str:
        """Return what is called, if it counts."""
        number = _ask(PEEKUSER, self.pid, NUMBER, 0)
        if self.every:
            return f"call {number}"
        if self.on:
            return self._met(number)
        if number in (OPEN, OPENAT):
            how = _ask(PEEKUSER, self.pid, RSI if number == OPEN else RDX, 0)
            return "open" if how & TO_WRITE else ""
        if number == WRITE and _ask(PEEKUSER, self.pid, RDI, 0) in (1, 2):
            return ""
        return CHANGING.get(number, "")

    def _met(self, number: int) -> str:
        """Return what is called, if it opens or reads the file that is looked for."""
        if number in NAMING:
            name, register = NAMING[number]
            with Path(f"/proc/{self.pid}/mem").open("rb") as memory:
                memory.seek(_ask(PEEKUSER, self.pid, register, 0))
                path = memory.read(PATH_MAX).partition(b"\0")[0]
            wanted = name in self.kinds and os.path.basename(os.fsdecode(path)) == self.on  # noqa: PTH119  (any bytes)
            return name if wanted else ""
        if number == READ and "read" in self.kinds:
            with suppress(OSError):
                opened = Path(f"/proc/{self.pid}/fd/{_ask(PEEKUSER, self.pid, RDI, 0)}").readlink()
                return "read" if opened.name == self.on else ""
        return ""


def started(prepare: Callable[[], object], run: Callable[[], object]) -> int:
    """Fork; the child prepares, waits to be watched, then runs. Return its number."""
    child = os.fork()
    if child:
        return child
    signal.signal(signal.SIGINT, signal.default_int_handler)
    signal.alarm(LONGEST)
    prepare()
    if _ask(TRACEME, 0, 0, 0):
        os._exit(FORBIDDEN)
    os.kill(os.getpid(), signal.SIGSTOP)
    run()
    os._exit(0)


def _ask(what: int, pid: int, where: int, value: int) -> int:
    """Ask the system something about a watched process."""
    assert _ptrace is not None
    return int(_ptrace(what, pid, where, value))


_ptrace = ctypes.CDLL(None, use_errno=True).ptrace if POSSIBLE else None
if _ptrace is not None:
    _ptrace.restype = ctypes.c_long
    _ptrace.argtypes = [ctypes.c_long, ctypes.c_long, ctypes.c_void_p, ctypes.c_void_p]
