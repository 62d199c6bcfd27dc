"""Disks fail and are mended, programs are killed, and computers start anew."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from machine.given import LABELS, PEOPLE, TRIED, nth
from machine.time_rules import TimeRules


class FaultRules(TimeRules):
    """What goes wrong under a bay."""

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(how=st.sampled_from(["away", "gone"]))
    def the_disk_fails(self, how: str) -> None:
        """Take the journal away, or every place there is to write to."""
        self.stand.break_disk(how)
        self.model.disk = how
        TRIED[f"the disk fails: {how}"] += 1

    @precondition(lambda self: self.model.disk != "fine")
    @rule()
    def the_disk_is_mended(self) -> None:
        """Put back what was taken; nobody has looked yet."""
        self.stand.mend_disk(self.model.disk)
        self.model.disk = "fine"
        TRIED["the disk is mended"] += 1
        TRIED["something rang on no disk"] += bool(self.model.undo)

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(how=st.sampled_from(["gone", "gone", "away"]), ends=st.booleans(), n=nth)
    def an_outage(self, how: str, ends: bool, n: int) -> None:
        """Let the disk fail while something falls due, and be mended, or end the program meanwhile."""
        self.one_more("L-100", PEOPLE[1])
        self.the_disk_fails(how)
        self.until_the_next_border(0, rings=True)
        self.start(LABELS[n % len(LABELS)], PEOPLE[0], "L-100")
        if ends:
            self.again(cleanly=n % 2 == 0, away=0, boots=None)
        else:
            self.the_disk_is_mended()
            self.look_about(2_000)

    @rule(
        cleanly=st.booleans(),
        away=st.sampled_from([0, 0, 1_000, 120_000, 960_000]),
        boots=st.sampled_from([None, None, "sound", "before", "unknown"]),
    )
    def again(self, cleanly: bool, away: int, boots: str | None) -> None:
        """End the program, or kill it, and begin again, on the same or another start of the machine."""
        self.begin_again(cleanly, away, boots)
