"""Run the command line as a module."""

from __future__ import annotations

from readbell.cli.starting import starting

starting()  # what is imported below is kept as well

from readbell.cli.main import main  # noqa: E402

raise SystemExit(main())
