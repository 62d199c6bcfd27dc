"""The line of a shared bay: several computers with clocks of their own count one time."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given
from hypothesis import strategies as st

from readbell.clock.anchor import Anchor
from readbell.clock.clock import Reading
from readbell.clock.shared_line import (
    SLEW,
    Looked,
    ServerLook,
    SharedLine,
    at_look,
    begin,
    look_again,
)
from readbell.core.instant import Instant, Span

NOON = 1_774_785_600_000
LONG_AGO = Instant(0)
OFFSET = Span(-7)
MILLION = 1_000_000
QUARTZ_PPM = 100
"""More than any clock of a computer drifts at room temperature (from memory; data sheets say 20 to 50)."""


@dataclass(frozen=True, kw_only=True)
class Computer:
    """Clocks of a station: the wall clock is wrong, the counting clock drifts."""

    counting: int
    wall: int
    ppm: int

    def reading(self, passed: int) -> Reading:
        """Look at its clocks when so many true milliseconds have passed."""
        counting = self.counting + passed + passed * self.ppm // MILLION
        wall = NOON + self.wall + passed
        return Reading(wall=wall, counting=counting, running=counting, boot="b")

    def look(self, passed: int, there: int, back: int, server: int = NOON) -> ServerLook:
        """Measure the server, whose clock is at `server` + `passed`, with a way there and back."""
        before = self.reading(passed).counting
        after = self.reading(passed + there + back).counting
        return ServerLook(
            server=server + passed + there,
            counting=(before + after) // 2,
            within=(after - before + 1) // 2 + 1,
        )


computers = st.builds(
    Computer,
    counting=st.integers(0, 10**9),
    wall=st.integers(-40_000, 40_000),
    ppm=st.integers(-QUARTZ_PPM, QUARTZ_PPM),
)
ways = st.integers(0, 400)
"""Milliseconds on the way to a server, or back."""


def drifted(span: int) -> int:
    """Return by how much a counting clock may be off after `span`, rounding included."""
    return span * QUARTZ_PPM // MILLION + 2


@given(first=computers, second=computers, ways=st.tuples(ways, ways, ways, ways))
def test_two_stations_agree_within_what_they_measured(
    first: Computer, second: Computer, ways: tuple[int, int, int, int]
) -> None:
    """Their wall clocks may be 80 s apart: no strip is read early for that."""
    looks = first.look(0, *ways[:2]), second.look(0, *ways[2:])
    left, right = (begin(each, OFFSET).anchor for each in looks)

    for passed in (1_000, 30_000, 600_000):
        apart = left.instant(first.reading(passed)) - right.instant(second.reading(passed))
        assert abs(apart) <= looks[0].within + looks[1].within + 2 * drifted(passed)


@given(
    here=computers,
    ways=st.lists(st.tuples(ways, ways), min_size=2, max_size=60),
)
def test_a_station_that_looks_each_half_minute_stays_with_the_server(
    here: Computer, ways: list[tuple[int, int]]
) -> None:
    """Over a whole shift the drift of its quartz never adds up."""
    line = begin(here.look(0, *ways[0]), OFFSET)
    for place, way in enumerate(ways[1:], start=1):
        passed = 30_000 * place
        look = here.look(passed, *way)
        line = look_again(line, look, LONG_AGO).line
        true = NOON + OFFSET + passed
        apart = line.anchor.instant(here.reading(passed)) - true
        assert abs(apart) <= max(2 * 402, 2 * look.within) + drifted(30_000)


@given(
    here=computers, step=st.integers(1_900, 10**9), back=st.booleans(), ways=st.tuples(ways, ways)
)
def test_a_server_clock_that_is_set_moves_no_countdown(
    here: Computer, step: int, back: bool, ways: tuple[int, int]
) -> None:
    """A strip develops on regardless of what somebody does to a server."""
    by = -step if back else step
    line = begin(here.look(0, *ways), OFFSET)
    look = here.look(30_000, *ways, server=NOON + by)

    found = look_again(line, look, LONG_AGO)

    assert found.line.anchor == line.anchor
    assert abs(found.stepped - by) <= 900
    assert found.moved == 0
    assert look_again(found.line, look, LONG_AGO) == Looked(line=found.line)


@given(here=computers, newcomer=computers, step=st.integers(-(10**9), 10**9))
def test_whoever_comes_after_the_server_was_set_joins_the_line_of_those_who_were_there(
    here: Computer, newcomer: Computer, step: int
) -> None:
    """The offset goes round with the pulses, so the newcomer counts as the others do."""
    line = begin(here.look(0, 1, 1), OFFSET)
    line = look_again(line, here.look(30_000, 1, 1, server=NOON + step), LONG_AGO).line
    joined = begin(newcomer.look(31_000, 1, 1, server=NOON + step), line.offset)

    left = line.anchor.instant(here.reading(60_000))
    right = joined.anchor.instant(newcomer.reading(60_000))
    # A step too small to be told from drift is taken in as drift: each look by a little.
    assert abs(left - right) <= max(drifted(60_000) * 2 + 8, min(abs(step), 1_010))


@given(
    at=st.integers(0, 10**6),
    server=st.integers(-(10**6), 10**6),
    latest=st.integers(-(10**6), 10**6),
    within=st.integers(0, 500),
    others=st.lists(st.integers(-(10**6), 10**6).map(Span), max_size=3),
    trusts_own=st.booleans(),
)
def test_a_line_never_goes_back_past_an_event(
    at: int, server: int, latest: int, within: int, others: list[Span], trusts_own: bool
) -> None:
    """What is on record stays in the past; and drift never makes more than a hair of haste."""
    line = SharedLine(anchor=Anchor(at=Instant(NOON + at), counting=at), offset=Span(0))
    look = ServerLook(server=NOON + at + server, counting=at, within=within)
    record = Instant(NOON + at + latest)

    found = look_again(line, look, record, others, trusts_own=trusts_own)

    stood, stands = at_look(line.anchor, look), at_look(found.line.anchor, look)
    assert stands >= min(stood, record)
    assert abs(stands - stood - found.moved) <= SLEW
    assert not (found.moved and found.stepped)


def test_a_computer_that_stood_still_without_counting_goes_on_with_the_others() -> None:
    """A machine that was frozen lost ten minutes; the strips did not."""
    line = SharedLine(anchor=Anchor(at=Instant(NOON), counting=0), offset=Span(0))
    look = ServerLook(server=NOON + 630_000, counting=30_000, within=3)

    found = look_again(line, look, Instant(NOON + 5), [Span(599_990), Span(600_020)])

    assert found.moved == 600_000
    assert at_look(found.line.anchor, look) == NOON + 630_000
    assert found.line.offset == 0


def test_three_that_disagree_move_nothing() -> None:
    """Server, neighbours and own clock each say something else: nobody knows who is right."""
    line = SharedLine(anchor=Anchor(at=Instant(NOON), counting=0), offset=Span(0))
    look = ServerLook(server=NOON + 60_000, counting=0, within=3)

    assert look_again(line, look, Instant(NOON), [Span(-90_000)]) == Looked(line=line)


def test_after_a_start_without_the_server_its_clock_is_believed() -> None:
    """The wall clock of this computer said that it was off for a minute; it was off for two."""
    line = SharedLine(anchor=Anchor(at=Instant(NOON + 60_000), counting=0), offset=Span(0))
    look = ServerLook(server=NOON + 120_000, counting=0, within=3)

    found = look_again(line, look, Instant(NOON), trusts_own=False)

    assert found.moved == 60_000
    assert at_look(found.line.anchor, look) == NOON + 120_000
