"""The state of a bay: what its events add up to."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.policy.policy import UNDECIDED, SitePolicy

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.assay.events import AssayAdopted
    from readbell.core.board.events import AlarmTested, AlertHeard, BayFounded
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.people.party import Party
    from readbell.core.stock.lot import Lot


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Board:
    """Everything known of one bay. A value: each event gives a new one."""

    founded: BayFounded | None = None
    policy: SitePolicy = UNDECIDED
    """What the site has decided where rules leave it the choice."""
    assays: Mapping[str, AssayAdopted] = field(default_factory=dict)
    """By content hash, in the order of adoption."""
    operators: Mapping[str, str] = field(default_factory=dict)
    """Operator id to the key that events name."""
    persons: Mapping[str, str] = field(default_factory=dict)
    """Patient id to the key that events name."""
    names: Mapping[str, str | None] = field(default_factory=dict)
    """Key of an operator, a person or a party to the id; None once erased."""
    parties: Mapping[str, Party] = field(default_factory=dict)
    """By key, in the order in which they were registered."""
    came_with: Mapping[str, str] = field(default_factory=dict)
    """Key of a person to the key of the party they came with last."""
    lots: Mapping[str, Lot] = field(default_factory=dict)
    open_lot: str | None = None
    """Number of the lot opened last; None once it is on hold, used up, or none was opened."""
    running: Mapping[str, Cartridge] = field(default_factory=dict)
    """Cartridges that still want something, by their opaque id."""
    ended: Mapping[str, Cartridge] = field(default_factory=dict)
    labels: Mapping[str, str] = field(default_factory=dict)
    """Label on the plastic to the opaque id."""
    history: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Key of a person to their cartridges, in order."""
    heard: Mapping[str, AlertHeard] = field(default_factory=dict)
    """What was last heard of each running cartridge, by its opaque id."""
    muted_until: Instant | None = None
    """It may be past: `alarm.muted_until` says whether the mute still holds."""
    alarm_test: AlarmTested | None = None
    """The last alarm test since the program was started."""
    stopped_cleanly: bool = False
    """Whether the last event is the clean mark."""

    def __repr__(self) -> str:
        """Say how much there is, and name nobody: this may end in a crash report."""
        return f"Board({len(self.running)} running, {len(self.ended)} ended)"

    def cartridge(self, cartridge_id: str) -> Cartridge | None:
        """Return the cartridge with this opaque id, running or ended."""
        return self.running.get(cartridge_id) or self.ended.get(cartridge_id)

    def labelled(self, label: str) -> Cartridge | None:
        """Return the cartridge that carries `label`, or None."""
        found = self.labels.get(label)
        return None if found is None else self.cartridge(found)

    def in_order(self) -> Iterator[Cartridge]:
        """Yield every cartridge, in the order in which they were labelled."""
        for cartridge_id in self.labels.values():
            found = self.cartridge(cartridge_id)
            if found is not None:
                yield found

    def name(self, key: str | None) -> str | None:
        """Return the id behind the key of an operator, a person or a party, unless erased."""
        return None if key is None else self.names.get(key)

    def party_of(self, person: str) -> Party | None:
        """Return the party that the person with this key came with last, or None."""
        found = self.came_with.get(person)
        return None if found is None else self.parties.get(found)

    def assay_called(self, assay_id: str) -> AssayAdopted | None:
        """Return the adoption that counts for `assay_id`: the latest."""
        found = [each for each in self.assays.values() if each.assay.id == assay_id]
        return found[-1] if found else None
