"""What a signal shows once a train is near."""

from __future__ import annotations

from lampwright.working.play.places import minds_trains
from lampwright.working.reach import reach
from support import result_of

BOOK = """\
rulebook: 1
id: nearing
title: A signal that is held while a train is far
territory: Nowhere
years: 1950..
sources: {book: {title: An invented book, publisher: invented, basis: memory}}
source: book
aspects:
  stop: {says: {authority: stop}}
  slow: {says: {authority: proceed, expect: stop}}
  go: {says: {authority: proceed}}
order: [[stop, slow, go]]
forms:
  post:
    role: stop
    lamps: {red: red, yellow: yellow, green: green}
    shows: {stop: red, slow: yellow, go: green}
    in-doubt: stop
sequence:
  - when: {route: {speed: {above: next-route.speed}}, next-route: {speed: {above: 1 km/h}}, approached: false}
    show: stop
  - {when: {next: {authority: stop}}, show: slow}
  - {when: {next: {authority: proceed}}, show: go}
"""
PLAN = """\
plan: 1
rulebook: nearing
year: 1978
signals:
  A: {form: post, routes: [{to: B, speed: 80 km/h}]}
  B: {form: post, routes: [{to: C, speed: 40 km/h}]}
  C: {form: post, routes: [{to: D, speed: 80 km/h}]}
ends: {D: {kind: off-stage}}
"""


def test_a_rule_may_compare_speeds_with_those_of_the_next_route() -> None:
    """A's route is faster than B's, so it is held at stop until the train is near, and then shows go."""
    result = result_of(PLAN, beside={"book.yaml": BOOK})
    assert result.findings == []
    states = reach(result.layouts[0]).thought_of("A")
    gone = [state.near is not None for state in states if "go" in state.answer.shows[0]]
    assert gone == [True]


def test_a_speed_that_is_only_compared_with_is_known_too() -> None:
    """No other rule asks for the speed of the next route; without one that is faster, A shows go at once."""
    book = BOOK.replace(", next-route: {speed: {above: 1 km/h}}", "")
    for speed, near in (("40 km/h", [True]), ("90 km/h", [False])):
        result = result_of(PLAN.replace("40 km/h", speed), beside={"book.yaml": book})
        states = list(reach(result.layouts[0]).thought_of("A"))
        assert [state.near is not None for state in states if "go" in state.answer.shows[0]] == near
        assert [minds_trains(state.via) for state in states if state.via is not None][:1] == [True]
