"""Every kind of event and refusal about those who work here and about results under review."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from builders import CLEAR, NASAL, at, private
from readbell.core.board.competence import UNCLEARED, UNWITNESSED
from readbell.core.board.mixed_up import NO_MIX_UP
from readbell.core.board.review import (
    NEVER_READ,
    NO_REASON,
    NO_RESULT,
    NOT_HELD,
    NOT_READ_YET,
    ON_PAPER,
    OWN_READING,
)
from readbell.core.board.staff import (
    LAST_SUPERVISOR,
    NO_ROLE,
    NONE_SET,
    OWN_CLEARANCE,
    OWN_LOCK,
)
from readbell.core.cartridge.events import ResultAmended
from readbell.core.cartridge.looks import SAME_READER
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import (
    MixUpFound,
    ReadingHeld,
    ReadingReleased,
    ResultWithdrawn,
)
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.core.staff.events import (
    CompetenceStated,
    Opened,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    Proof,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StartSupervised,
    StationLocked,
)
from readbell.core.staff.roles import EVERY_ROLE, Role

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOW = at("18:00")

STAFF_EVENTS: list[Event] = [
    *(
        RolesGiven(at=NOW, by="key-op-1", operator="key-op-2", roles=roles)
        for roles in (EVERY_ROLE, (Role.TESTER,))
    ),
    OperatorRetired(at=NOW, by="key-op-1", operator="key-op-2"),
    PinSet(at=NOW, by="key-op-1", operator="key-op-2"),
    *(SignedIn(at=NOW, operator="key-op-1", proof=proof) for proof in Proof),
    SignedOut(at=NOW, operator="key-op-1"),
    StationLocked(at=NOW),
    OperatorUnlocked(at=NOW, by="key-op-1", operator="key-op-2"),
    *(
        CompetenceStated(
            at=NOW,
            by="key-op-1",
            operator="key-op-1",
            assay_id=NASAL.id,
            until=date(2027, 1, 31),
            vision_checked=seen,
            own=own,
        )
        for own, seen in ((True, None), (False, date(2026, 1, 2)))
    ),
    StartSupervised(at=NOW, by="key-op-1", witness="key-op-2", cartridge="id-C1"),
    *(
        RecordOpened(at=NOW, by="key-op-1", person=person, what=what, since=None)
        for what in Opened
        for person in ("key-P-001", "key-P-002")
    ),
    *(ReadingHeld(at=NOW, by=None, cartridge="id-C1", reasons=(reason,)) for reason in HoldReason),
    ReadingHeld(at=NOW, by="key-op-1", cartridge="id-C1", reasons=tuple(HoldReason)),
    *(
        ReadingReleased(
            at=NOW, by="key-op-1", cartridge="id-C1", reasons=(), words=private("w"), own=own
        )
        for own in (True, False)
    ),
    *(
        ResultWithdrawn(
            at=NOW, by="key-op-1", cartridge="id-C1", reason=reason, words=private("w"), own=own
        )
        for reason in WithdrawReason
        for own in (True, False)
    ),
    *(
        ResultAmended(
            at=NOW,
            by="key-op-1",
            cartridge="id-C1",
            bands=CLEAR,
            outcomes=(LineOutcome(line="sars-cov-2", outcome=outcome),),
            outcome=outcome,
            reason=reason,
            words=private("w"),
            own=own,
        )
        for reason in AmendReason
        for outcome in Outcome
        for own in (True, False)
    ),
    *(
        MixUpFound(
            at=NOW,
            by="key-op-1",
            cartridges=("id-C1",),
            persons=("key-P-001", "key-P-002"),
            reason=reason,
            own=own,
        )
        for reason in (WithdrawReason.ANOTHER_PERSON, WithdrawReason.ANOTHER_CARTRIDGE)
        for own in (True, False)
    ),
]

STAFF_REFUSALS: list[tuple[str, Refusal]] = [
    ("not signed in", Refusal(code=RefusalCode.NOT_SIGNED_IN, subject="op-1")),
    ("a PIN is wanted", Refusal(code=RefusalCode.PIN_WANTED, subject="op-1")),
    ("there is no PIN", Refusal(code=RefusalCode.PIN_WANTED, subject=NONE_SET)),
    ("a wrong PIN", Refusal(code=RefusalCode.WRONG_PIN, subject="op-1")),
    ("a PIN too soon", Refusal(code=RefusalCode.PIN_TOO_SOON, subject="op-1", due=at("3:04"))),
    ("locked out", Refusal(code=RefusalCode.LOCKED_OUT, subject="op-1")),
    *((f"no {role}", Refusal(code=RefusalCode.ROLE_MISSING, subject=role)) for role in Role),
    ("no further repeat", Refusal(code=RefusalCode.REPEAT_LIMIT)),
    ("referred", Refusal(code=RefusalCode.REPEAT_LIMIT, subject="Go to room 4.")),
    ("not cleared", Refusal(code=RefusalCode.NOT_COMPETENT, subject=NASAL.title)),
    ("to be supervised", Refusal(code=RefusalCode.NOT_COMPETENT, subject=UNCLEARED)),
    ("too cold alone", Refusal(code=RefusalCode.OUT_OF_TEMPERATURE, subject=UNWITNESSED)),
    *(
        (subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject))
        for subject in (
            NO_ROLE,
            LAST_SUPERVISOR,
            OWN_CLEARANCE,
            OWN_LOCK,
            NOT_HELD,
            NOT_READ_YET,
            NO_RESULT,
            OWN_READING,
            NO_REASON,
            NEVER_READ,
            NO_MIX_UP,
            SAME_READER,
            ON_PAPER,
        )
    ),
]
