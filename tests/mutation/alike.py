"""Proofs that a slip changes nothing: everything the program computes of the file is the same without and with it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Final

from command_line import call
from mutation.plans import written

if TYPE_CHECKING:
    from mutation.plans import Values

TOLD: Final = (
    ("table", "--format", "json"),
    ("sequence", "--format", "json"),
    ("wire", "--format", "json"),
    ("distances", "--format", "json"),
    ("date", "--format", "json"),
    ("export", "--as", "json"),
)
"""What is computed of a plan: matrix of conflicts and control table, sequence, currents, distances, years, tables."""
PROOF: Final = "conflicts, control table, sequence, currents, distances, years and tables are the same"


def proof(before: Values, after: Values) -> str:
    """Return how a changed plan is shown to mean the same; empty if it does not."""
    same = all(known(written(before), question) == told(written(after), *question) for question in TOLD)
    return PROOF if same else ""


@cache
def known(text: str, question: tuple[str, ...]) -> str:
    """Return what a command tells of a plan without a slip, worked out once."""
    return told(text, *question)


def told(text: str, *question: str) -> str:
    """Return what a command tells of a plan."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plan.yaml"
        file.write_text(text, encoding="utf-8")
        done = call(question[0], file, *question[1:])
        return f"{done.code} {done.out} {done.err}".replace(folder, "")
