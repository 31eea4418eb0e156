"""Tries spoilt files for as long as one likes, and prints how many, and what did not hold.

    PYTHONPATH=tests python -m fuzz.run [--seconds 20] [--seed 1] [--guided] [TARGET ...]

The seconds are for each target. With --guided atheris chooses the files by what code they reach (it comes with
``pip install -e '.[test,fuzz]'``); without it they are examples with slips in them, by the seed. Files that fail go
into ``fuzz-failures``.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
import traceback
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Final

from fuzz.targets import TARGETS
from fuzz.texts import seeds, spoilt

FAILURES: Final = Path("fuzz-failures")
DONE: Final = re.compile(r"Done (\d+) (?:in|runs)")
COVERED: Final = re.compile(r"\bcov: (\d+)")


@dataclass
class Tried:
    """What came of one target."""

    inputs: int = 0
    slowest: float = 0
    failures: dict[str, bytes] = field(default_factory=dict)
    covered: str = ""


def by_chance(name: str, seconds: float, seed: int, most: int | None = None) -> Tried:
    """Try examples with slips in them."""
    kind, target = TARGETS[name]
    luck = Random(f"{name} {seed}")  # noqa: S311  (slips, not secrets)
    examples, tried = seeds(kind), Tried()
    end = time.monotonic() + seconds
    while time.monotonic() < end and (most is None or tried.inputs < most):
        data = spoilt(luck.choice(examples), examples, luck)
        start = time.process_time()
        try:
            target(data)
        except (Exception, RecursionError) as error:  # noqa: BLE001  (whatever it is, it is what is looked for)
            last = traceback.extract_tb(error.__traceback__)[-1]
            tried.failures.setdefault(
                f"{type(error).__name__}: {str(error)[:90]} ({Path(last.filename).name}:{last.lineno})", data
            )
        tried.slowest = max(tried.slowest, time.process_time() - start)
        tried.inputs += 1
    return tried


def guided(name: str, seconds: float, seed: int) -> Tried:
    """Let atheris try files, in a process of its own, beginning with the examples."""
    with tempfile.TemporaryDirectory() as folder:
        for number, text in enumerate(seeds(TARGETS[name][0])):
            (Path(folder) / str(number)).write_text(text, encoding="utf-8")
        command = [sys.executable, "-m", "fuzz.guided", name, f"-max_total_time={int(seconds)}", f"-seed={seed}"]
        more = ["-max_len=20000", "-timeout=20", f"-artifact_prefix={folder}/failed-"]
        ended = subprocess.run([*command, *more, folder], capture_output=True, text=True, check=False)
        tried = Tried()
        runs, covered = DONE.findall(ended.stderr), COVERED.findall(ended.stderr)
        tried.inputs = int(runs[-1]) if runs else ended.stderr.count("#")
        tried.covered = covered[-1] if covered else ""
        for file in Path(folder).glob("failed-*"):
            tried.failures[ended.stderr.strip().splitlines()[-1][:120]] = file.read_bytes()
        if ended.returncode and not tried.failures:
            tried.failures[f"ended with {ended.returncode}: {ended.stderr.strip()[-120:]}"] = b""
    return tried


def main() -> int:
    """Print a line for each target; 1 if anything failed."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("targets", nargs="*", metavar="TARGET", help=", ".join(TARGETS))
    options.add_argument("--seconds", type=float, default=20)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--guided", action="store_true")
    said = options.parse_args()
    failed = 0
    sys.stdout.write(f"{'target':<10}{'inputs':>9}{'failures':>10}{'slowest s':>11}{'reached':>9}\n")
    if unknown := [name for name in said.targets if name not in TARGETS]:
        options.error(f"there is no target {unknown[0]}; there are {', '.join(TARGETS)}")
    for name in said.targets or TARGETS:
        tried = (guided if said.guided else by_chance)(name, said.seconds, said.seed)
        sys.stdout.write(
            f"{name:<10}{tried.inputs:>9,}{len(tried.failures):>10}{tried.slowest:>11.2f}{tried.covered:>9}\n"
        )
        for number, (why, data) in enumerate(tried.failures.items()):
            FAILURES.mkdir(exist_ok=True)
            (FAILURES / f"{name}-{number}").write_bytes(data)
            sys.stdout.write(f"    {why}\n")
        sys.stdout.flush()
        failed += len(tried.failures)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
