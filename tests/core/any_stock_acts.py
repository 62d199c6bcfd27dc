"""Any acts on boxes, lots and control samples, sensible or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from builders import NASAL, START, THREE_LINES, TODAY, at, private
from readbell.core.cartridge.acts import Label
from readbell.core.cartridge.events import SubjectKind
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    DescribeLot,
    LastDay,
    LoseUnits,
    PutBack,
    RecallLot,
    ReceiveBox,
    ReleaseLot,
    TakeOut,
    UseBuffer,
)
from readbell.core.stock.events import LossReason, ReleaseReason, Storage

if TYPE_CHECKING:
    from readbell.core.board.acts import Act
    from readbell.core.cartridge.acts import Aim

LOTS = st.sampled_from(["L-100", "L-100", "L-200", "L-404"])
DAYS = st.sampled_from([TODAY, TODAY, date(2027, 1, 1)])
NUMBERS = st.sampled_from(["PC-1", "NC-1", "P-001"])


def stock_acts(
    by: st.SearchStrategy[str], aims: st.SearchStrategy[Aim], labels: st.SearchStrategy[str]
) -> st.SearchStrategy[Act]:
    """Return whatever `by` may do with boxes, lots, and control samples aimed at by `aims`."""
    return st.one_of(
        st.builds(
            ReceiveBox,
            by=by,
            number=LOTS,
            expires=st.sampled_from([date(2026, 12, 31), date(2026, 12, 31), date(2026, 3, 28)]),
            today=DAYS,
            assay=st.sampled_from([None, NASAL.id, THREE_LINES.id]),
            units=st.sampled_from([None, 0, 2]),
            gtin=st.sampled_from([None, "38425876095074"]),
            storage=st.none() | st.sampled_from(Storage),
            buffer=st.sampled_from([None, "B-1"]),
            good_after_opening=st.sampled_from([None, 0, 7]),
        ),
        st.builds(BeginBox, by=by, lot=LOTS, today=DAYS),
        st.builds(TakeOut, by=by, lot=LOTS),
        st.builds(PutBack, by=by, lot=LOTS),
        st.builds(
            LoseUnits,
            by=by,
            lot=LOTS,
            units=st.integers(-1, 4),
            reason=st.sampled_from(LossReason),
        ),
        st.builds(CountUnits, by=by, lot=LOTS, counted=st.integers(-1, 4)),
        st.builds(RecallLot, by=by, lot=LOTS),
        st.builds(
            DescribeLot,
            by=by,
            lot=LOTS,
            storage=st.none() | st.sampled_from(Storage),
            buffer=st.sampled_from([None, "B-1"]),
            good_after_opening=st.sampled_from([None, 0, 7]),
        ),
        st.builds(
            CorrectLot,
            by=by,
            lot=LOTS,
            today=DAYS,
            words=st.just(private("typed wrongly")),
            last_day=st.none()
            | st.builds(
                LastDay,
                on=st.sampled_from([date(2026, 12, 31), date(2026, 3, 28), date(2027, 6, 30)]),
                ends=st.sampled_from([START, at("10:00"), at("9999:00")]),
                is_scanned=st.booleans(),
            ),
            is_past=st.booleans(),
            assay=st.sampled_from([None, NASAL.id, THREE_LINES.id]),
            gtin=st.sampled_from([None, "38425876095074"]),
        ),
        st.builds(ReleaseLot, by=by, lot=LOTS, reason=st.sampled_from(ReleaseReason)),
        st.builds(UseBuffer, by=by, cartridge=labels, buffer=st.sampled_from(["B-1", "B-2"])),
        st.builds(
            ReceiveMaterial,
            by=by,
            number=NUMBERS,
            kind=st.sampled_from(SampleKind),
            assay=st.sampled_from([NASAL.id, THREE_LINES.id]),
            expires=DAYS,
        ),
        st.builds(OpenMaterial, by=by, number=NUMBERS, today=DAYS),
        aims.flatmap(
            lambda aim: st.builds(
                Label,
                aim=NUMBERS.map(lambda number: replace(aim, person=number)),
                new_id=st.just(f"id-{aim.cartridge}"),
                lot=LOTS,
                today=DAYS,
                subject_kind=st.just(SubjectKind.CONTROL_SAMPLE),
            )
        ),
    )
