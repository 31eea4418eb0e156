"""Times a keystroke in an editor until what is found is told: by a real client, at the server's pause and without it.

PYTHONPATH=tests python -m benchmarks.typing
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Final

from benchmarks.generate import plan
from editor_client import editor
from lampwright.edits.notation import entry

PAUSE: Final = 0.15
"""What the server waits for after a keystroke, in seconds."""
SETTLING: Final = 0.05
"""What the client waits for, so that all files have been told."""
KEYS: Final = 7
EXAMPLE: Final = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples/merrowdale-junction.yaml"


async def typed(text: str) -> float:
    """Return the median time from a keystroke to what is found, in seconds."""
    with tempfile.TemporaryDirectory() as name:
        (Path(name) / "plan.yaml").write_text(text, "utf-8")
        async with editor(Path(name)) as client:
            client.open("plan.yaml", text)
            await client.news("plan.yaml")
            spent = []
            for key in range(KEYS):
                start = perf_counter()
                client.type("plan.yaml", f"{text}# {'x' * key}\n")
                await client.news("plan.yaml")
                spent.append(perf_counter() - start - SETTLING)
    return median(spent)


def main() -> None:
    """Print a line for each plan."""
    large = "".join(f"{entry(key, value, '', chr(10))}\n" for key, value in plan(1_000).items())
    sys.stdout.write(f"{'plan':<24}{'ms to the findings':>20}{'less the pause':>16}\n")
    for name, text in (("merrowdale-junction", EXAMPLE.read_text("utf-8")), ("1,000 signals", large)):
        seconds = asyncio.run(typed(text))
        sys.stdout.write(f"{name:<24}{seconds * 1000:>20.0f}{(seconds - PAUSE) * 1000:>16.0f}\n")


if __name__ == "__main__":
    main()
