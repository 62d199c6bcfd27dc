"""What a rehearsal enters before anybody begins: assays, those who work, boxes, papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.rehearsal_staff import staff_acts
from readbell.bay.site_time import site_date, time_zone
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.people.acts import NoteConsent
from readbell.core.stock.acts import DescribeLot

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from readbell.bay.rehearsal import Method
    from readbell.core.board.acts import Act
    from readbell.core.private import Private
    from readbell.core.rehearsal.scenario import Scenario, ScriptedPerson


def set_up(
    scenario: Scenario,
    methods: Mapping[str, Method],
    private: Callable[[str], Private],
    *,
    attended: bool = False,
) -> Iterator[Act]:
    """Yield the acts, in order.

    Args:
        scenario: what is rehearsed.
        methods: by the name it gives each assay.
        private: keeps a name apart.
        attended: whether a person is at the keys: then whoever comes is entered as they come,
            and only those on whom there are papers are known before.
    """
    for method in {each.content_hash: each for each in methods.values()}.values():
        yield AdoptAssay(
            by=None,
            assay=method.assay,
            content_hash=method.content_hash,
            basis=Basis.REHEARSAL,
            instructions_version="",
        )
    for operator in scenario.operators:
        yield RegisterOperator(by=None, operator=private(operator))
    yield from staff_acts(scenario)
    known = [each for each in scenario.persons if not attended or _has_papers(each)]
    for person in known:
        yield RegisterPerson(
            by=None,
            person=private(person.id),
            particulars=tuple((what, private(said)) for what, said in person.particulars),
        )
    yield from _boxes(scenario, methods)
    for sample in scenario.samples:
        yield ReceiveMaterial(
            by=None,
            number=sample.number,
            kind=sample.kind,
            assay=methods[sample.assay].assay.id,
            expires=sample.expires,
            expected=sample.expected,
        )
    yield from _consents(scenario)


def _boxes(scenario: Scenario, methods: Mapping[str, Method]) -> Iterator[Act]:
    """Yield the boxes on the shelf; the first operator says what stands on them beside the rest."""
    for lot in scenario.lots:
        yield ReceiveLot(
            by=None,
            number=lot.number,
            assay=methods[lot.assay].assay.id,
            expires=lot.expires,
            units=lot.units,
        )
        for operator in scenario.operators[:1] if lot.is_described else ():
            yield DescribeLot(
                by=operator,
                lot=lot.number,
                storage=lot.storage,
                buffer=lot.buffer,
                good_after_opening=lot.good_days,
            )


def _has_papers(person: ScriptedPerson) -> bool:
    return bool(person.particulars) or person.consent is not None


def _consents(scenario: Scenario) -> Iterator[NoteConsent]:
    """Yield what people consent to, as the first operator notes it before the start."""
    today = site_date(scenario.starts, time_zone(scenario.timezone))
    for operator in scenario.operators[:1]:
        for person in scenario.persons:
            if person.consent is not None:
                yield NoteConsent(
                    by=operator,
                    person=person.id,
                    giver=person.consent.giver,
                    how=person.consent.how,
                    told_to=person.consent.told_to,
                    assays=person.consent.assays,
                    words=None,
                    today=today,
                )
