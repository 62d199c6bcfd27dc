"""What is to be said of a cartridge, as plainly as it can be written down.

Nothing here is taken from the product. A person who was told something has to hear it when it no
longer holds; what waits for a supervisor or for a second reader is told to nobody.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from machine.plain_cartridge import gravest

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge, Told


def _so_far(found: Cartridge) -> dict[str, str]:
    """Give what is settled of it, each analyte by itself."""
    if found.ended or found.withdrawn:
        return found.outcomes
    return {name: "positive" for name in found.assay.lines if name in found.early}


def status(found: Cartridge) -> str:
    """Give how its result stands, the gravest first."""
    settled = _so_far(found)
    for word, holds in (
        ("withdrawn", found.withdrawn),
        ("no-result", found.void),
        ("second-due", found.awaits and not found.ended),
        ("withheld", "withheld" in settled.values()),
        ("running", not settled),
        ("held", bool(found.held)),
        ("amended", found.amended is not None),
        ("preliminary", not found.ended),
    ):
        if holds:
            return word
    return "final"


def what_to_say(found: Cartridge) -> Told | None:
    """Give what whoever hears of it is told now; None: nothing."""
    word = status(found)
    if word in ("withdrawn", "withheld"):
        return "repeat", {}
    if word not in ("preliminary", "final", "amended"):
        return None
    settled = _so_far(found)
    if word == "preliminary":
        return "preliminary", settled
    return "repeat" if gravest(settled) == "invalid" else "result", settled


def misled(found: Cartridge) -> list[str]:
    """Give those who were told what no longer holds; an office hears of it another way."""
    now = what_to_say(found)
    return [
        to
        for to, heard in found.told.items()
        if to != "office" and now is not None and _misleads(heard, now)
    ]


def urgency(found: Cartridge) -> str | None:
    """Give how urgent it is to tell somebody of it; None: there is nothing to tell.

    It is enough that one of those who may hear it has; whoever was misled hears it themselves.
    """
    now = what_to_say(found)
    if now is None:
        return None
    if misled(found):
        return "put-right"
    if any(to != "office" and _holds(heard, now) for to, heard in found.told.items()):
        return None
    if now[0] == "repeat":
        return "repeat"
    return "positive" if "positive" in now[1].values() else "negative"


def _holds(heard: Told, now: Told) -> bool:
    return heard[0] == now[0] and (heard[0] == "repeat" or heard[1] == now[1])


def _misleads(heard: Told, now: Told) -> bool:
    if _holds(heard, now):
        return False
    adds = now[0] == "preliminary" or heard[0] == "preliminary" != now[0] != "repeat"
    return not adds or not heard[1].items() <= now[1].items()
