"""The board on a terminal: one widget that shows lines, and keys handed to whoever takes them.

Nothing here has a focus, a binding, a dialog or a default button, so no scan
can press anything. Each key is taken in the very turn in which it arrives.
"""

from __future__ import annotations

import asyncio
import io
import os
import signal
import sys
from typing import TYPE_CHECKING, Any, Protocol

from rich.console import Console
from textual import events, messages
from textual.app import App

from readbell.ui.crash import Crashed, Ending, Left, LeftBy, crashed_by
from readbell.ui.keyboard import BURST, Keyboard
from readbell.ui.palette import Depth, Ground, style_of
from readbell.ui.sheet import Sheet
from readbell.ui.torn import Torn

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from rich.console import RenderableType
    from rich.style import Style
    from textual.app import ComposeResult
    from textual.driver import Driver
    from textual.filter import LineFilter

    from readbell.hand.given import Given, Steer
    from readbell.ui.ink import Line, Piece

LONGEST_TICK = 1.0
SHORTEST_TICK = 0.01
BETWEEN_REPAINTS = 0.05
"""Seconds; of many news in less only the last is painted."""
_ENDING_SIGNALS = ("SIGTERM", "SIGHUP", "SIGINT")


class Screenful(Protocol):
    """What stands on the screen, and who takes what a person gives.

    Once it has done what was given it asks the shell for another picture, if any is to be seen.
    """

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Return the present picture; asked at each repaint."""

    def take(self, given: Given) -> None:
        """Take a scan or a key."""

    def click(self, column: int, row: int) -> None:
        """Take a click on a cell."""

    def typed(self, text: str) -> None:
        """Learn what stands in the scan line so far."""

    def beat(self) -> None:
        """Learn that the screen lives: the last picture has reached the terminal."""

    def until_next_tick(self) -> float:
        """Return the seconds to the next whole one of the bay's clock."""


class Shell(Protocol):
    """What a screenful may ask of the terminal, from any thread."""

    def repaint_soon(self) -> None:
        """Have the picture painted anew, now or within a moment."""

    def leave(self, by: LeftBy = LeftBy.HAND) -> None:
        """End the board."""


class Repaint(events.Event, bubble=False):
    """The picture has changed."""


class Tick(events.Event, bubble=False):
    """A second is over."""


class Settle(events.Event, bubble=False):
    """A key that waited may count now."""


