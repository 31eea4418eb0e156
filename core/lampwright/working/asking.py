"""What a signal may show when it sees a face ahead."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.rulebooks.sequence import ENDS, fits
from lampwright.working.faces import Face

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.rulebooks import Rulebook
    from lampwright.working.faces import Need
    from lampwright.working.network import Facts, Via
    from lampwright.working.posts import Answer, Post
    from lampwright.working.reach import State

NEXT_ROUTE: Final = "next-route."


class Asking:
    """Asks the sequence on behalf of signals, whose rulebooks may be several."""

    def __init__(self, books: Mapping[str, Rulebook]) -> None:
        """Find out what the rules of the books ask at all."""
        self._books = books
        self._facts, self._second = _asked(books.values())
        self._nearing: dict[Facts, bool] = {}

    def proceeds(self, face: Face) -> bool:
        """Tell whether a face lets trains go on at more than sight."""
        book = self._books.get(face.book)
        return book is not None and face.aspect in book.aspects and _authority(book, face.aspect) == "proceed"

    def met(self, need: Need, face: Face) -> bool:
        """Tell whether a face is what is needed."""
        return face == need.face if need.face is not None else self.proceeds(face) is need.off

    def asks(self, via: Via, face: Face, post: Post | None = None) -> Iterator[tuple[bool, tuple[Answer, ...]]]:
        """Yield what a signal may show when it sees a face, before a train is near and, where that differs, after.

        It is asked of another ``post`` in the signal's place, if one is given.
        """
        post = post or via.stand.post
        before = self._answers(post, via, face, approached=False)
        yield False, before
        if via.route is not None and self._nears(via.facts):
            after = self._answers(post, via, face, approached=True)
            if after is not before and after != before:
                yield True, after

    def put(self, state: State, post: Post) -> Iterator[tuple[bool, tuple[Answer, ...]]]:
        """Yield what another post in a signal's place may show where it is asked something, as ``asks`` does."""
        if state.via is not None and state.ahead is not None:
            yield from self.asks(state.via, state.ahead, post)

    def face(self, via: Via, answer: Answer, ahead: Face, near: frozenset[str] | None) -> Face:
        """Return what is seen from behind of a signal that shows an answer, seeing a face ahead itself."""
        post = via.stand.post
        route = self.seen_of(via) if via.route is not None else None
        second = ahead.aspect if self._second else ""
        trains = near if ahead.near is None else ahead.near if near is None else near | ahead.near
        return Face(post.seen(answer.shows), post.rulebook.id, route, trains, second)

    def _nears(self, facts: Facts) -> bool:
        """Tell whether on a route of these facts something else may be asked once a train is near.

        Bounds count as met: they may be those of another route, as ``next-route.speed``.
        """
        if facts not in self._nearing:
            known = {"route": dict(facts)}
            self._nearing[facts] = any(
                fits(book, {"route": without_bounds(when.get("route", {}))}, known)
                for book in self._books.values()
                for when in _conditions(book)
                if "approached" in when
            )
        return self._nearing[facts]

    def seen_of(self, via: Via) -> Facts:
        """Return what of a route is asked by rules for signals behind."""
        return tuple(fact for fact in via.facts if fact[0] in self._facts)

    def _answers(self, post: Post, via: Via, face: Face, *, approached: bool) -> tuple[Answer, ...]:
        """Return what a post may show in the place of a signal that sees a face."""
        key = (
            via.facts if via.route is not None else None,
            face.aspect,
            face.book,
            face.route,
            face.second,
            approached,
        )
        if key in post.memo:
            return post.memo[key]
        return post.answers(key, self._situation(post.rulebook, via, face, approached=approached))

    def _situation(self, own: Rulebook, via: Via, face: Face, *, approached: bool) -> dict[str, Any]:
        """Return the facts of a signal that sees a face, by the names that rules of a rulebook use."""
        aspect = self._understood(own, face.aspect, face.book)
        situation: dict[str, Any] = {"next": aspect, "approached": approached}
        if aspect not in own.aspects and aspect not in ENDS:
            situation["foreign"] = {aspect: self._books[face.book].aspects[face.aspect].says}
        if via.route is not None:
            situation["route"] = dict(via.facts)
        if face.route is not None:
            situation["next-route"] = dict(face.route)
        if face.second:
            situation["second"] = face.second
        return situation

    def _understood(self, own: Rulebook, aspect: str, book: str) -> str:
        """Return the aspect of a signal's own rulebook that says what one of another does; else its full name."""
        if book == own.id or aspect in ENDS or book not in self._books:
            return aspect
        says = _plainly(self._books[book].aspects[aspect].says)
        same = [name for name, known in own.aspects.items() if _plainly(known.says) == says]
        return aspect if aspect in same else next(iter(same), f"{book}/{aspect}")


def without_bounds(wanted: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a condition asks of a route by words."""
    return {name: value for name, value in wanted.items() if not isinstance(value, dict)}


def _asked(books: Iterable[Rulebook]) -> tuple[frozenset[str], bool]:
    """Return the facts of the next signal's route that rules ask for, and whether one asks for the second signal."""
    facts: set[str] = set()
    second = False
    for book in books:
        for when in _conditions(book):
            facts |= {*when.get("next-route", {}), *_bounds(when)}
            second = second or "second" in when
    return frozenset(facts), second


def _bounds(when: Mapping[str, Any]) -> Iterator[str]:
    """Yield the facts of the next signal's route that others are compared with, as ``next-route.speed``."""
    for said in when.values():
        if isinstance(said, dict):
            yield from _bounds(said)
        elif isinstance(said, str) and said.startswith(NEXT_ROUTE):
            yield said.removeprefix(NEXT_ROUTE)


def _conditions(book: Rulebook) -> Iterator[Mapping[str, Any]]:
    """Yield every condition of a rulebook that can decide what is shown."""
    for role in book.sequence.values():
        for rule in role:
            yield rule.when
            for heading in ("down", "across"):
                first, _, name = str(rule.table.get(heading, "")).partition(".")
                yield {first: {name: ""}} if name else {}
    for form in book.forms.values():
        for coupling in form.coupling:
            yield coupling.when


def _authority(book: Rulebook, aspect: str) -> str:
    """Return the authority an aspect gives."""
    return str(book.aspects[aspect].says.get("authority", ""))


def _plainly(says: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an aspect says without the names that only its own rulebook knows."""
    return {key: value for key, value in says.items() if key not in ("expect", "for")}
