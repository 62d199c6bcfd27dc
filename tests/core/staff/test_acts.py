"""Acts about operators and results name nobody when they are printed by accident."""

from __future__ import annotations

from datetime import date

import pytest

from builders import NEGATIVE, START, private
from readbell.core.cartridge.acts import Aim
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.review.acts import ReleaseReading, WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.core.staff.acts import (
    GiveRoles,
    OpenRecord,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.events import Opened

WORDS = private("k")
ACTS = (
    GiveRoles(by="Nemo", operator="Nemo", roles=()),
    RetireOperator(by="Nemo", operator="Nemo"),
    SetPin(by="Nemo", operator="Nemo"),
    SignIn(by="Nemo"),
    SignOut(by="Nemo"),
    UnlockOperator(by="Nemo", operator="Nemo"),
    StateCompetence(by="Nemo", operator="Nemo", assay="a", until=date(2027, 1, 1)),
    OpenRecord(by="Nemo", person="Nemo", what=Opened.HISTORY, since=START),
    ReleaseReading(by="Nemo", cartridge="Nemo", words=WORDS),
    WithdrawResult(by="Nemo", cartridge="Nemo", reason=WithdrawReason.OTHER, words=WORDS),
    ReadUnverified(aim=Aim(by="Nemo", cartridge="Nemo"), bands=NEGATIVE, name=private("Nemo")),
)


@pytest.mark.parametrize("act", ACTS, ids=lambda act: type(act).__name__)
def test_an_act_names_nobody_in_its_repr(act: object) -> None:
    """A crash report holds kinds and places, no people."""
    assert "Nemo" not in repr(act).replace("key-Nemo", "")
