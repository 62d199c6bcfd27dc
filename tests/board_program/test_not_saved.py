"""A disk that takes nothing: said on every page, nobody new is started, what runs is finished."""

from __future__ import annotations

from typing import TYPE_CHECKING

from board_program.conftest import PERSONS, on_bench
from readbell.core.cartridge.events import StepDone
from readbell.journal.continuation import continuations_of

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place


class Disk:
    """The disk under a journal, which can be pulled out and put back."""

    def __init__(self, place: Place) -> None:
        self._journal = place.journal
        self._folder = place.journal.parent
        self._spills = [place.folder / "STATE", place.folder / "CACHE"]

    def take_journal(self) -> None:
        """Move the journal away: acts can go beside it."""
        self._journal.rename(self._journal.with_name("away"))

    def bring_journal(self) -> None:
        """Put it back."""
        self._journal.with_name("away").rename(self._journal)

    def take_everything(self) -> None:
        """Leave no folder to write to: files stand where the folders would have to be."""
        self._folder.rename(self._folder.with_name("unplugged"))
        self._folder.write_text("no folder")
        for each in self._spills:
            if each.exists():
                each.rename(each.with_name(f"{each.name}-unplugged"))
            each.write_text("no folder")

    def bring_everything(self) -> None:
        """Put every folder back."""
        self._folder.unlink()
        self._folder.with_name("unplugged").rename(self._folder)
        for each in self._spills:
            each.unlink()


def with_one_in_buffer(place: Place, *options: str, size: tuple[int, int] = (120, 40)) -> Bench:
    """The board, with C01 whose swab stands in the buffer."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board(*options, size=size)
    bench.until(lambda: "WAIT OVER" in bench.row_of("C01"))
    return bench


def test_not_saved_is_shown_starts_are_refused_and_steps_are_taken(place: Place) -> None:
    """The swab cannot wait for a disk, and nobody is begun whose record might not survive."""
    bench = with_one_in_buffer(place)
    disk = Disk(place)
    disk.take_journal()
    bench.scan_for("C01", "[Withdraw the swab]")
    bench.press_for("f3", "ok C01  Withdraw the swab: done.", "NOT SAVED since ")
    bench.until(lambda: "Write results on paper." in bench.rows[1])

    bench.scan("P-0413")
    bench.until(lambda: bench.answer.startswith("no Nothing new can be saved now. Open no pouch"))
    for key, words in (("f9", "[Lots]"), ("f1", "signs and keys")):
        bench.press_for(key, words, "NOT SAVED since ")
    bench.press("escape")
    bench.press("f9")
    bench.until(lambda: bench.bells >= 2)  # each five seconds, muted or not

    disk.bring_journal()
    bench.until(lambda: "NOT SAVED" not in bench.picture)
    assert any(isinstance(e, StepDone) and e.step == "withdraw" for e in place.events())
    bench.scan_for("P-0413", "Only now: open one pouch")
    bench.scan_for("C02", "ok C02  labelled for P-0413")
    assert place.run("verify").returncode == 0


def test_with_no_folder_left_the_board_still_works_and_says_why(place: Place) -> None:
    """What runs is finished by eye and on paper; nothing on the board ends or hangs."""
    bench = with_one_in_buffer(place, "--quiet", size=(80, 24))
    disk = Disk(place)
    disk.take_everything()
    bench.scan_for("C01", "[Withdraw the swab]")
    bench.press_for("f3", "NOT SAVED", "paper")
    bench.press_for("ctrl+q", "Leave the board", "NOT SAVED")
    bench.press_for("escape", "Work goes on.")
    disk.bring_everything()
    bench.until(lambda: "NOT SAVED" not in bench.picture)
    bench.leave()
    assert bench.wait() == 0
    assert place.run("verify").returncode == 0


def test_killed_while_nothing_is_saved_what_stood_beside_is_joined(place: Place) -> None:
    """The continuation file is the record until the journal is back."""
    bench = with_one_in_buffer(place, "--quiet")
    disk = Disk(place)
    disk.take_journal()
    bench.scan_for("C01", "[Withdraw the swab]")
    bench.press_for("f3", "ok C01  Withdraw the swab: done.", "NOT SAVED")
    assert continuations_of(place.journal, ())
    bench.process.kill()
    bench.wait()
    disk.bring_journal()

    again = place.board("--quiet")
    again.until_seen("did not end cleanly")
    again.scan_for("C01", "[Drops onto the well]")
    assert place.cartridge("C01").last_mark.step == "withdraw"


def test_a_journal_that_another_program_writes_is_refused_in_one_sentence(place: Place) -> None:
    """Two boards on one journal would ring past each other."""
    place.prepare()
    place.board()
    second = place.board(until=("another readbell is writing to this journal",))
    assert second.wait() == 2
    assert "\x1b[?1049h" not in second.output.decode()
