"""Cells of files that people open in a spreadsheet: what it would compute goes out as text. Pure."""

# A spreadsheet runs what begins like this.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def as_text(cell: str) -> str:
    """Behind an apostrophe where a spreadsheet would run it, also where spaces or a line's end stand before it."""
    return f"'{cell}" if _would_run(cell) else cell


def without_guard(cell: str) -> str:
    """What `as_text` was given, for a file that comes back."""
    return cell[1:] if cell.startswith("'") and _would_run(cell[1:]) else cell


def _would_run(cell: str) -> bool:
    return cell.startswith(FORMULA_STARTS) or cell.lstrip().startswith(FORMULA_STARTS)
