"""The track of a plan in itself: pieces that join, signals that stand somewhere, all that should be in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import PLAN
from lampwright.findings import Level
from lampwright.rulebooks.codec import as_text
from lampwright.words import counted, listed
from lampwright.working.bound import bound_routes
from lampwright.working.trails import track_of
from lampwright_working.auditing import LAID, Audit
from lampwright_working.matching import points_of, sections_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import Layout
    from lampwright.working.track import Slip

JOINTS: Final = ("one-sided", "joins-itself")


class OneSidedJoint(Audit):
    """Finds a piece of track that leads on to another which does not lead back.

    Where two pieces join, each names the other. One that does not is a slip in one of the two, and every way over
    that place would be worked out wrongly.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, AB]}
          AB: {next: [west, AC]}           # expect: one-sided-joint "AA leads on to AB"
          AC: {next: [AB, east]}
        signals: {HF1: {}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, AB]}
          AB: {next: [AA, AC]}
          AC: {next: [AB, east]}
        signals: {HF1: {}}

    Limits: pieces that name each other twice are joined in the order in which they are written. Which of two pieces is
    the wrong one is guessed from the others: it is the one that two of them disagree with.
    """

    name = "one-sided-joint"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield one finding for all joints that fail at one place."""
        slips = [slip for slip in track_of(subject).slips if slip.kind in JOINTS]
        for group in _touching(slips):
            yield self._apart(subject, group)

    def _apart(self, layout: Layout, group: list[Slip]) -> Finding:
        """Return the finding for joints that touch each other; the piece named by another of them is at fault."""
        named = [slip.other for slip in group]
        first, *more = sorted(group, key=lambda slip: -named.count(slip.name))
        lead = next((slip for slip in group if slip.other == first.name), first)
        if lead.kind == "joins-itself":
            message = f"{lead.name} leads on to itself"
        else:
            message = f"{lead.name} leads on to {lead.other}, and {lead.other} does not lead back to {lead.name}"
        return self.finding(
            message,
            layout.spot(*first.path),
            related=[
                *(layout.spot(*slip.path, label=f"leads on to {slip.other}") for slip in more),
                *([] if more else [layout.spot("track", lead.other, label="does not lead back", on_key=True)]),
            ],
            tip=f"{lead.other} should name {lead.name} as its neighbour" if lead.other != lead.name else "",
        )


