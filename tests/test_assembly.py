"""The parts put together: a script is read once, played, and its journal kept only if asked."""

from __future__ import annotations

import asyncio
from contextlib import aclosing
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.assays.library import BUNDLED
from readbell.assembly import desk, follow, live_bay
from readbell.bay.opening import Founding
from readbell.core.board.events import BayFounded, Ending, Mode, ProgramStopped
from readbell.core.cartridge.events import AlertKind
from readbell.core.errors import ReadbellError
from readbell.journal.codec import decode
from readbell.journal.errors import InUseError, JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify
from readbell.rehearsals import Run, load_script, rehearse
from readbell.scenarios.line import OperatorLine
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.news import Answer, News
    from readbell.journal.envelope import Envelope

SCENARIO = """\
title = "One swab"
starts = 2026-03-29T00:40:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"
[[operator]]
id = "op-1"
[[lot]]
number = "L-100"
expires = 2026-12-31
[[person]]
id = "P-001"
[[act]]
at = "0:00"
by = "op-1"
do = "label"
cartridge = "C1"
person = "P-001"
lot = "L-100"
[[act]]
at = "0:10"
by = "op-1"
do = "step"
cartridge = "C1"
step = "collect"
"""
LIVE = Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE)


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither find nor leave anything in the folders of whoever runs the tests."""
    for name in ("DATA", "STATE", "CACHE", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """A short scenario in a file; its second act is out of turn."""
    path = tmp_path / "day.toml"
    path.write_text(SCENARIO, encoding="utf-8")
    return path


async def played(
    scenario: Path, journal: Path | None = None, pace: float | None = None
) -> tuple[Run, list[News], list[Answer]]:
    """Play a scenario; return what it came to and what was told on the way."""
    news: list[News] = []
    acts: list[Answer] = []
    run = await rehearse(
        load_script(scenario), journal, pace, news.append, lambda _, answer: acts.append(answer)
    )
    return run, news, acts


def stored(path: Path) -> list[Envelope]:
    """What stands in a journal."""
    journal = SqliteJournal.open(path, read_only=True)
    try:
        return [decode(each, journal.private) for each in chained(journal)]
    finally:
        journal.close()


def test_one_file_always_has_the_same_digest(scenario: Path, tmp_path: Path) -> None:
    """Every id of a run follows from it, wherever the file stands."""
    copy = tmp_path / "copy.toml"
    copy.write_bytes(scenario.read_bytes())

    assert load_script(scenario).digest == load_script(copy).digest


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param('title = "One swab"', 'title = "One Swab"', id="a letter"),
        pytest.param("[[operator]]", "\n[[operator]]", id="an empty line"),
        pytest.param(
            'assay = "respiratory-antigen-nasal"',
            'assay = "respiratory-antigen-three-lines"',
            id="the assay",
        ),
    ],
)
def test_any_change_of_the_file_changes_the_digest(scenario: Path, old: str, new: str) -> None:
    """Two scripts must never share their ids."""
    before = load_script(scenario).digest
    scenario.write_text(SCENARIO.replace(old, new, 1), encoding="utf-8")

    assert load_script(scenario).digest != before


def test_an_assay_that_changes_behind_its_name_changes_the_digest(
    scenario: Path, tmp_path: Path
) -> None:
    """The same script on another method is another run."""
    before = load_script(scenario).digest
    folder = tmp_path / "CONFIG" / "readbell" / "assays"
    folder.mkdir(parents=True)
    bundled = (BUNDLED / "respiratory-antigen-nasal.toml").read_text(encoding="utf-8")
    (folder / "respiratory-antigen-nasal.toml").write_text(
        bundled.replace('closes = "20:00"', 'closes = "30:00"'), encoding="utf-8"
    )

    assert load_script(scenario).digest != before


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        pytest.param(
            'step = "collect"',
            'step = "shake"',
            "act.2.step = 'shake': the assay has no such step: use label, buffer, collect",
            id="a step the assay lacks",
        ),
        pytest.param(
            'id = "P-001"',
            'id = "P-001"\nbands = { test = { X = { from = "6:00" } } }',
            "bands.test.X of person P-001: the assay has no such line",
            id="a line the assay lacks",
        ),
        pytest.param(
            "[[operator]]",
            '[[cartridge]]\nid = "C1"\nbands = { test = { X = { from = "6:00" } } }\n[[operator]]',
            "bands.test.X of cartridge C1: the assay has no such line",
            id="a line a cartridge lacks",
        ),
    ],
)
def test_a_script_that_does_not_fit_its_assay_is_refused(
    scenario: Path, old: str, new: str, fault: str
) -> None:
    """File, place, value and cure, before anything is played."""
    scenario.write_text(SCENARIO.replace(old, new, 1), encoding="utf-8")

    with pytest.raises(WrongFileError) as refused:
        load_script(scenario)

    assert str(refused.value).startswith(f"{scenario}: {fault}")


def test_an_unknown_assay_is_refused_with_the_file_that_names_it(scenario: Path) -> None:
    """Of several files on a command line, the wrong one must be named."""
    scenario.write_text(SCENARIO.replace("-nasal", "-nassal"), encoding="utf-8")

    with pytest.raises(
        WrongFileError, match="'respiratory-antigen-nassal' is not known"
    ) as refused:
        load_script(scenario)

    assert str(scenario) in str(refused.value)


def test_an_unknown_time_zone_is_refused_with_the_file_that_names_it(scenario: Path) -> None:
    """Where the slip is, as for any other key."""
    scenario.write_text(SCENARIO.replace("Europe/London", "Europe/Londinium"), encoding="utf-8")

    with pytest.raises(ReadbellError, match="'Europe/Londinium' is not known") as refused:
        load_script(scenario)

    assert str(scenario) in str(refused.value)


async def test_a_rehearsal_tells_of_every_act_with_its_answer(scenario: Path) -> None:
    """A refused act is told like one that was taken."""
    _, _, acts = await played(scenario)

    assert [each.accepted for each in acts] == [True, False]


async def test_a_rehearsal_tells_of_every_event_in_its_journal(
    scenario: Path, tmp_path: Path
) -> None:
    """What listeners heard and what is stored are one story."""
    path = tmp_path / "kept.journal"
    _, news, _ = await played(scenario, path)

    assert [event for each in news for event in each.events] == [
        each.event for each in stored(path)
    ]


async def test_a_kept_journal_is_marked_as_rehearsal_in_every_event(
    scenario: Path, tmp_path: Path
) -> None:
    """A page torn out of it still says what it is."""
    path = tmp_path / "kept.journal"
    run, _, _ = await played(scenario, path)

    envelopes = stored(path)
    first, last = envelopes[0].event, envelopes[-1].event
    assert isinstance(first, BayFounded)
    assert first.mode is Mode.REHEARSAL
    assert {each.stamp.mode for each in envelopes} == {Mode.REHEARSAL}
    assert isinstance(last, ProgramStopped)
    assert (run.head.seq, run.head.hex) == (len(envelopes), head_of(path))


def head_of(path: Path) -> str:
    """The verified end of a journal."""
    journal = SqliteJournal.open(path, read_only=True)
    try:
        return verify(journal).head.hex
    finally:
        journal.close()


async def test_one_file_played_twice_ends_in_the_same_head(scenario: Path, tmp_path: Path) -> None:
    """Kept or not kept, at any pace: same file in, same bytes out."""
    first, _, _ = await played(scenario)
    second, _, _ = await played(scenario, tmp_path / "kept.journal")
    paced, _, _ = await played(scenario, pace=100_000.0)

    assert first.head == second.head == paced.head


async def test_a_rehearsal_never_writes_over_what_stands(scenario: Path, tmp_path: Path) -> None:
    """The file named by mistake may be the live one."""
    path = tmp_path / "kept.journal"
    path.write_text("something dear")

    with pytest.raises(JournalError, match="something stands there already"):
        await played(scenario, path)

    assert path.read_text() == "something dear"


@pytest.fixture
def left_in_buffer(scenario: Path) -> Path:
    """A scenario that leaves a swab in its buffer and goes away."""
    text = SCENARIO.replace('step = "collect"', 'step = "buffer"')
    for place, step in enumerate(("collect", "extract"), start=2):
        text += (
            f'[[act]]\nat = "0:{place}0"\nby = "op-1"\ndo = "step"\ncartridge = "C1"\n'
            f'step = "{step}"\n'
        )
    scenario.write_text(text, encoding="utf-8")
    return scenario


async def test_a_rehearsal_goes_on_until_nothing_is_pending(left_in_buffer: Path) -> None:
    """What was begun and left is seen to its end."""
    run, _, _ = await played(left_in_buffer)

    assert [each.alert for each in run.alerts] == [AlertKind.WAIT_OVER, AlertKind.OVERDUE]


async def test_a_live_bay_makes_the_folder_of_its_journal(tmp_path: Path) -> None:
    """The first start on a new computer needs no preparation."""
    path = tmp_path / "deep" / "down" / "bay.journal"
    async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL) as (_, found):
        assert found.is_new

    assert path.is_file()


async def test_a_live_bay_says_if_its_folder_cannot_be_made(tmp_path: Path) -> None:
    """A file stands where a folder should: one sentence, not a crash."""
    (tmp_path / "deep").write_text("no folder")

    with pytest.raises(JournalError, match="choose a folder you may write in"):
        async with live_bay(
            tmp_path / "deep" / "bay.journal", LIVE, lambda _: None, lambda: Ending.SIGNAL
        ):
            pass


async def test_a_live_bay_gives_its_lock_back_when_it_ends(tmp_path: Path) -> None:
    """And keeps others out while it runs."""
    path = tmp_path / "bay.journal"
    async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL):
        with pytest.raises(InUseError):
            async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL):
                pass

    async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL) as (_, found):
        assert found.clean


async def test_a_kept_rehearsal_is_never_taken_up_as_live(scenario: Path, tmp_path: Path) -> None:
    """Practice stays practice for ever."""
    path = tmp_path / "kept.journal"
    await played(scenario, path)

    with pytest.raises(ReadbellError, match="of a rehearsal bay and stays so for ever"):
        async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL):
            pass


@pytest.fixture
def damaged(tmp_path: Path) -> Path:
    """A live journal with a hole in the middle of its file."""
    path = tmp_path / "bay.journal"

    async def work() -> None:
        async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL):
            pass

    asyncio.run(work())
    content = bytearray(path.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4096] = bytes(4096)
    path.write_bytes(content)
    return path


async def test_a_damaged_file_is_not_written_to(damaged: Path) -> None:
    """A day must not be recorded into a file that is falling apart."""
    with pytest.raises(JournalError, match="restore a backup"):
        async with live_bay(damaged, LIVE, lambda _: None, lambda: Ending.SIGNAL):
            pass


async def test_whoever_follows_sees_the_present_and_then_the_news(tmp_path: Path) -> None:
    """A second screen needs nothing but the file."""
    path = tmp_path / "bay.journal"
    async with (
        live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL) as (bay, _),
        aclosing(follow(path)) as looks,  # type: ignore[type-var]
    ):
        first = await anext(looks)
        await desk().serve(bay, OperatorLine(do="register-operator", id="op-1"))
        second = await asyncio.wait_for(anext(looks), PATIENCE_SECONDS)

    assert first.board.founded is not None
    assert "op-1" in second.board.operators


async def test_whoever_looks_once_sees_the_present_and_no_more(tmp_path: Path) -> None:
    """A look for a script, not for a screen."""
    path = tmp_path / "bay.journal"
    async with live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL):
        looks = [news async for news in follow(path, once=True)]

    assert len(looks) == 1


async def test_a_journal_that_is_not_there_cannot_be_followed(tmp_path: Path) -> None:
    """And none is made by looking."""
    path = tmp_path / "bay.journal"

    with pytest.raises(JournalError, match="there is no journal: check the name"):
        await anext(follow(path))

    assert not path.exists()
