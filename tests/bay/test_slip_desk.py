"""A slip that is noted as handed over at the board is made there, in the site's folder."""

from __future__ import annotations

import asyncio
import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pypdf
import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import CLEAR
from core.board.telling_bench import TellingBench
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.slip_desk import hand_over, named_by
from readbell.core.board.entry import Do
from readbell.core.board.telling import TELL_CHANGED
from readbell.core.cartridge.events import SlipReason
from readbell.core.reading.bands import Strength
from readbell.core.results.telling import Channel, Hearer, ResultTold
from readbell.scenarios.line import read_line
from readbell.settings.settings_table import SettingsTable
from readbell.settings.slip_table import SlipTable
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

    from bay.conftest import Place
    from readbell.core.board.board import Board


def told(made: TellingBench, to: Hearer = Hearer.PERSON) -> ResultTold:
    """What is about to be noted of C1."""
    (event,) = made.must(replace(made.tell_act(to=to), how=Channel.SLIP), "20:00")
    assert isinstance(event, ResultTold)
    return event


def read() -> TellingBench:
    """C1 of P-001 is positive."""
    made = TellingBench()
    made.read(CLEAR)
    return made


def settings(folder: Path, heading: str = "") -> SettingsTable:
    """A site with a folder for slips."""
    return SettingsTable(slip=SlipTable(folder=str(folder), heading=heading))


def test_the_slip_lies_in_the_folder_of_the_site_beside_earlier_ones(tmp_path: Path) -> None:
    """A second one of the same cartridge takes no other's place."""
    made = read()
    event = told(made)
    folder = tmp_path / "slips"

    first = hand_over(made.board, event, settings(folder))
    second = hand_over(made.board, event, settings(folder))

    assert [first, second] == [folder / "slip-C1.pdf", folder / "slip-C1-2.pdf"]
    text = pypdf.PdfReader(folder / "slip-C1.pdf").pages[0].extract_text()
    assert "POSITIVE" in text
    assert "P-001" in text


def test_where_no_folder_is_named_none_is_made(tmp_path: Path) -> None:
    """Nor for an office, which gets no slip."""
    made = read()
    event = told(made)

    assert hand_over(made.board, event, SettingsTable()) is None
    assert hand_over(made.board, replace(event, to=Hearer.OFFICE), settings(tmp_path)) is None
    assert hand_over(made.board, event) is None, "as the settings of this computer have it"
    assert not list(tmp_path.iterdir())


def test_a_slip_that_cannot_be_made_says_why(tmp_path: Path) -> None:
    """In one sentence each."""
    made = read()
    event = told(made)
    stands = tmp_path / "file"
    stands.write_text("", encoding="utf-8")

    for where, heading, why in (
        (stands, "", "name another folder"),
        (tmp_path, "王", "cannot be drawn"),
        (tmp_path, "שלום", "cannot be drawn"),
    ):
        with pytest.raises(WrongFileError, match=why):
            hand_over(made.board, event, settings(where, heading))


def test_an_id_and_a_path_have_no_place_in_the_name_of_a_file() -> None:
    """A label may hold any sign that can be seen."""
    assert named_by("../C 1") == "slip-.._C_1"


async def test_the_paper_comes_first_and_what_fails_is_not_noted(
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """A record of a paper that does not exist would mislead."""
    made: list[ResultTold] = []
    fails = False

    def slip(_: Board, telling: ResultTold) -> None:
        if fails:
            raise WrongFileError(["no room"])
        made.append(telling)

    work = await place.take_up()
    await work.prepare(units=20)
    desk = Desk(
        identifiers=RandomIdentifiers(),
        find_assay=lambda _: pytest.fail("no assay is asked for"),
        hand_over=slip,
    )

    async def say(**said: object) -> bool:
        line = read_line(json.dumps({"by": "op-1", "cartridge": "C1", **said}))
        return (await desk.serve(work.bay, line)).accepted  # type: ignore[arg-type]  # no question

    try:
        await work.to_well()
        tell = {"do": "tell", "to": "person", "how": "slip"}
        assert not await say(**tell), "nothing was read yet"
        assert not made
        work.clock.advance("16:00")
        await work.must(work.read())
        assert await say(**tell)
        assert await say(**tell, made=True)
        assert await say(**tell | {"how": "spoken"})
        assert len(made) == 1
        fails = True
        with pytest.raises(WrongFileError):
            await say(**tell)
        stored = [each.event for each in await work.stored()]
        assert len([each for each in stored if isinstance(each, ResultTold)]) == 3
    finally:
        await work.die()


async def test_a_slip_of_what_changed_while_it_was_made_is_not_noted_as_what_it_became(
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """The paper says what was so before, and a record of it has to say the same."""
    work = await place.take_up()
    await work.prepare(units=20)
    loop = asyncio.get_running_loop()

    def slip(_: Board, __: ResultTold) -> None:
        mended = replace(work.read(test=Strength.CLEAR), do=Do.CORRECT, slip=SlipReason.OTHER)
        work.clock.advance("0:10")
        asyncio.run_coroutine_threadsafe(work.must(mended), loop).result()

    desk = Desk(
        identifiers=RandomIdentifiers(),
        find_assay=lambda _: pytest.fail("no assay is asked for"),
        hand_over=slip,
    )
    line = {"do": "tell", "to": "person", "how": "slip", "by": "op-1", "cartridge": "C1"}
    try:
        await work.to_well()
        work.clock.advance("16:00")
        await work.must(work.read())
        answer = await desk.serve(work.bay, read_line(json.dumps(line)))  # type: ignore[arg-type]  # no question
        assert answer.refusal is not None
        assert answer.refusal.subject == TELL_CHANGED
        stored = [each.event for each in await work.stored()]
        assert not [each for each in stored if isinstance(each, ResultTold)]
    finally:
        await work.die()
