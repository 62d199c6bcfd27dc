"""The board inside its own process: turns, repaints and faults, with no terminal in between."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING

import pytest
from textual import events
from textual.geometry import Size

from patience import PATIENCE_SECONDS
from readbell.hand.given import Given, Key, Pressed, Scanned
from readbell.ui.app import BETWEEN_REPAINTS, BoardApp, Repaint, Tick
from readbell.ui.crash import Crashed, Left, LeftBy, crashed_by
from readbell.ui.ink import Line, line
from readbell.ui.sheet import Sheet
from readbell.ui.torn import TORN_TICKS

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Sequence

    from rich.console import Console
    from textual.geometry import Region
    from textual.strip import Strip
    from textual.timer import Timer, TimerCallback

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
        return 3_600.0

    def _fail_if(self, place: str) -> None:
        if self.broken == place:
            person = SECRET
            raise LookupError(person)


@pytest.fixture(autouse=True)
def no_second_is_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tick is posted by whoever wants one: on a busy machine more would fall into any test."""
    monkeypatch.setattr("readbell.ui.app.LONGEST_TICK", 3_600.0)


async def until(is_so: Callable[[], bool]) -> None:
    """Let the board go on until `is_so`."""
    async with asyncio.timeout(PATIENCE_SECONDS):
        while not is_so():  # noqa: ASYNC110  # no event is to stand in the way
            await asyncio.sleep(0.005)  # noqa: TID251  # a real loop


class HeldUp(BoardApp):
    """A board on a machine so busy that no timer of the library ever fires."""

    def set_timer(
        self,
        delay: float,
        callback: TimerCallback | None = None,
        *,
        name: str | None = None,
        pause: bool = False,  # noqa: ARG002  # it always waits
    ) -> Timer:
        """Return one that waits for ever."""
        return super().set_timer(delay, callback, name=name, pause=True)


async def on_board(
    try_out: Callable[[BoardApp, Counting], Awaitable[None]], kind: type[BoardApp] = BoardApp
) -> BoardApp:
    """Run a board without a terminal for as long as `try_out` takes; return it."""
    shown = Counting()
    app = kind(lambda _: shown)
    async with app.run_test(size=(60, 10)):
        # The first stands before the board is laid out, the second fits it.
        await until(lambda: shown.paints > 1)
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


async def test_what_is_asked_while_the_terminal_is_behind_is_painted_as_soon_as_it_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It is so for an instant after every picture, and nobody waits for the next second then."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        app.post_message(Tick())  # the next one is an hour away
        await until(lambda: shown.beats > 1)
        monkeypatch.setattr(app._driver, "behind", True, raising=False)
        before = shown.paints
        app.post_message(Repaint())
        await asyncio.sleep(3 * BETWEEN_REPAINTS)  # noqa: TID251  # nothing is to come
        assert shown.paints == before
        monkeypatch.setattr(app._driver, "behind", False)
        await until(lambda: shown.paints > before)

    await on_board(try_out)


async def test_the_first_that_the_library_paints_is_a_picture(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """An empty window would stand until the next, and be painted for nothing."""
    painted: list[str] = []
    render_lines = Sheet.render_lines

    def look(sheet: Sheet, crop: Region) -> list[Strip]:
        strips = render_lines(sheet, crop)
        painted.append("".join(strip.text for strip in strips))
        return strips

    monkeypatch.setattr(Sheet, "render_lines", look)

    async def try_out(_app: BoardApp, _: Counting) -> None:
        await until(lambda: bool(painted))
        assert painted[0].startswith("60x10")

    await on_board(try_out)


async def test_the_last_size_is_taken_though_no_timer_fires() -> None:
    """A one-shot timer is lost where the machine is held up; the board would stay as it is."""

    async def try_out(app: BoardApp, _: Counting) -> None:
        for size in (Size(20, 5), Size(20, 5), Size(90, 30)):
            app.post_message(events.Resize(size, size))
            await until(lambda size=size: app.query_one(Sheet).size == size)  # type: ignore[misc]

    await on_board(try_out, HeldUp)


async def test_another_size_is_painted_whole_though_an_older_repaint_came_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One waited in line when the window changed; all but what changed stayed blank for ever."""
    whole: list[Size] = []
    show = Sheet.show

    def look(sheet: Sheet, lines: tuple[Line, ...], console: Console, torn: Sequence[int]) -> str:
        if len(torn) == sheet.size.height:
            whole.append(sheet.size)
        return show(sheet, lines, console, torn)

    monkeypatch.setattr(Sheet, "show", look)

    async def try_out(app: BoardApp, _: Counting) -> None:
        assert whole == [], "at the start the library paints"
        app.torn()
        app.post_message(Repaint())
        app.post_message(events.Resize(Size(50, 12), Size(50, 12)))
        await until(lambda: Size(50, 12) in whole)

    await on_board(try_out)


async def test_a_torn_window_is_painted_whole_for_some_seconds_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A terminal that cleared itself only after the word of its size stayed blank for ever."""
    whole: list[bool] = []
    show = Sheet.show

    def look(sheet: Sheet, lines: tuple[Line, ...], console: Console, torn: Sequence[int]) -> str:
        whole.append(len(torn) == sheet.size.height)
        return show(sheet, lines, console, torn)

    monkeypatch.setattr(Sheet, "show", look)

    async def try_out(app: BoardApp, _: Counting) -> None:
        app.torn()
        for tick in [Tick() for _ in range(TORN_TICKS + 2)]:
            app.post_message(tick)
        await until(lambda: len(whole) > TORN_TICKS + 2)
        # The repaint that was asked for at once may come before all of them, or after.
        assert whole.count(True) in {TORN_TICKS, TORN_TICKS + 1}
        assert not whole[-1], "and then only what changes"

    await on_board(try_out)


async def test_every_row_is_sent_anew_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    """A message of the system that was written over the board stood there until its end."""
    monkeypatch.setattr("readbell.ui.torn.BETWEEN_HEALINGS", -1.0)
    sent: list[int] = []
    show = Sheet.show

    def look(sheet: Sheet, lines: tuple[Line, ...], console: Console, torn: Sequence[int]) -> str:
        sent.extend(torn)
        return show(sheet, lines, console, torn)

    monkeypatch.setattr(Sheet, "show", look)

    async def try_out(app: BoardApp, _: Counting) -> None:
        monkeypatch.setattr(app, "_is_behind", lambda: True)
        app.post_message(Tick())
        app.post_message(Tick())
        await until(lambda: not app._message_queue.qsize())
        monkeypatch.setattr(app, "_is_behind", lambda: False)
        before = len(sent)
        for tick in [Tick() for _ in range(21)]:
            app.post_message(tick)
        await until(lambda: len(sent) >= before + 21)
        rows = range(app._sheet.size.height)
        first = sent[before]
        assert sent[before:] == [(first + at) % len(rows) for at in range(21)], "none left out"

    await on_board(try_out)


async def test_a_key_is_painted_once_it_was_done_and_not_before() -> None:
    """A picture of what stood there already came first, and the next one had to wait for it."""

    async def try_out(app: BoardApp, shown: Counting) -> None:
        await until(lambda: not app._asked)
        before = shown.paints
        app.post_message(events.Key("f5", None))
        app.post_message(events.MouseDown(None, 3, 4, 0, 0, 1, False, False, False))
        await until(lambda: bool(shown.given and shown.clicks))
        assert (shown.paints, app._asked) == (before, False)
        app.repaint_soon()
        await until(lambda: shown.paints > before)

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
