"""The life of a cartridge: which stage follows which.

Rule 1: every change of stage that an event may cause stands in `LIFE`, here.
Rule 2: stages that come by time alone (the window opens, is closing, has
closed) are not recorded: they are worked out from the instant asked about.
Rule 3: an event that `LIFE` does not list for a stage is a broken record.

    labelled -> preparing -> extracting -> developing -> read
        \\___________\\___________\\____________\\------> void
                                                \\----> lapsed

An assay may skip preparing or extracting, never the order. A step that was confirmed and had
not been done is taken back, and leads back to where the cartridge was before it. Where a second
reader is asked for, the first reading leads to `second-reading-due` and not to `read`: until
somebody else has read the strip too it is one that has still to be read, and lapses as one.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import (
    AlertRaised,
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
from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn

if TYPE_CHECKING:
    from collections.abc import Mapping


class Stage(StrEnum):
    """Where a cartridge is; the words stand on the board and in every report."""

    LABELLED = "labelled"
    PREPARING = "preparing"
    EXTRACTING = "extracting"
    DEVELOPING = "developing"
    READ_WINDOW = "read-window"
    CLOSING = "closing"
    SECOND_READING_DUE = "second-reading-due"
    READ = "read"
    LAPSED = "lapsed"
    VOID = "void"


_ONWARD = (Stage.PREPARING, Stage.EXTRACTING, Stage.DEVELOPING)
_BACK = (Stage.LABELLED, Stage.PREPARING, Stage.EXTRACTING)

LIFE: Mapping[Stage, Mapping[type, tuple[Stage, ...]]] = {
    Stage.LABELLED: {
        StepDone: _ONWARD,
        AlertRaised: (Stage.LABELLED,),
        ReadingHeld: (Stage.LABELLED,),
        CartridgeVoided: (Stage.VOID,),
    },
    Stage.PREPARING: {
        StepDone: _ONWARD,
        StepTakenBack: (Stage.LABELLED, Stage.PREPARING),
        AlertRaised: (Stage.PREPARING,),
        ReadingHeld: (Stage.PREPARING,),
        CartridgeVoided: (Stage.VOID,),
    },
    Stage.EXTRACTING: {
        StepDone: (Stage.EXTRACTING, Stage.DEVELOPING),
        StepTakenBack: _BACK,
        AlertRaised: (Stage.EXTRACTING,),
        ReadingHeld: (Stage.EXTRACTING,),
        CartridgeVoided: (Stage.VOID,),
    },
    Stage.DEVELOPING: {
        StepTakenBack: _BACK,
        AlertRaised: (Stage.DEVELOPING,),
        ReadingHeld: (Stage.DEVELOPING,),
        # Of a positive seen early: nothing more may come of the cartridge.
        ResultWithdrawn: (Stage.VOID,),
        ApplicationStated: (Stage.DEVELOPING,),
        EarlyPositiveSeen: (Stage.DEVELOPING,),
        CartridgeRead: (Stage.READ, Stage.SECOND_READING_DUE),
        CartridgeLapsed: (Stage.LAPSED,),
        CartridgeVoided: (Stage.VOID,),
    },
    # What one person has seen on it stays, so it is never void; a supervisor may take it back.
    Stage.SECOND_READING_DUE: {
        AlertRaised: (Stage.SECOND_READING_DUE,),
        ReadingHeld: (Stage.SECOND_READING_DUE,),
        ReadingCorrected: (Stage.SECOND_READING_DUE,),
        ApplicationStated: (Stage.SECOND_READING_DUE,),
        ResultWithdrawn: (Stage.VOID,),
        CartridgeRead: (Stage.READ,),
        CartridgeLapsed: (Stage.LAPSED,),
    },
    # Whoever read it may mend a slip of the keys; it stays read.
    Stage.READ: {
        ReadingCorrected: (Stage.READ,),
        ReadingHeld: (Stage.READ,),
        ReadingReleased: (Stage.READ,),
        ResultAmended: (Stage.READ,),
        ResultWithdrawn: (Stage.READ,),
    },
    Stage.LAPSED: {
        # The alert that a cartridge has lapsed is recorded after the fact it tells of.
        AlertRaised: (Stage.LAPSED,),
        # What was seen early still stands then.
        ReadingHeld: (Stage.LAPSED,),
        ReadingReleased: (Stage.LAPSED,),
        # Of one that was read once, and by no second reader.
        ResultAmended: (Stage.LAPSED,),
        ResultWithdrawn: (Stage.LAPSED,),
    },
    Stage.VOID: {},
}
"""For each recorded stage, the events it allows and the stages they may lead to."""

ENDS = frozenset({Stage.READ, Stage.LAPSED, Stage.VOID})
"""Nothing more comes of a cartridge in one of these."""
