"""A bay as plainly as it can be written down: what each act must come to, and what must ring.

It knows nothing of the product and shares no line with it; time and clocks are told to it. Each of
the files beside this one holds one concept of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from machine.plain_erasing import Erasing
from machine.plain_reading import Readings
from machine.plain_sound import Sounds
from machine.plain_steps import Steps


@dataclass
class Bay(Sounds, Steps, Readings, Erasing):
    """The whole of it."""
