"""What the others recorded while a station was alone, as far as a rule of joining up asks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import AlertHeard
from readbell.core.cartridge.events import (
    ApplicationStated,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    ResultAmended,
    StepDone,
    StepTakenBack,
)
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    ParticularNoted,
    PartyNoted,
    SymptomsNoted,
)
from readbell.core.review.events import ReadingReleased, ResultWithdrawn
from readbell.core.staff.events import OperatorRetired

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.event import Event
    from readbell.core.cartridge.events import AlertKind
    from readbell.core.instant import Instant

LOOKS = (EarlyPositiveSeen, CartridgeRead)
"""By these somebody says what is on a strip for the first time."""

Noted = ParticularNoted | PartyNoted
LastWord = ConsentNoted | ConsentRefused | SymptomsNoted


class Recorded:
    """Events to look others up in: each is found as often as it is there."""

    def __init__(self, events: Iterable[Event]) -> None:
        self._left: dict[tuple[type, Instant], list[Event]] = {}
        for each in events:
            self._left.setdefault((type(each), each.at), []).append(each)

    def take(self, event: Event) -> bool:
        """Say whether `event` is among them, and take it out if it is."""
        left = self._left.get((type(event), event.at), [])
        if event not in left:
            return False
        left.remove(event)
        return True


class Meanwhile:
    """What was done to cartridges and said of people on the other side of a cut link."""

    def __init__(self, theirs: Iterable[Event]) -> None:
        self.looked: set[str] = set()
        """Opaque ids of cartridges of which somebody said what is on them."""
        self.worked: set[str] = set()
        """Those whose procedure went on, or back, or whose time of the drops was stated."""
        self.ended: set[str] = set()
        """Those that lapsed or were given up."""
        self.corrected: set[str] = set()
        self.decided: set[str] = set()
        """Those of which a supervisor released, amended or took back the result."""
        self.heard: set[tuple[str, AlertKind]] = set()
        self.retired: dict[str, Instant] = {}
        """Key of each operator who works here no more, and since when."""
        self._noted: dict[tuple[str, str], str | None] = {}
        self._last: dict[tuple[type, str], LastWord] = {}
        for each in theirs:
            self._note(each)

    def has_touched(self, cartridge: str) -> bool:
        """Say whether anything was done to a cartridge there, beside alerts and holds."""
        return any(cartridge in each for each in (self.looked, self.worked, self.ended))

    def said_what_is_on(self, cartridge: str) -> bool:
        """Say whether somebody looked at a cartridge there, or said anew what was to be seen on it."""
        return any(cartridge in each for each in (self.looked, self.corrected, self.decided))

    def said_otherwise(self, event: Noted) -> bool | None:
        """Say whether the same thing was noted otherwise; None: it was not noted at all."""
        key = _place_of(event)
        return None if key not in self._noted else self._noted[key] != event.value.value

    def consent(self, person: str) -> ConsentNoted | ConsentRefused | None:
        """Return the last word on consent of the person with this key; None: there was none."""
        found = self._last.get((ConsentNoted, person))
        return None if isinstance(found, SymptomsNoted) else found

    def symptoms(self, person: str) -> SymptomsNoted | None:
        """Return the last word on symptoms of the person with this key; None: there was none."""
        found = self._last.get((SymptomsNoted, person))
        return found if isinstance(found, SymptomsNoted) else None

    def _note(self, event: Event) -> None:
        match event:
            case EarlyPositiveSeen() | CartridgeRead():
                self.looked.add(event.cartridge)
            case StepDone() | StepTakenBack() | ApplicationStated():
                self.worked.add(event.cartridge)
            case CartridgeLapsed() | CartridgeVoided():
                self.ended.add(event.cartridge)
            case ReadingCorrected():
                self.corrected.add(event.cartridge)
            case ReadingReleased() | ResultAmended() | ResultWithdrawn():
                self.decided.add(event.cartridge)
            case AlertHeard():
                self.heard.add((event.cartridge, event.alert))
            case OperatorRetired():
                self.retired[event.operator] = event.at
            case ParticularNoted() | PartyNoted():
                self._noted[_place_of(event)] = event.value.value
            case ConsentNoted() | ConsentRefused():
                self._last[ConsentNoted, event.person] = event
            case SymptomsNoted():
                self._last[SymptomsNoted, event.person] = event
            case _:
                pass


def _place_of(event: Noted) -> tuple[str, str]:
    """Return what was noted and of whom."""
    whose = event.person if isinstance(event, ParticularNoted) else event.party
    return whose, event.what