class MisplacedSignal(Audit):
    """Finds a signal that stands nowhere for certain: it looks to no neighbour of its section, or stands twice.

    A signal is for trains of one direction. Where it stands, and which neighbour a train runs towards that passes
    it, tell where its routes begin.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, AB], signals: {HF1: AC}}     # expect: misplaced-signal "HF1"
          AB: {next: [AA, AC]}
          AC: {next: [AB, east]}
        signals: {HF1: {}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, AB], signals: {HF1: AB}}
          AB: {next: [AA, AC]}
          AC: {next: [AB, east]}
        signals: {HF1: {}}

    Limits: in a section between the two legs of the same points the neighbour does not tell the direction: say the
    section in two pieces.
    """

    name = "misplaced-signal"
    scope = PLAN
    needs = ("one-sided-joint",)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each signal that is not placed for certain."""
        track = track_of(subject)
        for slip in track.slips:
            if slip.kind in JOINTS or (slip.kind == "looks-aside" and not _there(subject, slip.other)):
                continue
            here = str(slip.path[1])
            neighbours = listed(dict.fromkeys(track.pieces[here].neighbours), "or")
            messages = {
                "looks-aside": f"{slip.name} stands in {here} and looks towards {slip.other}, which is not next to it",
                "two-sides": f"{slip.name} looks from {here} towards {slip.other}, which is at both ends of it",
                "stands-twice": f"{slip.name} stands in {slip.other} and in {here}",
            }
            tips = {"looks-aside": f"{neighbours} would be", "two-sides": f"say {here} in two pieces"}
            yield self.finding(
                messages[slip.kind],
                subject.spot(*slip.path, on_key=slip.kind == "stands-twice"),
                related=_standing(subject, slip),
                tip=tips.get(slip.kind, "take one of them out"),
            )


class OffTheTrack(Audit):
    """Finds signals, sections or points of the plan that the track leaves out.

    What is not on the track cannot be compared with it: routes from such a signal are neither found nor checked.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        sections: {AA: {length: 1 m}, AB: {length: 1 m}, AC: {length: 1 m}}     # expect: off-the-track "section AC"
        track:
          AA: {next: [west, AB], signals: {HF1: AB}}
          AB: {next: [AA, east]}
        signals: {HF1: {routes: [{to: east, over: AB}]}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        sections: {AA: {length: 1 m}, AB: {length: 1 m}, AC: {length: 1 m}}
        track:
          AA: {next: [west, AB], signals: {HF1: AB}}
          AB: {next: [AA, AC]}
          AC: {next: [AB, east]}
        signals: {HF1: {routes: [{to: east, over: [AB, AC]}]}}

    Limits: of signals only those that routes begin at or lead to. Points that move with others as traps or second ends
    must be on the track too.
    """

    name = "off-the-track"
    scope = PLAN
    level = Level.WARNING
    needs = ("dead-reference", *LAID)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each kind of thing that is left out."""
        for kind, places in _left_out(subject).items():
            if places:
                names = listed(places)
                noun = kind if len(places) == 1 or kind == "points" else f"{kind}s"
                first, *more = places.values()
                rest = len(more) - 3
                yield self.finding(
                    f"the track leaves out {noun} {names}",
                    subject.spot(*first, on_key=True),
                    related=[subject.spot(*path, on_key=True, label="left out too") for path in more[:3]],
                    because=f"so are {counted(rest, 'more place')}" if rest > 0 else "",
                    tip="say how it joins the others, and which signals stand in it" if kind == "section" else "",
                )


class PointsInTwoSections(Audit):
    """Finds points that lie in one section by the plan's `points` and in another by its `track`.

    The section they lie in tells which train holds them: with the wrong one they can be thrown under a train.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        sections: {AA: {}, AB: {}}
        points: {101: {in: AA}}
        track:
          AA: {next: [west, 101]}
          101: {toe: AA, normal: east, reverse: bay, in: AB}     # expect: points-in-two-sections "AB"
        signals: {HF1: {}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        sections: {AA: {}, AB: {}}
        points: {101: {in: AB}}
        track:
          AA: {next: [west, 101]}
          101: {toe: AA, normal: east, reverse: bay, in: AB}
        signals: {HF1: {}}

    Limits: it is enough to say it in one of the two places.
    """

    name = "points-in-two-sections"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each set of points."""
        track = subject.plan.values.get("track") or {}
        for name, said in subject.plan.points.items():
            one, other = (said or {}).get("in"), (track.get(name) or {}).get("in")
            known = {as_text(section) for section in (one, other)} <= subject.plan.sections.keys()
            if one is not None and other is not None and as_text(one) != as_text(other) and known:
                yield self.finding(
                    f"points {name} lie in {as_text(other)} on the track, and in {as_text(one)} by `points`",
                    subject.spot("track", name, "in"),
                    related=(subject.spot("points", name, "in", label="here another"),),
                    tip="leave out the one that is wrong",
                )


def _there(layout: Layout, name: str) -> bool:
    """Tell whether a name is that of a piece of track or an end."""
    return name in track_of(layout).pieces or name in layout.plan.ends


def _touching(slips: list[Slip]) -> list[list[Slip]]:
    """Return slips in groups that have a piece in common."""
    groups: list[list[Slip]] = []
    for slip in slips:
        pieces = {slip.name, slip.other}
        near = [group for group in groups if any(pieces & {one.name, one.other} for one in group)]
        groups = [group for group in groups if group not in near]
        groups.append([*(one for group in near for one in group), slip])
    return groups


def _standing(layout: Layout, slip: Slip) -> list[Spot]:
    """Return where else a signal stands, or the neighbours it could look to."""
    if slip.kind == "stands-twice":
        return [layout.spot(*track_of(layout).signals[slip.name].path, label="the first", on_key=True)]
    return [layout.spot("track", str(slip.path[1]), "next", label="its neighbours")]


def _left_out(layout: Layout) -> dict[str, dict[str, Path]]:
    """Return what the track leaves out, by kind and name, each with its place."""
    track, plan = track_of(layout), layout.plan
    misplaced = {slip.name for slip in track.slips}
    routed = {route.signal.name for route in bound_routes(layout)} | {route.entry.to for route in bound_routes(layout)}
    sections, points = sections_of(layout), points_of(layout)
    signals = [name for name in plan.signals if name in routed and name not in track.signals and name not in misplaced]
    return {
        "signal": {name: ("signals", name) for name in signals},
        "section": {name: ("sections", name) for name in plan.sections if name not in sections},
        "points": {name: ("points", name) for name in plan.points if name not in points},
    }
