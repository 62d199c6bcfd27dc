"""The desk of a bay without a screen: lines in, answers out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    ReceiveLot,
    RegisterOperator,
    RegisterPerson,
)
from readbell.core.instant import earlier
from readbell.core.private import Private
from readbell.scenarios.line import (
    AdoptionLine,
    EntryLine,
    LotLine,
    OperatorLine,
    PersonLine,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.core.assay.assay import Assay
    from readbell.core.board.acts import Act
    from readbell.scenarios.line import Request


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Turns lines into acts.

    Attributes:
        find_assay: gives the assay of an id, and its content hash.
    """

    identifiers: Identifiers
    find_assay: Callable[[str], tuple[Assay, str]]

    async def serve(self, bay: Bay, line: Request) -> Answer:
        """Do what `line` asks.

        Raises:
            WrongFileError: the line names an assay that is not at hand.
        """
        match line:
            case EntryLine():
                entry = line.entry
                if line.ago is not None:
                    entry = replace(entry, done_at=earlier(bay.now(), line.ago))
                return await bay.enter(entry)
            case _:
                return await bay.do(self._act(line))

    def _act(self, line: OperatorLine | PersonLine | AdoptionLine | LotLine) -> Act:
        match line:
            case OperatorLine():
                return RegisterOperator(by=line.by, operator=self._private(line.id))
            case PersonLine():
                return RegisterPerson(by=line.by, person=self._private(line.id))
            case AdoptionLine():
                assay, content_hash = self.find_assay(line.assay)
                return AdoptAssay(
                    by=line.by,
                    assay=assay,
                    content_hash=content_hash,
                    basis=Basis.CHECKED,
                    instructions_version=line.instructions,
                )
            case LotLine():
                return ReceiveLot(
                    by=line.by,
                    number=line.number,
                    assay=line.assay,
                    expires=line.expires,
                    units=line.units,
                )
            case _:
                assert_never(line)

    def _private(self, value: str) -> Private:
        return Private(
            key=self.identifiers.new("key"),
            salt=self.identifiers.new("salt"),
            value=value,
        )
