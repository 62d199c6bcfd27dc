"""settings.toml: all that one site may say of how it wants the program to be, key by key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import Field, StringConstraints

from readbell.policy_table import PolicyTable
from readbell.settings.export_table import ExportTable
from readbell.settings.figures_table import FiguresTable
from readbell.settings.performance_table import PerformanceTable
from readbell.settings.places import settings_file
from readbell.settings.site_settings import AS_IT_COMES, Colours, Grounds, SiteSettings
from readbell.settings.slip_table import SlipTable
from readbell.settings.training_table import TrainingTable
from readbell.toml_tables import Table, read_tables, read_text

if TYPE_CHECKING:
    from pathlib import Path


Word = Annotated[str, StringConstraints(min_length=1)]
Command = Annotated[tuple[Word, ...], Field(strict=False)]


class KeepingTable(Table):
    """How long people are to be known by name here; it proposes, and nothing acts by itself."""

    days: Annotated[int, Field(ge=0)] = 0
    """After so many days an erasing is proposed; 0: never."""


class SettingsTable(Table):
    """Every key may be left out, and none is needed; what a bay goes by is told at `SiteSettings`."""

    bell: bool = AS_IT_COMES.bell
    sound_command: Command = AS_IT_COMES.sound_command
    thermometer_command: Command = AS_IT_COMES.thermometer_command
    store_thermometer_command: Command = AS_IT_COMES.store_thermometer_command
    heard_seconds: Annotated[int, Field(ge=5, le=60)] = AS_IT_COMES.heard_seconds
    mask_identifiers: bool = AS_IT_COMES.mask_identifiers
    mask_after_minutes: Annotated[int, Field(ge=0, le=1440)] = AS_IT_COMES.mask_after_minutes
    never_flash: bool = AS_IT_COMES.never_flash
    ground: Grounds = AS_IT_COMES.ground
    colours: Colours = AS_IT_COMES.colours
    ascii: bool = AS_IT_COMES.ascii
    read_limit: Annotated[int, Field(ge=1)] | None = AS_IT_COMES.read_limit
    hands: Annotated[int, Field(ge=1, le=50)] = AS_IT_COMES.hands
    fonts: Annotated[tuple[Word, ...], Field(strict=False)] = ()
    """TrueType files whose letters PDFs use beside their own, in the order in which they are tried."""
    gloves_seconds: Annotated[int, Field(ge=0, le=600)] | None = AS_IT_COMES.gloves_seconds
    export: ExportTable = Field(default_factory=ExportTable.model_construct)
    """What things are called where results go."""
    slip: SlipTable = Field(default_factory=SlipTable.model_construct)
    """What stands on result slips beside the results."""
    keeping: KeepingTable = Field(default_factory=KeepingTable.model_construct)
    """How long people are to be known by name here."""
    figures: FiguresTable = Field(default_factory=FiguresTable.model_construct)
    """From when on a lot is out of the ordinary."""
    performance: tuple[PerformanceTable, ...] = Field(default=(), strict=False)
    """How well assays did in studies, for what a result means."""
    policy: PolicyTable = Field(default_factory=PolicyTable.model_construct)
    """What the site decides where rules leave it the choice; it goes into the record."""
    training: TrainingTable | None = None
    """What an attempt at a rehearsal has to be before it may count; None: the site has no rule."""

    def to_settings(self) -> SiteSettings:
        """Return what a bay and its board go by."""
        said = {name: getattr(self, name) for name in SiteSettings.__slots__}
        figures = self.figures if "figures" in self.model_fields_set else None
        return SiteSettings(**said | {"figures": figures, "policy": self.policy.to_policy()})


def read_settings_table(path: Path | None = None) -> SettingsTable:
    """Return all that the site says; as it comes where it says nothing.

    Raises:
        WrongFileError: a key or a value of the file is wrong, or it cannot be read.
    """
    file = settings_file() if path is None else path
    if not file.exists():
        # Nothing is said, so nothing is checked: that takes a moment to get ready.
        return SettingsTable.model_construct()
    return read_tables(read_text(file), SettingsTable, str(file))
