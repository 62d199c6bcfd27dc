"""While nothing can be saved nobody new is started, what runs is finished, and bells ring."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import pytest_asyncio

from readbell.core.board.fold import replay
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.refusal import RefusalCode
from readbell.journal.continuation import continuations_of

if TYPE_CHECKING:
    from pathlib import Path

    from bay.conftest import Place, Work


class Disk:
    """The disk under a journal, which can be pulled out and put back."""

    def __init__(self, place: Place) -> None:
        self._place = place
        self._away = place.path.with_name("away")

    def take_journal(self) -> None:
        """Move the journal away: acts can go beside it."""
        self._place.path.rename(self._away)

    def bring_journal(self) -> None:
        """Put the journal back."""
        self._away.rename(self._place.path)

    def take_everything(self) -> None:
        """Leave no folder to write to: files stand where the folders would have to be."""
        folder = self._place.path.parent
        folder.rename(folder.with_name("unplugged"))
        folder.write_text("no folder")

    def bring_everything(self) -> None:
        """Put every folder back."""
        folder = self._place.path.parent
        folder.unlink()
        folder.with_name("unplugged").rename(folder)

    def beside(self) -> list[Path]:
        """The continuation files that stand beside the journal."""
        return continuations_of(self._place.path, (self._place.spill,))


@pytest_asyncio.fixture
async def deep_place(place: Place) -> Place:
    """A place whose folder can itself be taken away, with all that may be spilled into."""
    folder = place.path.parent / "disk"
    folder.mkdir()
    place.path, place.spill = folder / "bay.journal", folder / "spill"
    return place


@pytest_asyncio.fixture
async def running(deep_place: Place) -> Work:
    """A bay in which one cartridge stands with its swab in the buffer."""
    work = await deep_place.take_up()
    await work.prepare()
    await work.to_extract()
    return work


@pytest.fixture
def disk(deep_place: Place) -> Disk:
    """The disk of that bay."""
    return Disk(deep_place)


async def test_a_step_of_a_running_cartridge_is_taken_and_stands_beside(
    running: Work, disk: Disk
) -> None:
    """The swab cannot wait for a disk: the act is taken, on a disk, beside the journal."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))

    (beside,) = disk.beside()
    assert '\\"step\\":\\"withdraw\\"' in beside.read_text()
    assert running.cartridge().last_mark.step == "withdraw"


async def test_all_that_runs_is_finished_while_nothing_is_saved(running: Work, disk: Disk) -> None:
    """Steps and readings go on beside the journal until the last strip is read, and are joined."""
    disk.take_journal()
    running.clock.advance("1:00")
    for step in ("withdraw", "apply"):
        await running.must(running.step(step))
    running.clock.advance("15:00")
    await running.must(running.read())
    disk.bring_journal()
    running.clock.advance("0:02")
    await running.look_about()

    kinds = [type(each.event).__name__ for each in await running.stored()]
    assert kinds[-4:] == ["StepDone", "StepDone", "AlertRaised", "CartridgeRead"]
    assert running.cartridge().stage is Stage.READ


async def test_a_new_label_is_refused_while_nothing_is_saved(running: Work, disk: Disk) -> None:
    """Nobody is started whose record might not survive."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))

    code = await running.refused(running.label("C2", person="P-002"))

    assert code is RefusalCode.NOT_SAVED
    assert running.bay.board.labelled("C2") is None


async def test_listeners_are_told_that_nothing_is_saved_and_why(running: Work, disk: Disk) -> None:
    """The banner must come with the first act that goes beside, not a minute later."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))

    lost = running.told[-1].not_saved
    assert lost is not None
    assert (lost.why, lost.continuation) == ("the file was moved or deleted", disk.beside()[0])


async def test_a_journal_that_has_gone_is_noticed_while_nobody_acts(
    running: Work, disk: Disk
) -> None:
    """Each minute the file is looked for, so the banner comes before the next patient."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.look_about()

    assert running.told[-1].not_saved is not None
    assert await running.refused(running.label("C2")) is RefusalCode.NOT_SAVED


async def test_what_stood_beside_is_joined_once_the_journal_is_back(
    running: Work, disk: Disk
) -> None:
    """The record ends up whole and in one place, as if nothing had been wrong."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))
    disk.bring_journal()
    running.clock.advance("0:02")
    await running.look_about()

    steps = [getattr(each.event, "step", None) for each in await running.stored()]
    assert steps[-1] == "withdraw"
    assert disk.beside() == []
    assert running.told[-1].not_saved is None


@pytest.mark.parametrize(
    ("later", "is_saved"),
    [
        pytest.param("0:01.999", False, id="not yet two seconds"),
        pytest.param("0:02", True, id="two seconds"),
    ],
)
async def test_a_lost_journal_is_tried_again_every_two_seconds(
    running: Work, disk: Disk, later: str, is_saved: bool
) -> None:
    """While nobody new may be started, a minute would be long."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.look_about()
    disk.bring_journal()
    running.clock.advance(later)
    await running.look_about()

    assert (running.told[-1].not_saved is None) is is_saved


async def test_new_people_are_started_again_once_all_is_saved(running: Work, disk: Disk) -> None:
    """A gate that stays shut after the cure costs a working day."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))
    disk.bring_journal()
    running.clock.advance("0:02")
    await running.look_about()

    assert (await running.enter(running.label("C2", person="P-002"))).accepted


