"""The board inside its own process: turns, repaints and faults, with no terminal in between."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING

import pytest
from textual import events

from readbell.hand.given import Given, Key, Pressed, Scanned
from readbell.ui.app import BETWEEN_REPAINTS, BoardApp
from readbell.ui.crash import Crashed, Left, LeftBy, crashed_by
from readbell.ui.ink import Line, line

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

SECRET = "P-Quillfeather"  # noqa: S105  # a person, not a password


class Counting:
    """Counts what it is asked."""

    def __init__(self) -> None:
        self.given: list[Given] = []
        self.clicks: list[tuple[int, int]] = []
        self.paints = self.beats = 0
        self.text = ""
        self.broken = ""

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Paint, or fail."""
        self._fail_if("lines")
        self.paints += 1
        return (line(f"{width}x{height} [/ [A1] [@click=app.quit]x"),)

    def take(self, given: Given) -> None:
        """Keep it."""
        self._fail_if("take")
        self.given.append(given)

    def click(self, column: int, row: int) -> None:
        """Keep it."""
        self.clicks.append((column, row))

    def typed(self, text: str) -> None:
        """Keep it."""
        self.text = text

    def beat(self) -> None:
        """Count it."""
        self._fail_if("beat")
        self.beats += 1

    def until_next_tick(self) -> float:
        """Tick as seldom as may be."""
        return 60.0

    def _fail_if(self, place: str) -> None:
        if self.broken == place:
            person = SECRET
            raise LookupError(person)


async def until(is_so: Callable[[], bool]) -> None:
    """Let the board go on until `is_so`."""
    async with asyncio.timeout(20):
        while not is_so():  # noqa: ASYNC110  # no event is to stand in the way
            await asyncio.sleep(0.005)  # noqa: TID251  # a real loop


async def on_board(try_out: Callable[[BoardApp, Counting], Awaitable[None]]) -> BoardApp:
    """Run a board without a terminal for as long as `try_out` takes; return it."""
    shown = Counting()
    app = BoardApp(lambda _: shown)
    async with app.run_test(size=(60, 10)):
        await until(lambda: shown.paints > 0)
        await try_out(app, shown)
    return app


def post(app: BoardApp, text: str) -> None:
    """Post a burst of keys, all before any is looked at."""
    for sign in text:
        app.post_message(events.Key("enter" if sign == "\r" else sign, sign))


async def test_a_burst_of_posted_keys_stays_apart() -> None:
    """A test that waits after each key would hide that two scans melt."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        post(app, "S000-ABC\rS001-ABC\rS002-ABC\r")
        await until(lambda: len(shown.given) == 3)
        assert shown.given == [Scanned(f"S00{number}-ABC") for number in range(3)]
        assert shown.text == ""

    await on_board(try_out)


async def test_two_hundred_news_are_one_or_two_repaints() -> None:
    """From any thread, as the bay has its own."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        before = shown.paints

        def flood() -> None:
            for _ in range(200):
                app.repaint_soon()

        thread = threading.Thread(target=flood)
        thread.start()
        thread.join()
        await until(lambda: shown.paints > before)
        await asyncio.sleep(3 * BETWEEN_REPAINTS)  # noqa: TID251  # nothing more is to come
        assert shown.paints - before <= 2

    await on_board(try_out)


async def test_there_is_nothing_to_focus_and_nothing_bound() -> None:
    """So a scan with no field to go to cannot press anything."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        assert app.focused is None
        assert app.screen.focus_chain == []
        post(app, "dn1 \r")
        app.post_message(events.Key("tab", "\t"))
        app.post_message(events.Key("ctrl+c", "\x03"))
        await until(lambda: bool(shown.given))
        assert app.is_running
        assert len(app.screen_stack) == 1

    await on_board(try_out)


async def test_a_key_that_waited_comes_by_itself() -> None:
    """Nothing need follow it."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        app.post_message(events.Key("f5", None))
        await until(lambda: shown.given == [Pressed(Key.READ)])

    await on_board(try_out)


async def test_what_stands_in_the_scan_line_is_told_as_it_grows() -> None:
    """So that it can be seen."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        post(app, "P-04")
        await until(lambda: shown.text == "P-04")
        app.post_message(events.Paste("P-0412"))
        await until(lambda: bool(shown.given))
        assert shown.text == ""

    await on_board(try_out)


async def test_markup_is_shown_as_it_is() -> None:
    """It killed the program, hid a lot number, or became a quit to click on."""

    async def try_out(app: BoardApp, _: Counting) -> None:
        strip = app._sheet.render_line(0)
        assert strip.text.rstrip() == "60x10 [/ [A1] [@click=app.quit]x"
        assert all(not (style and style.meta) for _, style, _ in strip)

    await on_board(try_out)


async def test_asked_to_leave_it_ends() -> None:
    """By hand here; the terminal's own ways are tried on a real one."""

    async def try_out(app: BoardApp, _: Counting) -> None:
        app.leave()
        app.leave(LeftBy.SIGNAL)
        await until(lambda: app.ending is not None)

    assert (await on_board(try_out)).ending == Left(LeftBy.HAND)


@pytest.mark.parametrize("place", ["lines", "take"])
async def test_a_fault_of_painter_or_taker_ends_the_board_with_a_record(place: str) -> None:
    """The bay goes on; whoever started the board says where it was."""
    apps: list[BoardApp] = []

    async def try_out(app: BoardApp, shown: Counting) -> None:
        apps.append(app)
        shown.broken = place
        post(app, "P-0412\r")
        await until(lambda: app.ending is not None)

    with pytest.raises(LookupError):  # as the library hands it on to tests
        await on_board(try_out)
    ending = apps[0].ending
    assert isinstance(ending, Crashed)
    assert ending.kinds == ("builtins.LookupError",)
    assert SECRET not in str(ending)
    assert "tests/ui/test_app.py:" in ending.places[-1]
    assert apps[0].return_code == 1


def int_of_nothing() -> None:
    """Fail with a value in each message."""
    try:
        empty: dict[str, str] = {}
        empty[SECRET]
    except KeyError as error:
        raise ValueError(SECRET) from error


def test_a_crash_names_what_lies_behind_it() -> None:
    """Types only, from the outermost in."""
    try:
        int_of_nothing()
    except ValueError as error:
        crash = crashed_by(error)
    assert crash.kinds == ("builtins.ValueError", "builtins.KeyError")
    assert SECRET not in str(crash)
