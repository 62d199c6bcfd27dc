"""Fixtures of the tests with several stations: a real server, and a wire to it that can be cut."""

from __future__ import annotations

from server import database, server, wire

__all__ = ["database", "server", "wire"]
