"""Every kind of event and refusal about those who are tested."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NASAL, NEGATIVE, at, private
from readbell.assays.content_hash import content_hash
from readbell.core.board.leaving import GONE_ALREADY, NOBODY_WAITS, NOT_WAITING, UNKNOWN_PARTY
from readbell.core.board.paper_runs import NOT_IN_TURN, TO_COME
from readbell.core.board.patients import (
    DAY_TO_COME,
    MINOR,
    NO_SUCH_DAY,
    NOT_AHEAD,
    NOT_ALONE,
    SECOND_WRONG,
)
from readbell.core.instant import Span
from readbell.core.paper.events import PaperFault, PaperRunEntered
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    ParticularNoted,
    PartyNoted,
    PersonLeft,
    SymptomsNoted,
)
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    LeaveReason,
    OfParty,
    Particular,
    ToldTo,
)
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOW = at("18:00")
BY, WHO = "key-op-1", "key-P-001"

PATIENT_EVENTS: list[Event] = [
    *(
        ParticularNoted(at=NOW, by=BY, person=WHO, what=what, value=private("Ada"))
        for what in Particular
    ),
    *(
        ConsentNoted(
            at=NOW,
            by=BY,
            person=WHO,
            giver=giver,
            how=how,
            assays=assays,
            told_to=told,
            words=None,
        )
        for giver, how, told, assays in zip(
            ConsentBy, ConsentHow, ToldTo, ((), (NASAL.id,), ()), strict=True
        )
    ),
    *(
        ConsentRefused(at=NOW, by=BY, person="nobody", reason=reason, words=None)
        for reason in DeclineReason
    ),
    SymptomsNoted(at=NOW, by=BY, person=WHO, present=False, onset=None),
    *(PersonLeft(at=NOW, by=BY, person=WHO, reason=reason, words=None) for reason in LeaveReason),
    LabelledAhead(at=NOW, by=BY, person=WHO, label="C5"),
    *(
        PartyNoted(at=NOW, by=BY, party="nobody", what=what, value=private("lane 1"))
        for what in OfParty
    ),
    SymptomsNoted(at=NOW, by=BY, person=WHO, present=True, onset=private("2026-03-27")),
    SymptomsNoted(
        at=NOW, by=BY, person=WHO, present=True, onset=Private(key="k", salt="", value=None)
    ),
]

PAPER_RUN = PaperRunEntered(
    at=NOW,
    by=BY,
    run="paper-1",
    operator=BY,
    witness="key-op-2",
    label="C31",
    person=WHO,
    lot="L-100",
    assay=content_hash(NASAL),
    steps=(),
    read=NOW,
    give_or_take=Span(60_000),
    bands=NEGATIVE,
    outcomes=(),
    outcome=Outcome.NEGATIVE,
    fault=None,
    deviations=(),
    warnings=(),
)
PATIENT_EVENTS += [PAPER_RUN, *(replace(PAPER_RUN, fault=fault) for fault in PaperFault)]

PATIENT_REFUSALS: list[tuple[str, Refusal]] = [
    *(
        (f"{code} {scheme}", Refusal(code=code, subject=f"{scheme}: 9434765918"))
        for scheme in PatientId
        if scheme is not PatientId.ANY
        for code in (RefusalCode.ID_MALFORMED, RefusalCode.ID_CHECK_FAILED)
    ),
    *(
        (f"second {what}", Refusal(code=RefusalCode.SECOND_MISSING, subject=what))
        for what in SecondIdentifier
        if what is not SecondIdentifier.NONE
    ),
    ("second wrong", Refusal(code=RefusalCode.WRONG_PERSON, subject=SECOND_WRONG)),
    ("no consent", Refusal(code=RefusalCode.CONSENT_MISSING, subject=NASAL.id)),
    *(
        (f"refused {why}", Refusal(code=RefusalCode.CONSENT_REFUSED, subject=why))
        for why in DeclineReason
    ),
    *(
        (subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject))
        for subject in (
            DAY_TO_COME,
            MINOR,
            NO_SUCH_DAY,
            NOT_AHEAD,
            NOT_ALONE,
            TO_COME,
            UNKNOWN_PARTY,
            GONE_ALREADY,
            NOT_WAITING,
            NOBODY_WAITS,
        )
    ),
    ("paper", Refusal(code=RefusalCode.OUT_OF_ORDER, subject=f"{NOT_IN_TURN}: label, apply")),
]
