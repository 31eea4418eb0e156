"""What stands on one post, as the sequence sees it: units that are told by their role what to show."""

from __future__ import annotations

from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.format import ANY_ROLE
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import ENDS, Step, fits, step

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Coupling
    from lampwright.years import Years

STOP: Final = "stop"
DISTANT: Final = "distant"
SHUNT: Final = "shunt"
SUBSIDIARY: Final = "subsidiary"
REPEATER: Final = "repeater"
SEEN_FIRST: Final = (STOP, DISTANT, ANY_ROLE, SHUNT, REPEATER, SUBSIDIARY)
"""Whose word counts for the signal in rear, where several stand on one post."""
STOPPING: Final = frozenset({"stop", "stop-then-sight", "sight-without-stop"})
NOT_PROCEEDING: Final = STOPPING | {"none"}

Shows = tuple[tuple[str, str], ...]
"""Parts of a post with what each shows: an aspect, ``dark``, or an empty text for what it should and cannot show."""


class Unit(Struct, frozen=True):
    """What is told by itself what to show: a form, or a part of one. ``able`` are the aspects it can give.

    ``rest`` are what it may show with no route set: every aspect that stops, if it has one. ``form`` is empty for
    one that is not said.
    """

    part: str
    role: str
    form: str
    able: tuple[str, ...]
    rest: tuple[str, ...]


class Answer(Struct, frozen=True, dict=True):
    """What a post shows in a situation, and what the sequence asked of each unit.

    ``allowed`` tells that one unit shows what the sequence lets stand, and not what must stand first.
    """

    shows: Shows
    steps: tuple[Step, ...] = ()
    allowed: bool = False

    @cached_property
    def failed(self) -> bool:
        """Whether a unit cannot show what is asked, or nothing is known to be asked."""
        return any(not aspect for _, aspect in self.shows)

    @cached_property
    def stands_in(self) -> tuple[int, ...]:
        """The numbers of the units of which something else is asked first than they can show."""
        firsts = enumerate((next(iter(step.wanted), ""), step.must) for step in self.steps)
        return tuple(number for number, (first, must) in firsts if must not in ("", first))


