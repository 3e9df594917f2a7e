"""A fault as a chain of its kinds and places, without its words and without the values at hand."""

import traceback
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType

ROOT = Path(__file__).resolve().parents[3]
Raised = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


def trace_of(raised: Raised) -> str:
    """Innermost last, as Python prints it; what it came from is before it."""
    return "\n".join(_chain(raised[1])) if raised[1] else ""


def _chain(fault: BaseException) -> Iterator[str]:
    before = fault.__cause__ or (None if fault.__suppress_context__ else fault.__context__)
    if before:
        yield from _chain(before)
        yield "from which came"
    yield from (f"  {_place(frame)} {frame.name}" for frame in traceback.extract_tb(fault.__traceback__))
    yield kind_of(fault)


def kind_of(fault: BaseException | None) -> str:
    return f"{type(fault).__module__}.{type(fault).__qualname__}".removeprefix("builtins.") if fault else ""


def _place(frame: traceback.FrameSummary) -> str:
    path = Path(frame.filename)
    name = path.relative_to(ROOT) if path.is_relative_to(ROOT) else path
    return f"{name}:{frame.lineno}"
