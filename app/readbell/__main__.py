"""Run the command line as a module."""

from __future__ import annotations

from readbell.cli.main import main

raise SystemExit(main())
