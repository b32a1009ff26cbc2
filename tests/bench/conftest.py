"""Prints the measured ratios as one table at the end of the run."""

from __future__ import annotations

import pytest

from tests.bench.ratios import HEADING, MEASURED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table, after everything else."""
    if not MEASURED:
        return
    terminalreporter.section("ratios: medians of runs that took turns")
    terminalreporter.write_line(HEADING)
    for measured in MEASURED:
        terminalreporter.write_line(measured.line)
        terminalreporter.write_line(f"    against {measured.against}")
