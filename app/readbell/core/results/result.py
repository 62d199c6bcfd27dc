"""The result of one cartridge, or of one run on paper: everything that whoever hands it on needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import SubjectKind
from readbell.core.cartridge.moment import Done
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import earlier, later
from readbell.core.made_later import dataclass
from readbell.core.results.standing import standing_of
from readbell.core.results.status import REPORTABLE, ResultStatus

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import Deviation, EarlyPositiveSeen
    from readbell.core.instant import Instant
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.reading.interpretation import Outcome
    from readbell.core.review.events import ResultWithdrawn
    from readbell.core.review.reasons import HoldReason


@dataclass(frozen=True, slots=True, kw_only=True)
class AnalyteResult:
    """What is to be said of one analyte."""

    line: str
    """The key of its test line."""
    outcome: Outcome | None
    """None: it is open, or nothing came of it."""
    first: Outcome | None = None
    """As it stood before a supervisor amended it; None where nobody did."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One result as it stands now; codes and values, for whoever finds the words."""

    cartridge: str
    """The opaque id of the cartridge, or of the run on paper."""
    label: str
    subject: str
    """Key of the person, or of the control material."""
    subject_kind: SubjectKind
    lot: str
    assay: Assay
    assay_hash: str
    """Content hash under which the assay was adopted."""
    status: ResultStatus
    analytes: tuple[AnalyteResult, ...]
    """One for each test line, in the device's order."""
    outcome: Outcome | None
    """Of the whole cartridge; whether it may be told is for `status` to say."""
    collected: Done | None
    """When the specimen was taken; None: not yet, or the assay has no such step."""
    applied: Done | None
    """When the specimen was put on the well."""
    read_at: Instant | None
    """The instant of the (first) reading in the window; None where there was none."""
    read_by: str | None
    """Key of whoever read it (first)."""
    early: EarlyPositiveSeen | None
    """The first look at which something positive was seen before the window."""
    lapsed: bool
    """The window closed and nobody had read it: there is no value, save what was seen early."""
    repeat_of: str | None
    """Opaque id of the cartridge that this one repeats."""
    deviations: tuple[Deviation, ...]
    holds: tuple[HoldReason, ...]
    """Why it waits for a supervisor now."""
    version: int
    """What a receiver has to have heard: 0 while nothing was ever reportable, then rising."""
    since: Instant | None = None
    """When it came to stand as a receiver has to have heard it; None while there is nothing."""
    on_paper: bool = False
    """Every time of it is stated, not timed."""


def is_reportable(result: Result) -> bool:
    """Say whether an outcome may be told now as a patient's: final, amended, or preliminary.

    What was told before and no longer stands is not reportable, and has yet to be taken
    back: its `status` is in `TAKES_BACK` and its `version` above what was told.
    """
    return result.subject_kind is SubjectKind.PATIENT and result.status in REPORTABLE


def result_of(cartridge: Cartridge) -> Result:
    """Return the result of `cartridge`, whatever state it is in."""
    standing = standing_of(cartridge)
    labelled, reading = cartridge.labelled, cartridge.reading
    settled = {each.line: each.outcome for each in standing.outcomes}
    first = {each.line: each.outcome for each in standing.first}
    return Result(
        cartridge=cartridge.id,
        label=cartridge.label,
        subject=labelled.subject,
        subject_kind=labelled.subject_kind,
        lot=labelled.lot,
        assay=cartridge.assay,
        assay_hash=labelled.assay,
        status=standing.status,
        analytes=tuple(
            AnalyteResult(line=line, outcome=settled.get(line), first=first.get(line))
            for line in cartridge.assay.line_keys
        ),
        outcome=standing.outcome,
        collected=_collected(cartridge),
        applied=cartridge.applied,
        read_at=None if reading is None else reading.at,
        read_by=None if reading is None else reading.by,
        early=cartridge.early_looks[0] if cartridge.early_looks else None,
        lapsed=cartridge.stage is Stage.LAPSED and reading is None,
        repeat_of=labelled.repeat_of,
        deviations=cartridge.deviations,
        holds=cartridge.held,
        version=standing.version,
        since=standing.since,
    )


def result_of_paper_run(
    run: PaperRunEntered, assay: Assay, withdrawn: ResultWithdrawn | None
) -> Result:
    """Return the result of a run that was entered from paper.

    It is final as soon as it is entered. Each of its times is known within its doubt alone.

    Args:
        run: as it was entered.
        assay: the one that `run.assay` is the content hash of.
        withdrawn: how a supervisor took it back; None: nobody did.
    """
    stands = withdrawn is None
    moments = {each.step: _stated(run, each.said) for each in run.steps}
    collecting = next((each.key for each in assay.steps if each.collects), None)
    return Result(
        cartridge=run.run,
        label=run.label,
        subject=run.person,
        subject_kind=SubjectKind.PATIENT,
        lot=run.lot,
        assay=assay,
        assay_hash=run.assay,
        status=ResultStatus.FINAL if stands else ResultStatus.WITHDRAWN,
        analytes=tuple(
            AnalyteResult(line=each.line, outcome=each.outcome if stands else None)
            for each in run.outcomes
        ),
        outcome=run.outcome if stands else None,
        collected=None if collecting is None else moments.get(collecting),
        applied=moments.get(assay.last_step.key),
        read_at=run.read,
        read_by=run.operator,
        early=None,
        lapsed=False,
        repeat_of=None,
        deviations=run.deviations,
        holds=(),
        version=1 if withdrawn is None else 2,
        since=run.at if withdrawn is None else withdrawn.at,
        on_paper=True,
    )


def _collected(cartridge: Cartridge) -> Done | None:
    step = next((each for each in cartridge.assay.steps if each.collects), None)
    mark = None if step is None else cartridge.mark_of(step.key)
    return None if mark is None else mark.done


def _stated(run: PaperRunEntered, said: Instant) -> Done:
    doubt = run.give_or_take
    return Done(said=said, earliest=earlier(said, doubt), latest=later(said, doubt), stated=True)
