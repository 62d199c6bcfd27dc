"""What is looked at before a shift begins, and what is left when it ends: codes only."""

from __future__ import annotations

from enum import StrEnum

from readbell.core.made_later import dataclass


class Item(StrEnum):
    """One line of the opening checks; part of the record, never changed."""

    ALARM = "alarm"
    """It was sounded since the last shift, and somebody heard it."""
    LIGHT = "light"
    """Printed letters are read with ease where strips are read: for a person to say."""
    BAY_TEMPERATURE = "bay-temperature"
    STORE_TEMPERATURE = "store-temperature"
    CONTROLS = "controls"
    LOTS = "lots"
    """None on the shelf is past its day, on hold, nearly so, or short."""
    OPEN_BOX = "open-box"
    """The box at the bench was scanned since the last shift."""
    ASSAYS = "assays"
    """The files of the adopted assays say what they said when they were adopted."""
    DISK = "disk"
    RECORD = "record"
    """The whole record was held against itself since the program was started."""
    CLOCK = "clock"
    """The computer says that its clock is set by a time source."""
    SETTINGS = "settings"
    """The file of settings has no fault."""
    KEEPING = "keeping"
    """Nobody is known by name here for longer than the site keeps names."""


class CheckState(StrEnum):
    """What was found."""

    FINE = "fine"
    DUE = "due"
    """Somebody still has to do something, and can."""
    FAULT = "fault"
    """It was looked at, and is not in order."""
    UNKNOWN = "unknown"
    """This computer cannot say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One line, and what was found."""

    item: Item
    state: CheckState
    about: tuple[str, ...] = ()
    """Which lots, kinds of sample or assays: never anybody's identifier."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the computer itself says; None: it cannot say."""

    disk_free: int | None = None
    """Bytes left where the record lies."""
    clock_is_set: bool | None = None
    changed_assays: tuple[str, ...] | None = None
    """Ids of adopted assays whose file is gone, or now says something else."""
    record_is_whole: bool | None = None
    settings_are_fine: bool | None = None
    keep_days: int = 0
    """For so many days people are to be known by name here; 0: the site has not said."""


class LeftKind(StrEnum):
    """Something that a shift ends with undone; part of the record, never changed."""

    UNFINISHED = "unfinished"
    """A cartridge still runs: its strip outlives the shift."""
    HELD = "held"
    """A reading waits for a supervisor."""
    UNTOLD = "untold"
    """Nobody was told of a positive, or somebody was told what no longer holds."""
    NOT_NOTIFIED = "not-notified"
    """An office that the site notifies was not."""
    UNSENT = "unsent"
    NOT_COUNTED = "not-counted"
    """A lot was used, and nobody counted what is left of it."""
    TEMPERATURE = "temperature"
    """A figure is due, or the last one lay out of range."""
    CONTROLS = "controls"


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """One kind of thing left undone, and of what."""

    kind: LeftKind
    about: tuple[str, ...] = ()
    """Labels of cartridges, numbers of lots, or places."""
