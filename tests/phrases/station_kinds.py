"""One of each thing that may happen to a station of a shared bay, and every refusal about one."""

from __future__ import annotations

from builders import at, private
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stations.apart import ApartReason, Settling
from readbell.core.stations.events import (
    ActKeptApart,
    ApartSettled,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationJoined,
    StationLeft,
    StationsEvent,
)
from readbell.phrases.station_words import KINDS, NOT_ALLOWED

NOW = at("18:00")
BY = "key-op-1"


def apart(kind: str, reason: ApartReason, by: str | None = BY, label: str = "C1") -> ActKeptApart:
    """Something that was done alone at the window, and does not stand."""
    return ActKeptApart(
        at=NOW,
        station="window",
        done=at("15:30"),
        by=by,
        kind=kind,
        version=1,
        reason=reason,
        cartridge="id-C1" if label else None,
        label=label,
        person="key-P-001",
        body="{}",
        entered=private("words"),
        asks=by is not None,
    )


STATION_EVENTS: list[StationsEvent] = [
    StationJoined(at=NOW, station="window", mark="A"),
    StationLeft(at=NOW, station="window"),
    *(CartridgeHeld(at=NOW, cartridge=each, station="window") for each in ("id-C1", "id-gone")),
    *(
        StationGivenUp(at=NOW, by=by, station="window", heir="bench")
        for by in (BY, "key-nobody-knows")
    ),
    *(apart("cartridge-read", reason) for reason in ApartReason),
    *(apart(kind, ApartReason.FOLLOWS) for kind in (*KINDS, "party-noted", "clock-jumped")),
    apart("alert-raised", ApartReason.READ_THERE, by=None),
    apart("particular-noted", ApartReason.SAID_OTHERWISE, by="key-nobody-knows", label=""),
    *(ApartSettled(at=NOW, by=BY, number=0, how=how) for how in Settling),
    ApartSettled(at=NOW, by="key-nobody-knows", number=0, how=Settling.LEFT),
    *(
        JoinedUp(at=NOW, station="window", since=at("12:00"), joined=joined, same=same, apart=apart)
        for joined, same, apart in ((1, 0, 0), (12, 1, 1), (0, 3, 2))
    ),
]

STATION_REFUSALS: list[tuple[str, Refusal]] = [
    ("alone", Refusal(code=RefusalCode.ALONE)),
    ("a label alone", Refusal(code=RefusalCode.ALONE, subject="B")),
    ("held elsewhere", Refusal(code=RefusalCode.HELD_ELSEWHERE, subject="window")),
    ("held nowhere", Refusal(code=RefusalCode.HELD_ELSEWHERE)),
    *((subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject)) for subject in NOT_ALLOWED),
]
