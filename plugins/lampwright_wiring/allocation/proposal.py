"""A proposal of outputs for all that lack them, or the reasons why there is none, with what would help."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.edits import CannotEdit, edited
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.words import counted, listed
from lampwright_wiring import saying
from lampwright_wiring.allocation.fitting import Fitting
from lampwright_wiring.allocation.needs import loosened, needs
from lampwright_wiring.allocation.places import NewBoards, existing
from lampwright_wiring.allocation.search import Search
from lampwright_wiring.allocation.writing import changes
from lampwright_wiring.current.demands import too_much
from lampwright_wiring.current.loads import loads
from lampwright_wiring.current.telling import asked, cause
from lampwright_wiring.model import SINK, SOURCE, bind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.documents import Document
    from lampwright_wiring.allocation.needs import Need
    from lampwright_wiring.allocation.places import Place
    from lampwright_wiring.allocation.search import Block
    from lampwright_wiring.current.demands import Demand
    from lampwright_wiring.model import Board, Wiring


class Proposal(Struct, frozen=True):
    """Outputs for every need, the boards that are added, and the plan as it would be.

    ``fewest`` tells that fewer boards cannot do. Where there is no way, ``reasons`` say why and what would help, and
    nothing else is set; nothing at all is set where nothing lacks an output.
    """

    outputs: dict[Need, list[str]] = field(default_factory=dict)
    added: tuple[Board, ...] = ()
    fewest: bool = True
    text: str = ""
    reasons: tuple[str, ...] = ()


def propose(layout: Layout, document: Document, kind: str = "", *, anew: bool = False) -> Proposal:
    """Return a proposal for a plan; boards of ``kind`` are added where those there do not do.

    ``anew`` takes the outputs of what is neither built nor pinned for free.
    """
    return _Proposer(layout, document, kind, anew=anew).proposal()


class _Proposer:
    """Makes the proposal for one plan."""

    def __init__(self, layout: Layout, document: Document, kind: str, *, anew: bool) -> None:
        self.layout = layout
        self.document = document
        self.wiring: Wiring = loosened(bind(layout)) if anew else bind(layout)
        self.needs = needs(layout, self.wiring)
        self.fitting = Fitting(layout, self.wiring, self.needs)
        self.new = NewBoards(layout, self.wiring, kind)
        said = [way for way in (SINK, SOURCE) if any(need.way == way for need in self.needs)]
        self.ways = (*said, "") if any(not need.way for need in self.needs) else tuple(said)

    def proposal(self) -> Proposal:
        """Return what comes of it; where a supply is asked for too much, boards on it are left alone."""
        if not self.needs:
            return Proposal()
        places = existing(self.wiring)
        if lost := list(self._placeless(places)):
            return Proposal(reasons=tuple(lost))
        while True:
            made = self._searched(places)
            after = reread(self.layout, made.text) if made.text else None
            over = self._too_much(after) if after is not None else None
            if after is None or over is None:
                return made
            left = [place for place in places if over.account.name not in _supplies(place.boards[0])]
            if len(left) == len(places):
                return Proposal(reasons=(_over(after, over),))
            places = left

    def _searched(self, places: list[Place]) -> Proposal:
        """Return the proposal that adds fewest boards."""
        least = self._least(places)
        sure = True
        for number in range(least, min(self.new.most, least + len(self.needs)) + 1):
            there = [*places, *self.new.places(number, self.ways)]
            searched = self._search(there).best(self._blocks())
            if searched.placed is not None:
                return self._made(there, searched.placed, fewest=sure)
            sure = sure and searched.whole
        return Proposal(reasons=(self._too_few(places),))

    def _search(self, places: Sequence[Place]) -> Search:
        """Return the search over some places."""

        def fits(place: int, chosen: frozenset[int]) -> bool:
            return self.fitting.settled(places[place], chosen) is not None

        def order(block: Block) -> list[int]:
            lamps = self.wiring.by_signal.get(self.needs[block[0]].signal, [])
            there = {output.board for lamp in lamps for output in lamp.outputs}
            return sorted(range(len(places)), key=lambda place: places[place].name not in there)

        return Search(fits, [place.like for place in places], order, self._pieces)

    def _blocks(self) -> list[Block]:
        """Return what belongs together: of each signal the needs of one polarity; those that say it come first."""
        blocks: dict[tuple[str, str], list[int]] = {}
        for number, need in enumerate(self.needs):
            blocks.setdefault((need.signal, need.way), []).append(number)
        return [tuple(block) for _, block in sorted(blocks.items(), key=lambda one: not one[0][1])]

    def _pieces(self, block: Block) -> list[Block]:
        """Return the pieces that a block may be cut into: lamps that flash together stay so."""
        pieces: list[list[int]] = []
        for number in block:
            mine = self.needs[number].together
            same = [piece for piece in pieces if any(mine & self.needs[other].together for other in piece)]
            if same:
                same[0].append(number)
            else:
                pieces.append([number])
        return [tuple(piece) for piece in pieces]

    def _least(self, places: Sequence[Place]) -> int:
        """Return a number of boards that must be added whatever is tried: by outputs, also of each polarity."""
        size = len(self.new.kind.outputs) if self.new.kind else 1
        whole = [need.size for need in self.needs]
        least = _boards(sum(whole) - sum(len(place.spare) for place in places), size)
        if self.new.kind is not None and self.new.kind.one_sense:
            by_way = [
                _boards(sum(self.needs[one].size for one in mine) - self._spare(places, mine), size)
                for way in (SINK, SOURCE)
                if (mine := [number for number, need in enumerate(self.needs) if need.way == way])
            ]
            least = max(least, sum(by_way))
        return least

    def _spare(self, places: Sequence[Place], numbers: Sequence[int]) -> int:
        """Return how many outputs are free on boards that any of some needs may go on."""
        return sum(
            len(place.spare)
            for place in places
            if any(not self.fitting.refusal(place.boards[0], number) for number in numbers)
        )

    # -------------------------------------------------------------------------------------- what is made of it
    def _made(self, places: Sequence[Place], placed: Sequence[frozenset[int]], *, fewest: bool) -> Proposal:
        """Return the proposal for needs that are placed."""
        given: dict[int, list[str]] = {}
        added = []
        for place, chosen in zip(places, placed, strict=True):
            settled = self.fitting.settled(place, chosen) if chosen else None
            if settled is not None:
                board, outputs = settled
                given.update({number: [f"{board.name}.{name}" for name in names] for number, names in outputs.items()})
                added += [board] if place.new else []
        outputs_by_need = {self.needs[number]: given[number] for number in sorted(given)}
        entries = self.new.written(added)
        try:
            text = edited(self.document, changes(self.layout, outputs_by_need, entries))
        except CannotEdit as error:
            return Proposal(reasons=(str(error),))
        return Proposal(outputs_by_need, tuple(added), fewest, text)

    def _too_much(self, after: Layout) -> Demand | None:
        """Return what a supply or board would be asked for beyond what it gives, and is not as the plan is."""
        old, new = loads(self.layout), loads(after)
        before = {str(one) for one in (*old.supplies, *old.boards) if too_much(old, one) is not None}
        demands = (too_much(new, one) for one in (*new.supplies, *new.boards) if str(one) not in before)
        return next((over for over in demands if over is not None), None)

    # -------------------------------------------------------------------------------------- why there is none
    def _placeless(self, places: Sequence[Place]) -> Iterator[str]:
        """Yield for each need that goes on no board, not even a new one, why not and what would help."""
        fresh = self.new.places(1, self.ways) if self.new.most else []
        boards = [(f"board {place.name}", (place.boards)) for place in places]
        boards += [(f"a new {place.boards[0].kind.name}", place.boards) for place in fresh if place.boards[0].kind]
        for number, need in enumerate(self.needs):
            refusals = [
                f"{name}: {whys[0]}"
                for name, forms in boards
                if all(whys := [self.fitting.refusal(board, number) for board in forms])
            ]
            if boards and len(refusals) == len(boards):
                help_ = self._help(number, [board for _, forms in boards for board in forms])
                yield f"{need} fits on no board ({'; '.join(refusals)})" + (f"; {help_}" if help_ else "")

    def _help(self, number: int, boards: Sequence[Board]) -> str:
        """Return what would let a need go on one of some boards, with the figures it would give."""
        from lampwright_wiring.fitting import at_most

        need = self.needs[number]
        ways = []
        for board in boards:
            limits = board.kind.limits if board.kind else {}
            for (lamp, lit), draw in zip(need.lights, self.fitting.draws(board, number), strict=True):
                limit = limits.get(draw.output_way)
                if limit is None or draw.at_output is None or draw.at_output.most <= limit:
                    continue
                wiring = replace(self.wiring, boards={**self.wiring.boards, board.name: board})
                feed = replace(lamp.feeds[0], load=lit, draw=draw)
                if resistor := at_most(wiring, feed, limit / lit.strings):
                    ways.append(resistor)
                switch = wiring.parts.switch("npn-transistor")
                if switch is not None and draw.total and switch.limit and draw.total.most <= switch.limit:
                    ways.append(
                        f"behind a transistor (`switch: {switch.name}`) the output gives {saying.amps(switch.control)}"
                    )
        return "; or ".join(dict.fromkeys(ways))

    def _too_few(self, places: Sequence[Place]) -> str:
        """Say how many outputs are wanted, how many there are, and what would help."""
        wanted = sum(need.size for need in self.needs)
        there = sum(len(place.spare) for place in places)
        names = f" on {listed(place.name for place in places)}" if places else ""
        kind = self.new.kind
        said = f"{counted(wanted, 'output')} are wanted, {there} are free{names}"
        if kind is None:
            return f"{said}, and the kind of board to add is not known"
        if not self.new.most:
            usual = self.wiring.parts.board("pwm-16")
            boards = _boards(wanted - there, len(usual.outputs)) if usual else 0
            return (
                f"{said}, and a board of the kind {kind.name} cannot be added by itself; "
                f"{counted(boards, 'board')} of 16 outputs would do (`--board pwm-16`), or another controller"
            )
        return f"{said}, and {counted(self.new.most, f'more {kind.name}')} at the addresses left do not do either"


def _over(after: Layout, over: Demand) -> str:
    """Say what would be asked of a supply or board of a plan, in which state, and what would help."""
    from lampwright_wiring.current.ways_out import of_board, of_supply

    ways = of_supply if over.account.kind == "supply" else of_board
    parts = (f"{asked(over)}, if all are wired", cause(over.case), ways(bind(after), loads(after), over))
    return "; ".join(part for part in parts if part)


def reread(layout: Layout, text: str) -> Layout:
    """Return a plan as its changed text tells it."""
    from lampwright.documents import read

    plan = load(read(text.encode(), layout.plan.file).values, layout.plan.file)
    return Layout(plan, layout.library, layout.settings, layout.others)


def _boards(outputs: int, size: int) -> int:
    """Return how many boards so many outputs take."""
    return max(-(-outputs // size), 0)


def _supplies(board: Board) -> set[str]:
    """Return the supplies a board takes from."""
    return {board.supply, board.led_supply} - {""}
