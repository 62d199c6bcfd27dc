"""A bench on which results are told."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import CLEAR, START, at
from core.board.paper_bench import entered, run
from core.board.review_acts import amend, hold, release, withdraw
from core.board.stock_bench import StockBench
from readbell.core.board.fold import fold
from readbell.core.board.results import visit_results
from readbell.core.board.worklist import ToTell, worklist
from readbell.core.people.events import ConsentNoted
from readbell.core.people.particulars import ConsentBy, ConsentHow, ToldTo
from readbell.core.policy.notices import NoticeRule
from readbell.core.results.telling import Channel, Hearer, ResultTold, TellResult

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.reading.bands import Bands
    from readbell.core.results.result import Result

OFFICE = NoticeRule(assay="respiratory-antigen-nasal", office="health office", hours=2)


def results_of(board: Board, person: str) -> tuple[Result, ...]:
    """Every result of a person, as of one visit, in the order in which they were begun."""
    visits = visit_results(board, person, lambda _: "one day")
    return tuple(result for visit in visits for result in visit.results)


class TellingBench(StockBench):
    """As the bench of stock; each cartridge has its drops at 2:30 and is read from 17:30 on."""

    def read(
        self, seen: Bands, label: str = "C1", person: str = "P-001", now: str = "18:00"
    ) -> None:
        """Take a cartridge to its reading."""
        self.to_well(label, person)
        self.must(self.read_act(seen, label), now)

    def from_paper(
        self, label: str = "K1", now: str = "40:00", seen: Bands = CLEAR
    ) -> PaperRunEntered:
        """Enter a run of P-002 from paper, positive unless said otherwise."""
        act = replace(run(seen=seen), person="P-002", label=label, new_id=f"run-{label}")
        return entered(act, self, now)

    def tell_act(
        self,
        label: str = "C1",
        to: Hearer = Hearer.PERSON,
        *,
        by: str = "op-1",
        person: str | None = None,
        version: int | None = None,
        since: str = "0:00",
    ) -> TellResult:
        """Return the act of telling somebody."""
        return TellResult(
            by=by,
            cartridge=label,
            to=to,
            how=Channel.PHONE,
            since=at(since),
            person=person,
            version=version,
        )

    def tell(self, label: str = "C1", to: Hearer = Hearer.PERSON, now: str = "20:00") -> ResultTold:
        """Tell somebody."""
        (event,) = self.must(self.tell_act(label, to), now)
        assert isinstance(event, ResultTold)
        return event

    def consents(
        self, told_to: ToldTo, person: str = "P-001", assays: tuple[str, ...] = ()
    ) -> None:
        """Put a consent on file, whatever the rules for noting one."""
        event = ConsentNoted(
            at=START,
            by="key-op-1",
            person=f"key-{person}",
            giver=ConsentBy.SELF,
            how=ConsentHow.SPOKEN,
            assays=assays,
            told_to=told_to,
            words=None,
        )
        self.board = fold(self.board, event)

    def hold(self, label: str = "C1", now: str = "21:00") -> None:
        """Have something put a reading on hold."""
        hold(self, now, label)

    def release(self, label: str = "C1", now: str = "22:00", by: str = "op-2") -> None:
        """Let it stand."""
        self.must(release(by, label), now)

    def withdraw(self, label: str = "C1", now: str = "23:00") -> None:
        """Take a result back."""
        self.must(withdraw(label=label), now)

    def amend(self, seen: Bands, label: str = "C1", now: str = "25:00") -> None:
        """Have a supervisor say anew what was on the strip."""
        self.must(amend(seen, label=label), now)

    def to_tell(self, now: str = "30:00", back_to: str | None = None) -> list[tuple[str, str]]:
        """Return the label and the urgency of each line of the worklist."""
        return [(each.result.label, str(each.urgency)) for each in self.lines(now, back_to)]

    def lines(self, now: str = "30:00", back_to: str | None = None) -> tuple[ToTell, ...]:
        """Return the worklist."""
        since = None if back_to is None else at(back_to)
        return worklist(self.board, at(now), since).waiting
