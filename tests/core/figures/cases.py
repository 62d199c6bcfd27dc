"""Cases for the tests of what they add up to."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from readbell.core.cartridge.events import SubjectKind
from readbell.core.figures.case import Came, Case, WaitTimed
from readbell.core.figures.tally import Tally
from readbell.core.instant import Instant, Span

READ = Case(
    kind=SubjectKind.PATIENT,
    assay="nasal",
    lot="L-1",
    ordinal=1,
    begun=Instant(0),
    operator="one",
    reader="two",
    came=Came.NEGATIVE,
    repeat=False,
    faint=False,
    may_be_early=True,
    early=None,
    read=Span(960_500),
    window_used=0.205,
    waits=(WaitTimed(step="extract", took=Span(75_400), idle=Span(15_400), kept=True),),
    told=Span(1_500_000),
    stated=False,
    picked=False,
    twice=None,
)
CASES = st.builds(
    replace,
    st.just(READ),
    kind=st.sampled_from(SubjectKind),
    ordinal=st.integers(1, 10_000),
    came=st.sampled_from(Came),
    assay=st.sampled_from(["nasal", "throat"]),
    lot=st.sampled_from(["L-1", "L-2", "L-3"]),
    operator=st.sampled_from(["one", "two"]),
    reader=st.sampled_from(["one", "two", None]),
    early=st.sampled_from([None, Span(200_000)]),
)


def tally_of(*cases: Case) -> Tally:
    """Add up `cases`, all of one hour."""
    tally = Tally()
    for each in cases:
        tally.add(each, 9)
    return tally
