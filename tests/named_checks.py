"""A plugin with a check of each level that looks at names of signals alone, and plans for it."""

from __future__ import annotations

from pathlib import Path

CHECKS = """
    from lampwright.findings import Level

    class Bad(Check):
        name = "bad-name"
        def look(self, signal):
            if signal.name.startswith("BAD"):
                yield self.finding(f"{signal.name} is a bad name", signal.spot(), tip="take another")

    class Doubtful(Bad):
        name = "doubtful-name"
        level = Level.WARNING
        needs = ("bad-name",)
        def look(self, signal):
            if signal.name.startswith(("BAD", "ODD")):
                yield self.finding(f"{signal.name} is a doubtful name", signal.spot())

    class Remark(Bad):
        name = "dull-name"
        level = Level.NOTE
        def look(self, signal):
            if signal.name == "X":
                yield self.finding("X is a dull name", signal.spot())

    @hookimpl
    def checks():
        return [Bad, Doubtful, Remark]
"""


def plan(*signals: str, file: str = "plan.yaml") -> Path:
    """Write a plan of signals without forms into the working folder."""
    path = Path(file)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("plan: 1\nsignals:\n" + "".join(f"  {signal}: {{}}\n" for signal in signals), encoding="utf-8")
    return path
