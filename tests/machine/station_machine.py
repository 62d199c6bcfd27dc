"""Two stations of one shared bay: links are cut, programs killed, clocks set, and nothing is lost.

Both have a real journal and go by the code of the product; the server is a file at the far side of a
link that is cut by hand. There is no second implementation: what is held against the stations is
what is true of the strips, what was acknowledged, and the record read from its first event.
"""

from __future__ import annotations

from machine.link_rules import LinkRules


class StationMachine(LinkRules):
    """Two stations, and whatever is done at them and to them."""
