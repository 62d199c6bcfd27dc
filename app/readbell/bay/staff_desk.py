"""What is said to a bay about those who work there, turned into acts; PINs are looked at here."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, assert_never

from readbell.bay.site_time import day_began, time_zone
from readbell.core.board.decide import decide
from readbell.core.board.staff import attempts_that_lock
from readbell.core.keeping.acts import OpenTrace
from readbell.core.keeping.events import TraceOf
from readbell.core.made_later import dataclass
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    OpenRecord,
    PinCheck,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.events import Opened
from readbell.core.staff.pins import LONGEST, SHORTEST, is_guessed_first, is_pin, refuse_attempt
from readbell.scenarios.staff_lines import (
    AmendLine,
    CompetenceLine,
    LockLine,
    PinLine,
    RecordLine,
    ReleaseLine,
    RetireLine,
    RolesLine,
    SignInLine,
    SignOutLine,
    TraceLine,
    UnlockLine,
    WithdrawLine,
)
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer
    from readbell.bay.pins import Pins
    from readbell.core.board.acts import Act
    from readbell.core.instant import Instant
    from readbell.core.private import Private
    from readbell.scenarios.staff_lines import StaffLine

NO_PIN = f"the PIN is no PIN: choose {SHORTEST} to {LONGEST} digits"
EASY_PIN = "everybody tries this PIN first: choose one that is neither one digit nor counts"
NO_FILE = "no PINs are kept here: name the bay's journal"


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffDesk:
    """Turns lines about operators and results into acts."""

    pins: Pins | None
    private: Callable[[str], Private]
    """Keeps free text apart, so that it can be erased."""

    async def serve(self, bay: Bay, line: StaffLine) -> Answer:
        """Do what `line` asks.

        Raises:
            WrongFileError: the PIN that is to be set is none.
            PinFileError: the file of PINs cannot be read or written.
        """
        match line:
            case SignInLine():
                return await self._sign_in(bay, line)
            case PinLine():
                return await self._set_pin(bay, line)
            case RetireLine():
                return await self._retire(bay, line)
            case TraceLine():
                return await bay.do(act_of_trace(bay, line))
            case _:
                return await bay.do(self._act(bay, line))

    async def _sign_in(self, bay: Bay, line: SignInLine) -> Answer:
        board, check = bay.board, PinCheck.NOT_GIVEN
        key = board.operators.get(line.by)
        if line.pin is not None and key is not None and board.policy.sign_in is SignInBy.PIN:
            standing = board.roster.standing(key)
            # While none is looked at, nothing may show whether this one would be right.
            refused = refuse_attempt(standing, attempts_that_lock(board), bay.now())
            if refused is None:
                # Beside the bay's own turns: an alarm must not wait for a hash.
                check = await asyncio.to_thread(self._pins().check, key, line.pin.value)
        return await bay.do(SignIn(by=line.by, pin=check))

    async def _set_pin(self, bay: Bay, line: PinLine) -> Answer:
        pin = line.pin.value
        if not is_pin(pin):
            raise WrongFileError([NO_PIN])
        if is_guessed_first(pin):
            raise WrongFileError([EASY_PIN])
        act = SetPin(by=line.by, operator=line.operator)
        key = bay.board.operators.get(line.operator)
        if key is not None and not isinstance(decide(bay.board, act, bay.now()), Refusal):
            # First the file: a record that says so while no PIN is kept would lock somebody out.
            await asyncio.to_thread(self._pins().put, key, pin)
        return await bay.do(act)

    async def _retire(self, bay: Bay, line: RetireLine) -> Answer:
        key = bay.board.operators.get(line.operator)
        answer = await bay.do(RetireOperator(by=line.by, operator=line.operator))
        if answer.accepted and key is not None and self.pins is not None:
            # Nobody signs in by it any more; there is no reason to keep it.
            await asyncio.to_thread(self.pins.drop, key)
        return answer

    def _act(
        self,
        bay: Bay,
        line: RolesLine
        | SignOutLine
        | LockLine
        | UnlockLine
        | CompetenceLine
        | RecordLine
        | ReleaseLine
        | WithdrawLine
        | AmendLine,
    ) -> Act:
        match line:
            case RolesLine():
                return GiveRoles(by=line.by, operator=line.operator, roles=line.roles)
            case SignOutLine():
                return SignOut(by=line.by)
            case LockLine():
                return LockStation()
            case UnlockLine():
                return UnlockOperator(by=line.by, operator=line.operator)
            case CompetenceLine():
                return StateCompetence(
                    by=line.by,
                    operator=line.operator,
                    assay=line.assay,
                    until=line.until,
                    vision_checked=line.vision_checked,
                    practised=line.practised,
                )
            case RecordLine():
                return _act_of_record(bay, line)
            case ReleaseLine():
                return ReleaseReading(
                    by=line.by, cartridge=line.cartridge, words=self.private(line.why)
                )
            case WithdrawLine():
                return WithdrawResult(
                    by=line.by,
                    cartridge=line.cartridge,
                    reason=line.reason,
                    words=self.private(line.why),
                    others=line.others,
                    persons=line.persons,
                )
            case AmendLine():
                board = bay.board
                named = board.labelled(line.cartridge) or board.cartridge(line.cartridge)
                return AmendResult(
                    by=line.by,
                    cartridge=line.cartridge,
                    bands=line.to_bands(None if named is None else named.assay),
                    reason=line.reason,
                    words=self.private(line.why),
                )
            case _:
                assert_never(line)

    def _pins(self) -> Pins:
        if self.pins is None:
            raise WrongFileError([NO_FILE])
        return self.pins


def act_of_trace(bay: Bay, line: TraceLine) -> OpenTrace:
    """Return the look at the story that `line` asks for."""
    of, about = TraceOf.DAY, str(line.day)
    if line.figures:
        of, about = TraceOf.FIGURES, ""
    elif line.cartridge is not None:
        of, about = TraceOf.CARTRIDGE, line.cartridge
    elif line.lot is not None:
        of, about = TraceOf.LOT, line.lot
    elif line.operator is not None:
        of, about = TraceOf.OPERATOR, line.operator
    return OpenTrace(by=line.by, of=of, about=about, since=begin_of_day(bay))


def _act_of_record(bay: Bay, line: RecordLine) -> OpenRecord:
    what = Opened.TRACE if line.whole else Opened.HISTORY
    return OpenRecord(by=line.by, person=line.person, what=what, since=begin_of_day(bay))


def begin_of_day(bay: Bay) -> Instant:
    """Return where the site's present day began, on the bay's time line."""
    news = bay.present()
    founded = news.board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    return day_began(news.at, news.wall, zone)