class BoardApp(App[None], inherit_bindings=False):
    """The board.

    Args:
        screenful_of: makes what is shown, given the shell it may ask.
        ground: what everything stands on.
        depth: how much colour the terminal gets.
        driver: the way to the terminal; None for the library's own.
        steering: what keys do beside those of every board.
        once_shown: called when the first picture has had a moment to reach the terminal.
    """

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    ESCAPE_TO_MINIMIZE = False
    AUTO_FOCUS = None
    TITLE = ""
    CSS = "Screen { overflow: hidden; }"

    def __init__(
        self,
        screenful_of: Callable[[Shell], Screenful],
        *,
        ground: Ground = Ground.DARK,
        depth: Depth = Depth.FULL,
        driver: type[Driver] | None = None,
        steering: Mapping[str, Steer] | None = None,
        once_shown: Callable[[], None] | None = None,
    ) -> None:
        super().__init__(driver_class=driver, ansi_color=True)
        self.animation_level = "none"
        # The library would put two widgets more on the screen, for what no board ever shows.
        self._disable_tooltips = self._disable_notifications = True
        self.console = _console(depth, os.environ)
        self.ending: Ending | None = None
        self._ground, self._depth = ground, depth
        self._sheet = Sheet(self._dress, self.repaint_soon)
        self._keys = Keyboard(steering)
        self._once_shown = once_shown
        self._shown_text = ""
        self._asked = False
        self._torn = Torn()
        self._painted_at = float("-inf")
        self._turns: asyncio.AbstractEventLoop | None = None
        self._screenful = screenful_of(self)

    # What a screenful may ask, from any thread.

    def repaint_soon(self) -> None:
        """Have the picture painted anew; asked often, it is painted once."""
        if self._turns is not None and not self._asked:
            self._asked = True
            self._in_turn(self._plan_repaint)

    def torn(self) -> None:
        """Have all of the picture painted: what stood on the terminal is no longer known."""
        self._torn.tear()
        self.repaint_soon()

    def leave(self, by: LeftBy = LeftBy.HAND) -> None:
        """End the board."""
        self._in_turn(self._end, Left(by))

    def input_ended(self) -> None:
        """End the board: nobody can give anything any more."""
        self.leave(LeftBy.INPUT_ENDED)

    def fail(self, error: Exception) -> None:
        """End the board by a fault in one of its threads."""
        self._in_turn(self._handle_exception, error)

    # The library's hooks.

    async def live(self, *, mouse: bool = True) -> None:
        """Show the board until it ends."""
        # Known from the start: the word to end may come before there is anything to see.
        self._turns = turns = asyncio.get_running_loop()
        turns.set_exception_handler(self._note_loose_end)
        numbers = [getattr(signal, name) for name in _ENDING_SIGNALS if hasattr(signal, name)]
        if sys.platform != "win32":
            for number in numbers:
                turns.add_signal_handler(number, self.leave, LeftBy.SIGNAL)
        await self.run_async(mouse=mouse)

    def compose(self) -> ComposeResult:
        """Yield the one widget."""
        yield self._sheet

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return none: the palette has chosen the colours for this terminal already."""
        return ()

    async def on_event(self, event: events.Event) -> None:
        """Take what a person gives here and now; let the library have the rest."""
        match event:
            case events.Key():
                self._give(self._keys.press(event.key, event.character, event.time))
                self._settle_later()
            case events.Paste():
                self._give(self._keys.pasted(event.text, event.time))
            case Settle():
                self._give(self._keys.settle(event.time))
                self._settle_later()
            case events.MouseDown():
                if not self._keys.in_burst(event.time):
                    self._screenful.click(event.x, event.y)
            case events.InputEvent() | events.AppFocus() | events.AppBlur():
                pass
            case Tick():
                self._tick()
            case Repaint():
                self._paint()
            case events.Resize() if self._size is not None:
                self._take_size(event)
            case events.Mount():
                await super().on_event(event)
                self._turns = asyncio.get_running_loop()
                self._tick()
            case _:
                await super().on_event(event)

    def panic(self, *renderables: RenderableType) -> None:  # noqa: ARG002  # would print values
        """End; whoever started the board says why."""
        self._close_messages_no_wait()

    def _fatal_error(self) -> None:
        self._close_messages_no_wait()

    def _handle_exception(self, error: Exception) -> None:
        if not isinstance(self.ending, Crashed):
            self.ending = crashed_by(error)
        super()._handle_exception(error)

    def _set_pointer_shape(self, shape: str) -> None:
        """Leave the pointer alone: it ends in a bell where a terminal does not know of it."""

    def _print_error_renderables(self) -> None:
        self._exit_renderables.clear()

    def _on_terminal_supports_synchronized_output(
        self, message: messages.TerminalSupportsSynchronizedOutput
    ) -> None:
        self._sync_available = True
        message.stop()

    # Own turns.

    def _give(self, given: Iterable[Given]) -> None:
        for each in given:
            self._screenful.take(each)
        if self._keys.text != self._shown_text:
            self._shown_text = self._keys.text
            self._screenful.typed(self._shown_text)
            # Not for what was given: it has yet to be done, and its picture would wait for this one.
            self.repaint_soon()

    def _take_size(self, event: events.Resize) -> None:
        """Lay the board out for another size here and now.

        The library would wait 8 ms for the next one, by a timer that never fires if the machine
        holds it up just then: the board would keep that size, whatever the window does.
        """
        if event.size != self._size:
            self._size, self._resize_event = event.size, event
            self._check_resize()

    def _settle_later(self) -> None:
        if self._keys.holds and self._turns is not None:
            # As a message it stands behind every key that was read before it.
            self._turns.call_later(BURST, lambda: self.post_message(Settle()))

    def _tick(self) -> None:
        if not self._is_behind():
            self._screenful.beat()
        if self._turns is not None:
            self._torn.tick(self._sheet.size.height, self._turns.time())
        getattr(self._driver, "look_again", lambda: None)()
        self._paint()
        span = min(max(self._screenful.until_next_tick(), SHORTEST_TICK), LONGEST_TICK)
        if self._turns is not None:
            self._turns.call_later(span, lambda: self.post_message(Tick()))

    def _paint(self) -> None:
        # Cleared first: what is told while painting is painted next.
        self._asked = False
        size = self._sheet.size
        if self._turns is None:
            return
        if not size.area:
            # Not laid out yet: what the library paints then shall be a picture, and no empty window.
            self._torn.library_paints(self.size)
            self._sheet.keep(self._screenful.lines(*self.size))
            return
        self._painted_at = self._turns.time()
        if self._is_behind():
            # It may be so for an instant alone: whoever asked is not to wait for the next second.
            self.repaint_soon()
            return
        lines = self._screenful.lines(size.width, size.height)
        changes = self._sheet.show(lines, self.console, self._torn.paint(size))
        if changes and self._driver is not None and not self.is_headless:
            self._begin_update()
            self._driver.write(changes)
            self._end_update()
        if self._once_shown is not None:
            self._turns.call_later(BETWEEN_REPAINTS, self._once_shown)
            self._once_shown = None

    def _is_behind(self) -> bool:
        """Say whether the terminal does not keep up; what it shows is old, then, and no life."""
        return getattr(self._driver, "behind", False)

    def _plan_repaint(self) -> None:
        if self._turns is not None:
            wait = self._painted_at + BETWEEN_REPAINTS - self._turns.time()
            self._turns.call_later(max(0.0, wait), lambda: self.post_message(Repaint()))

    def _end(self, left: Left) -> None:
        if self.ending is None:
            self.ending = left
            self.exit()

    def _in_turn(self, call: Callable[..., object], *arguments: object) -> None:
        if self._turns is not None:
            try:
                self._turns.call_soon_threadsafe(call, *arguments)
            except RuntimeError:
                return  # it has ended already

    def _note_loose_end(self, _: asyncio.AbstractEventLoop, found: Mapping[str, Any]) -> None:
        error = found.get("exception")
        if isinstance(error, Exception) and self.ending is None:
            self._handle_exception(error)

    def _dress(self, piece: Piece, chosen: bool) -> Style:
        return style_of(
            piece.token, ground=self._ground, depth=self._depth, bold=piece.bold, chosen=chosen
        )


def run_board(
    screenful_of: Callable[[Shell], Screenful],
    *,
    ground: Ground = Ground.DARK,
    depth: Depth = Depth.FULL,
    mouse: bool = True,
    steering: Mapping[str, Steer] | None = None,
    once_shown: Callable[[], None] | None = None,
) -> Ending:
    """Show the board until it ends, and return how; no fault of it ever comes out of here."""
    driver: type[Driver] | None = None
    if sys.platform != "win32":
        from readbell.ui.driver import BoardDriver  # cannot be had there

        driver = BoardDriver
    try:
        app = BoardApp(
            screenful_of,
            ground=ground,
            depth=depth,
            driver=driver,
            steering=steering,
            once_shown=once_shown,
        )
        asyncio.run(app.live(mouse=mouse))
    except Exception as error:  # noqa: BLE001  # the bay must outlive any screen
        return crashed_by(error)
    return app.ending or Left(LeftBy.HAND)


def _console(depth: Depth, environment: Mapping[str, str]) -> Console:
    """Return what turns looks into codes; it never gets to choose whether there are any."""
    many = environment.get("COLORTERM", "").lower() in {"truecolor", "24bit"}
    system = "standard" if depth is not Depth.FULL else "truecolor" if many else "256"
    return Console(
        file=io.StringIO(),
        color_system=system,  # type: ignore[arg-type]  # one of its literals
        force_terminal=True,
        legacy_windows=False,
        markup=False,
        emoji=False,
        highlight=False,
    )