async def test_a_near_miss_of_the_gate_is_joined_too(running: Work, disk: Disk) -> None:
    """The register has no hole where the disk had one."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))
    await running.refused(running.label("C2", person="P-002"))
    disk.bring_journal()
    running.clock.advance("0:02")
    await running.look_about()

    assert getattr((await running.stored())[-1].event, "code", None) is RefusalCode.NOT_SAVED


async def test_what_stood_beside_is_joined_by_the_next_start(
    running: Work, disk: Disk, deep_place: Place
) -> None:
    """Killed before the cure, the program still finds what it had acknowledged."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))
    await running.die()
    disk.bring_journal()
    again = await deep_place.take_up(running.clock)

    assert again.cartridge().last_mark.step == "withdraw"
    assert (again.found.branches, disk.beside()) == ((), [])


async def test_a_branch_that_does_not_fit_is_reported_and_kept(
    running: Work, disk: Disk, deep_place: Place
) -> None:
    """The journal went on without it: neither side may be thrown away, a supervisor settles it."""
    disk.take_journal()
    running.clock.advance("1:00")
    await running.must(running.step("withdraw"))
    (beside,) = disk.beside()
    text = beside.read_text()
    beside.unlink()
    disk.bring_journal()
    await running.die()
    other = await deep_place.take_up(running.clock)
    await other.must(other.label("C2", person="P-002"))
    await other.die()
    beside.write_text(text)

    again = await deep_place.take_up(running.clock)

    assert [branch.path for branch in again.found.branches] == [beside]
    assert beside.read_text() == text


async def test_an_act_that_reaches_no_disk_at_all_is_refused(running: Work, disk: Disk) -> None:
    """What is on no disk is not shown as done: paper is safer."""
    running.clock.advance("1:00")
    disk.take_everything()

    code = await running.refused(running.step("withdraw"))

    assert code is RefusalCode.NOT_SAVED
    assert running.cartridge().last_mark.step == "extract"


async def test_a_bell_rings_even_if_nothing_can_be_written(running: Work, disk: Disk) -> None:
    """The strip develops whether or not the disk is there."""
    running.clock.advance("1:00")
    disk.take_everything()

    assert await running.ring() == [(AlertKind.WAIT_OVER, "C1")]
    assert running.told[-1].not_saved is not None


async def test_a_bell_that_could_not_be_recorded_rings_once_only(running: Work, disk: Disk) -> None:
    """Rung and not written is still rung: a broken disk must not make a siren of it."""
    running.clock.advance("1:00")
    disk.take_everything()
    await running.ring()

    assert await running.ring() == []


async def test_a_bell_that_could_not_be_recorded_is_due_again_after_a_restart(
    running: Work, disk: Disk, deep_place: Place
) -> None:
    """The record knows nothing of it, so the next start tells of it first."""
    running.clock.advance("1:00")
    disk.take_everything()
    await running.ring()
    await running.die()
    disk.bring_everything()
    again = await deep_place.take_up(running.clock)

    assert [each.alert for each in again.found.fell_due] == [AlertKind.WAIT_OVER]


async def test_a_lapse_shows_even_if_nothing_can_be_written(deep_place: Place) -> None:
    """A board that still offered a closed window would invite a late reading."""
    work = await deep_place.take_up()
    await work.prepare()
    await work.to_well()
    Disk(deep_place).take_everything()
    work.clock.advance("20:01")
    await work.ring()

    assert work.cartridge().stage is Stage.LAPSED


async def test_a_moved_wall_clock_is_told_even_if_nothing_can_be_written(
    running: Work, disk: Disk
) -> None:
    """Two troubles at once: the second must not be swallowed by the first."""
    disk.take_everything()
    running.clock.wall += 5_000
    await running.look_about()

    kinds = [type(event).__name__ for news in running.told for event in news.events]
    assert kinds[-1] == "ClockJumped"


async def test_work_is_laid_down_even_if_the_clean_mark_cannot_be_written(
    running: Work, disk: Disk, deep_place: Place
) -> None:
    """Ending must not hang or fail; the next start will say that there was no mark."""
    disk.take_everything()
    await running.close()
    disk.bring_everything()
    again = await deep_place.take_up(running.clock)

    assert again.found.clean is False


async def test_saving_goes_on_by_itself_when_the_disk_comes_back(running: Work, disk: Disk) -> None:
    """Nobody has to restart anything: two seconds later the journal is tried again."""
    running.clock.advance("1:00")
    disk.take_everything()
    await running.refused(running.step("withdraw"))
    disk.bring_everything()
    running.clock.advance("0:02")
    await running.look_about()

    assert running.told[-1].not_saved is None
    assert (await running.enter(running.step("withdraw"))).accepted


async def test_what_rang_unrecorded_is_recorded_once_the_disk_is_back(deep_place: Place) -> None:
    """The record must tell the same story as the screen did, or a replay shows another board."""
    work, disk = await deep_place.take_up(), Disk(deep_place)
    await work.prepare()
    await work.to_well()
    disk.take_everything()
    work.clock.advance("20:01")
    await work.ring()
    disk.bring_everything()
    work.clock.advance("0:10")
    await work.look_about()

    stored = replay([each.event for each in await work.stored()])

    assert work.cartridge().stage is Stage.LAPSED
    assert stored == work.bay.board
