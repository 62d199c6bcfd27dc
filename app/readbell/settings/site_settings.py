"""What a bay and its board go by, as one site wants them: sound, privacy, colours, and its decisions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

from readbell.core.climate.events import Where
from readbell.core.made_later import dataclass
from readbell.core.policy.policy import UNDECIDED
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from readbell.core.policy.policy import SitePolicy
    from readbell.settings.figures_table import FiguresTable

Grounds: TypeAlias = Literal["dark", "light"]
Colours: TypeAlias = Literal["auto", "full", "16", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteSettings:
    """Each as it comes where the site says nothing.

    `settings_table.py` has every key of the file, those about results and slips too.
    """

    bell: bool = True
    """Ring the bell of the terminal."""
    sound_command: tuple[str, ...] = ()
    """A program and what it is given, run for each sound; no shell reads it."""
    thermometer_command: tuple[str, ...] = ()
    """A program that prints a line of degrees Celsius for each figure of the bay."""
    store_thermometer_command: tuple[str, ...] = ()
    heard_seconds: int = 30
    """How long the sound of a cartridge rests once it was heard."""
    mask_identifiers: bool = True
    """Show patient IDs masked on the board, and what was seen early with them."""
    mask_after_minutes: int = 10
    """Mask them when nobody has touched a key for so long; 0: never."""
    never_flash: bool = False
    ground: Grounds = "dark"
    colours: Colours = "auto"
    ascii: bool = False
    """Draw with plain signs alone."""
    read_limit: int | None = None
    """How many open windows the readers here can serve at once."""
    hands: int = 1
    """How many operators are at work, for the next safe start."""
    gloves_seconds: int | None = None
    """How long a change of gloves takes here; None: as each assay says."""
    figures: FiguresTable | None = None
    """From when on a lot is out of the ordinary; None: as the program comes."""
    policy: SitePolicy = UNDECIDED
    """What the site decides where rules leave it the choice; it goes into the record."""

    @property
    def thermometers(self) -> Mapping[Where, tuple[str, ...]]:
        """The command of each place whose thermometer may speak for itself; empty: it does not."""
        return {
            Where.BAY: self.thermometer_command,
            Where.STORE: self.store_thermometer_command,
        }


AS_IT_COMES = SiteSettings()


def read_settings(path: Path | None = None) -> SiteSettings:
    """Return what the site wants of its bay; all as it comes where it says nothing.

    Raises:
        WrongFileError: a key or a value of the file is wrong, or it cannot be read.
    """
    file = settings_file() if path is None else path
    if not file.exists():
        # Nothing is said, so nothing is checked: what checks takes as long to import as a screen.
        return AS_IT_COMES
    from readbell.settings.settings_table import read_settings_table

    return read_settings_table(file).to_settings()
