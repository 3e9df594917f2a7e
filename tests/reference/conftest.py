"""What the checks rest on: after `pytest -m reference` each source is printed with the number of its checks.

A check names its sources with the marker source("…"); where none is given, the first line of its module does.
"""

from collections import Counter
from collections.abc import Iterator

import pytest
from _pytest.terminal import TerminalReporter


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "source(*names): what a reference check was held to, outside this house")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if item.get_closest_marker("reference"):
            item.user_properties.append(("sources", sources_of(item)))


def sources_of(item: pytest.Item) -> tuple[str, ...]:
    marker = item.get_closest_marker("source")
    if marker:
        return marker.args
    module = item.getparent(pytest.Module)
    words = (module.obj.__doc__ if module else None) or item.nodeid
    return (words.strip().splitlines()[0].rstrip("."),)


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    checks = list(passed(terminalreporter))
    if not checks:
        return
    counted = Counter(source for sources in checks for source in sources)
    terminalreporter.section("reference")
    for source, count in sorted(counted.items()):
        terminalreporter.write_line(f"{count:>5}  {source}")
    terminalreporter.write_line(f"{len(checks)} checks against {len(counted)} sources hold")


def passed(reporter: TerminalReporter) -> Iterator[tuple[str, ...]]:
    for report in reporter.stats.get("passed", []):
        if report.when == "call":
            yield from (value for name, value in report.user_properties if name == "sources")
