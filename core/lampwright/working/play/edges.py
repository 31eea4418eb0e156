"""The edges of a plan: what may be taken to stand where nothing more is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.sequence import BUFFERS, END, ENDS
from lampwright.working.faces import Face
from lampwright.working.play.saying import say
from lampwright.working.posts import STOP
from lampwright.working.units import asked_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.working.network import Limit, Network, Stand


class Edge(Struct, frozen=True):
    """An end, or a signal nothing is known of: what may stand there, first what is taken to.

    An empty text is what is not known.
    """

    key: str
    book: str
    choices: tuple[str, ...]

    def face(self, aspect: str) -> Face | None:
        """Return what is seen of it from behind when something stands there."""
        return Face(aspect, self.book) if aspect else None

    def phrase(self, aspect: str) -> str:
        """Say what stands there."""
        what = {BUFFERS: "buffers", END: "end", "": "unknown"}.get(aspect, "assumed")
        return say(what, self.key, aspect)


def edges(network: Network) -> Mapping[str, Edge]:
    """Return every edge that a signal looks at; signals of other files among them, for they are not worked here."""
    found = {key: _edge(limit) for key, limit in network.limits.items() if key in network.behind}
    for key, stand in network.stands.items():
        if not worked(network, stand) and key in network.behind:
            found[stand.name] = _signal(stand)
    return found


def worked(network: Network, stand: Stand) -> bool:
    """Tell whether a signal is of the plan that is worked."""
    return stand.signal.layout is network.layout


def _edge(limit: Limit) -> Edge:
    """Return an edge: with what the plan says of it, else with all that a stop signal could show."""
    book = limit.layout.rulebook
    if book is None:
        return Edge(limit.key, "", ("",))
    shows = tuple(one for one in dict.fromkeys(limit.shows) if one in ENDS or one in book.aspects)
    return Edge(limit.key, book.id, shows or ("", *asked_of(book, STOP, limit.layout.years)))


def _signal(stand: Stand) -> Edge:
    """Return a signal of another file: it is taken to stand at rest, or to show anything it can."""
    post = stand.post
    shown = [answer.shows for answer in post.resting()] + list(post.every())
    choices = dict.fromkeys(filter(None, map(post.seen, shown)))
    return Edge(stand.name, post.rulebook.id, tuple(choices) or ("",))