class Post(Struct, frozen=True, eq=False, dict=True):
    """The units of one post with what couples them."""

    rulebook: Rulebook
    years: Years | None
    units: tuple[Unit, ...]
    coupling: tuple[Coupling, ...] = ()
    standing: Mapping[str, Any] = field(default_factory=dict)
    """Facts that hold whatever is set: the mode and regime of the signal."""
    memo: dict[Any, tuple[Answer, ...]] = field(default_factory=dict)
    faces: dict[Shows, str] = field(default_factory=dict)
    cleared_by: dict[int, tuple[tuple[str, str, Step], ...]] = field(default_factory=dict)

    def has(self, role: str) -> bool:
        """Tell whether one of the units has a role."""
        return role in self.roles

    @cached_property
    def roles(self) -> frozenset[str]:
        """The roles of all units."""
        return frozenset(unit.role for unit in self.units)

    @cached_property
    def only_tells(self) -> bool:
        """Tell whether it is there to tell of another signal: no unit is a stop signal or one for shunting."""
        return self.roles <= {DISTANT, REPEATER}

    def answers(self, key: Any, situation: Mapping[str, Any]) -> tuple[Answer, ...]:
        """Return what it may show in a situation: what it must first, then what is allowed besides.

        ``key`` stands for the situation: asked twice, it is worked out once.
        """
        if key not in self.memo:
            self.memo[key] = tuple(self._answers({**self.standing, **situation}))
        return self.memo[key]

    def resting(self) -> tuple[Answer, ...]:
        """Return what it may show with no route set."""
        if "rest" not in self.memo:
            first = {unit.part: next(iter(unit.rest), "") for unit in self.units}
            shown = [{**first, unit.part: aspect} for unit in self.units for aspect in unit.rest]
            found = [Answer(self._coupled(shows, self.standing)) for shows in shown or [first]]
            self.memo["rest"] = tuple(dict.fromkeys(found))
        return self.memo["rest"]

    def every(self) -> Iterator[Shows]:
        """Yield everything its units may show together, each once: with no route set, then what only a route forces."""
        able = [dict.fromkeys((*unit.rest, *unit.able)) for unit in self.units]
        names = [unit.part for unit in self.units]
        shown = [dict(zip(names, aspects, strict=True)) for aspects in product(*able)]
        free = (self._coupled(pairs, self.standing) for pairs in shown)
        forced = (self._coupled(pairs, self.standing, any_route=True) for pairs in shown)
        yield from dict.fromkeys((*free, *forced))

    def coupled(self, shows: Shows) -> Shows:
        """Return what the units show together once each has forced on others what it must."""
        return self._coupled(dict(shows), self.standing)

    def seen(self, shows: Shows) -> str:
        """Return the aspect that counts for the signal in rear; empty if it is not known.

        A stop signal at stop counts before all; else the freest of the stop signal and the distants beside it.
        """
        if shows not in self.faces:
            self.faces[shows] = self._seen(shows)
        return self.faces[shows]

    def _seen(self, shows: Shows) -> str:
        """Work out the aspect that counts for the signal in rear."""
        by_role: dict[str, list[str]] = {}
        for unit, (_, aspect) in zip(self.units, shows, strict=True):
            by_role.setdefault(unit.role, []).append(aspect)
        first = next((by_role[role] for role in SEEN_FIRST if role in by_role), [""])
        if STOP not in by_role or self.authority(first[0]) not in STOPPING | {""}:
            first = [*first, *(by_role.get(DISTANT, ()) if STOP in by_role else ())]
        return self._freest([aspect for aspect in first if aspect != DARK])

    def authority(self, aspect: str) -> str:
        """Return the authority an aspect gives; empty if it is not known."""
        if aspect in ENDS:
            return STOP
        known = self.rulebook.aspects.get(aspect)
        return str(known.says.get("authority", "")) if known else ""

    def cleared(self, shows: Shows) -> bool:
        """Tell whether one of the units lets a train go."""
        return any(self.authority(aspect) not in NOT_PROCEEDING | {""} for _, aspect in shows)

    def clearing(self, answer: Answer) -> tuple[tuple[str, str, Step], ...]:
        """Return the authorities by which an answer of its own lets trains go, with the aspects and who asks them."""
        if id(answer) not in self.cleared_by:  # it is kept, so that no other comes to have its id
            pairs = zip(answer.shows, answer.steps, strict=True)
            told = ((self.authority(aspect), aspect, step) for (_, aspect), step in pairs)
            self.cleared_by[id(answer)] = tuple(one for one in told if one[0] not in NOT_PROCEEDING | {""})
        return self.cleared_by[id(answer)]

    def _answers(self, situation: Mapping[str, Any]) -> Iterator[Answer]:
        """Yield what must stand, then each thing that may stand in its place."""
        steps = tuple(step(self.rulebook, unit.role, unit.able, situation, self.years) for unit in self.units)
        must = {unit.part: found.must for unit, found in zip(self.units, steps, strict=True)}
        yield Answer(self._coupled(must, situation), steps)
        for unit, found in zip(self.units, steps, strict=True):
            for aspect in found.may:
                yield Answer(self._coupled({**must, unit.part: aspect}, situation), steps, allowed=True)

    def _coupled(self, shows: dict[str, str], situation: Mapping[str, Any], *, any_route: bool = False) -> Shows:
        """Return what the units show once each has forced on others what it must; the first coupling counts.

        None makes a unit freer than it is by itself. With ``any_route`` what is asked of routes counts as met.
        """
        result = dict(shows)
        forced: set[str] = set()
        for coupling in self.coupling:
            if self._holds(coupling, result, situation, any_route=any_route):
                for part, aspect in coupling.then.items():
                    if part in result and part not in forced and not self._freer(aspect, result[part]):
                        result[part] = aspect
                        forced.add(part)
        return tuple((unit.part, result[unit.part]) for unit in self.units)

    def _holds(
        self, coupling: Coupling, shows: Mapping[str, str], situation: Mapping[str, Any], *, any_route: bool
    ) -> bool:
        """Tell whether the condition of a coupling holds."""
        parts = coupling.when.get("parts", {})
        passed = {"parts", "route"} if any_route else {"parts"}
        others = {key: wanted for key, wanted in coupling.when.items() if key not in passed}
        return fits(self.rulebook, others, situation) and all(
            fits(self.rulebook, {"here": wanted}, {"here": shows.get(part, "")}) for part, wanted in parts.items()
        )

    def _freer(self, aspect: str, other: str) -> bool:
        """Tell whether one aspect is declared freer than another."""
        return self.rulebook.order.less_restrictive(aspect, other) is Verdict.YES

    def _freest(self, aspects: Sequence[str]) -> str:
        """Return the aspect that none of the others is freer than; empty if one of them is not known."""
        if not aspects or "" in aspects:
            return ""
        best = aspects[0]
        for aspect in aspects[1:]:
            if self._freer(aspect, best):
                best = aspect
        return best
