"""Reports made by hand, one for each way in which a result can stand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from uuid import UUID

from readbell.core.exports.events import ExportedResult
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.report import (
    Kit,
    Line,
    Named,
    Names,
    Origin,
    Patient,
    Report,
    When,
    namespace_of,
)

SUMMER = timezone(timedelta(hours=1))
APPLIED = datetime(2026, 3, 29, 14, 2, 10, 250_000, tzinfo=SUMMER)
NAMESPACE = namespace_of(bytes(32))


def origin(**said: object) -> Origin:
    """A live bay, unless said otherwise."""
    found = Origin(
        bay="Harrow Quay",
        namespace=NAMESPACE,
        rehearsal=False,
        made=datetime(2026, 3, 29, 18, 0, tzinfo=UTC),
        program="0.1.0",
        names=Names(),
    )
    return replace(found, **said)  # type: ignore[arg-type]


def moment(at: datetime, doubt: int = 0) -> When:
    """A moment, timed unless there is a doubt of so many seconds."""
    give = timedelta(seconds=doubt)
    return When(said=at, earliest=at - give, latest=at + give, stated=bool(doubt))


def line(outcome: Outcome | None = Outcome.POSITIVE, **said: object) -> Line:
    """One analyte with a LOINC code."""
    found = Line(
        key="sars-cov-2",
        mark="T",
        name="SARS-CoV-2 antigen",
        loinc="97097-0",
        outcome=outcome,
        says="Not read in time" if outcome is None else str(outcome).title(),
    )
    return replace(found, **said)  # type: ignore[arg-type]


def report(
    outcome: Outcome | None = Outcome.POSITIVE,
    status: ResultStatus = ResultStatus.FINAL,
    *,
    corrects: bool = False,
    version: int = 1,
    **said: object,
) -> Report:
    """One report of C1."""
    key = str(said.get("id", "cartridge-1"))
    found = Report(
        id=key,
        label="C1",
        patient=Patient(key="person-1", id="P-001", name="Ada Brook", born=date(1980, 2, 3)),
        reader=Named(key="operator-1", id="op-1"),
        kit=Kit(lot="L-100", expires=date(2026, 12, 31)),
        assay_id="respiratory-antigen-nasal",
        assay="Respiratory antigen, nasal swab",
        specimen="anterior nasal swab",
        specimen_id=f"specimen-of-{key}",
        specimen_code=None,
        begun=APPLIED - timedelta(minutes=3),
        collected=moment(APPLIED - timedelta(minutes=2)),
        applied=moment(APPLIED),
        read=APPLIED + timedelta(minutes=16),
        issued=APPLIED + timedelta(minutes=16),
        status=status,
        lapsed=False,
        left=ExportedResult(cartridge=key, version=version, status=status, as_correction=corrects),
        lines=(line(outcome),),
        outcome=outcome,
        says="Positive",
        notes=("Read 16:00 after the drops.",),
        deviations=(),
        repeat_of=None,
        is_of_visit=True,
    )
    return replace(found, **said)  # type: ignore[arg-type]


def lapsed(**said: object) -> Report:
    """One whose window closed unread."""
    found = replace(report(None, lapsed=True, read=None), outcome=Outcome.INVALID)
    return replace(found, **said)  # type: ignore[arg-type]


EVERY_WAY: dict[str, Report] = {
    "final positive": report(),
    "final negative": report(Outcome.NEGATIVE),
    "final invalid": report(Outcome.INVALID),
    "preliminary": report(status=ResultStatus.PRELIMINARY, read=None),
    "amended": report(Outcome.NEGATIVE, ResultStatus.AMENDED, corrects=True, version=2),
    "corrected": report(Outcome.NEGATIVE, corrects=True, version=2),
    "withheld after an early positive": report(None, ResultStatus.WITHHELD, version=2),
    "withdrawn": report(None, ResultStatus.WITHDRAWN, version=2),
    "lapsed": lapsed(),
    "stated": report(
        collected=moment(APPLIED - timedelta(minutes=2), 20), applied=moment(APPLIED, 20)
    ),
    "words alone": report(lines=(line(loinc=None),)),
    "erased": report(
        patient=Patient(key="person-1", id=None), reader=Named(key="operator-1", id=None)
    ),
    "a repeat": report(
        Outcome.NEGATIVE,
        id="cartridge-2",
        label="C2",
        repeat_of="C1",
        earlier=(
            report(Outcome.INVALID),
            lapsed(id="cartridge-0", label="C0"),
            report(None, ResultStatus.WITHHELD, id="cartridge-9", version=0),
        ),
    ),
    "three lines": report(
        lines=(
            line(key="a", mark="A", name="Influenza A antigen", loinc="80382-5"),
            line(Outcome.NEGATIVE, key="b", mark="B", name="Influenza B antigen", loinc="80383-3"),
            line(Outcome.NEGATIVE),
        )
    ),
    "odd text": report(
        label="=C1|^~\\&",
        patient=Patient(key="person-1", id="-12|^~\\&\r", name="Zoë Łäng|O'Hara\n^", born=None),
        kit=Kit(lot="@L&100", expires=None),
    ),
}
NOWHERE = UUID(int=0)
