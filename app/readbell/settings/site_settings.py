"""How one site wants the program to be: sound, privacy, colours, and its decisions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field, StringConstraints

from readbell.core.climate.events import Where
from readbell.policy_table import PolicyTable
from readbell.settings.places import settings_file
from readbell.toml_tables import Table, read_tables, read_text

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

Word = Annotated[str, StringConstraints(min_length=1)]


class SiteSettings(Table):
    """settings.toml: every key may be left out, and none is needed."""

    bell: bool = True
    """Ring the bell of the terminal."""
    sound_command: Annotated[tuple[Word, ...], Field(strict=False)] = ()
    """A program and what it is given, run for each sound; no shell reads it."""
    thermometer_command: Annotated[tuple[Word, ...], Field(strict=False)] = ()
    """A program that prints a line of degrees Celsius for each figure of the bay."""
    store_thermometer_command: Annotated[tuple[Word, ...], Field(strict=False)] = ()
    heard_seconds: Annotated[int, Field(ge=5, le=60)] = 30
    """How long the sound of a cartridge rests once it was heard."""
    mask_identifiers: bool = True
    """Show patient IDs masked on the board, and what was seen early with them."""
    mask_after_minutes: Annotated[int, Field(ge=0, le=1440)] = 10
    """Mask them when nobody has touched a key for so long; 0: never."""
    never_flash: bool = False
    ground: Literal["dark", "light"] = "dark"
    colours: Literal["auto", "full", "16", "none"] = "auto"
    ascii: bool = False
    """Draw with plain signs alone."""
    read_limit: Annotated[int, Field(ge=1)] | None = None
    """How many open windows the readers here can serve at once."""
    hands: Annotated[int, Field(ge=1, le=50)] = 1
    """How many operators are at work, for the next safe start."""
    gloves_seconds: Annotated[int, Field(ge=0, le=600)] | None = None
    """How long a change of gloves takes here; left out: as each assay says."""
    policy: PolicyTable = Field(default_factory=PolicyTable.model_construct)
    """What the site decides where rules leave it the choice; it goes into the record."""

    @property
    def thermometers(self) -> Mapping[Where, tuple[str, ...]]:
        """The command of each place whose thermometer may speak for itself; empty: it does not."""
        return {
            Where.BAY: self.thermometer_command,
            Where.STORE: self.store_thermometer_command,
        }


def read_settings(path: Path | None = None) -> SiteSettings:
    """Return what the site wants; all as it comes where it says nothing.

    Raises:
        WrongFileError: a key or a value of the file is wrong, or it cannot be read.
    """
    file = settings_file() if path is None else path
    if not file.exists():
        # Nothing is said, so nothing is checked: what checks takes as long to get ready as a screen.
        return SiteSettings.model_construct()
    return read_tables(read_text(file), SiteSettings, str(file))
