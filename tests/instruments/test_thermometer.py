"""A thermometer of the site's own: a real program, each line a figure or nothing."""

from __future__ import annotations

import sys
from queue import SimpleQueue

import pytest

from patience import PATIENCE_SECONDS
from readbell.core.climate.events import ThermometerFault
from readbell.instruments.thermometer import LONGEST_LINE, Thermometer, degrees


def heard(program: str) -> list[float | ThermometerFault]:
    """All that was told until the program ended."""
    told: SimpleQueue[float | ThermometerFault] = SimpleQueue()
    thermometer = Thermometer([sys.executable, "-c", program], told.put)
    thermometer.start()
    thermometer.wait()
    return [told.get_nowait() for _ in range(told.qsize())]


def test_each_line_is_a_figure() -> None:
    """In the order in which they were printed; then it is said that no more will come."""
    assert heard("print(21.5); print(' -3 '); print('1e1')") == [
        21.5,
        -3.0,
        10.0,
        ThermometerFault.ENDED,
    ]


def test_what_is_no_figure_is_said_once_until_it_makes_sense_again() -> None:
    """A broken probe must not fill the record."""
    assert heard("print('wait'); print('wait'); print(20); print('nan')") == [
        ThermometerFault.NO_FIGURE,
        20.0,
        ThermometerFault.NO_FIGURE,
        ThermometerFault.ENDED,
    ]


def test_bytes_that_are_no_text_and_endless_lines_are_no_figures() -> None:
    """Nothing that a program prints may stop the ear, or fill the memory."""
    program = (
        "import sys; out = sys.stdout.buffer; "
        f"out.write(b'\\xff\\xfe\\n' + b'1' * {LONGEST_LINE * 5} + b'x\\n' + b'19\\n')"
    )
    found = heard(program)
    assert found[0] is ThermometerFault.NO_FIGURE
    assert found[-2:] == [19.0, ThermometerFault.ENDED]


def test_a_program_that_is_not_there_is_said() -> None:
    """Else nobody would read the thermometer off."""
    told: SimpleQueue[float | ThermometerFault] = SimpleQueue()
    thermometer = Thermometer(["/no/such/program"], told.put)
    thermometer.start()
    thermometer.wait()
    assert told.get_nowait() is ThermometerFault.NOT_STARTED


def test_once_closed_it_is_ended_and_tells_no_more() -> None:
    """The bay is gone by then, and nothing may be left running."""
    told: SimpleQueue[float | ThermometerFault] = SimpleQueue()
    program = "import signal\nprint(20, flush=True)\nsignal.pause()"
    thermometer = Thermometer([sys.executable, "-c", program], told.put)
    thermometer.start()
    assert told.get(timeout=PATIENCE_SECONDS) == 20.0
    thermometer.close()
    thermometer.wait()
    thermometer.close()
    assert told.empty()


@pytest.mark.parametrize("text", ["", "x", "20,5", "inf", "-inf", "nan", "20 C"])
def test_only_a_plain_number_is_degrees(text: str) -> None:
    """A program says what it means; what is guessed may be wrong."""
    assert degrees(text) is None
