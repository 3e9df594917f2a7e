"""From the fields of the page to cells. Pure.

A field has the path of its cell as its name. In a row that is still blank each name to be typed stands as +1, +2, and
is typed in a field of its own: `key:kits.+1` names the kit whose price is in `kits.+1.kit_price`.
"""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from handover.charges import Problem
from handover.ratecard.flat import BEYOND
from handover.ratecard.paths import join, split
from handover.ratecard.schema import Steps, node_at

KEY = "key:"
FIELD = "cell:"


def posted_cells(posted: Mapping[str, str]) -> tuple[dict[str, str], list[Problem]]:
    """The cells with something in them, as typed; a value whose row nobody named keeps its +1 and is a problem."""
    cells: dict[str, str] = {}
    problems: list[Problem] = []
    for name, value in posted.items():
        if name.startswith(FIELD) and value.strip():
            path = _named(split(name.removeprefix(FIELD)), posted)
            if path in cells:
                problems.append(Problem(path, _("This row is here twice. Empty one of both.")))
            cells.setdefault(path, value.replace("\r\n", "\n").strip())
            if is_blank(path):
                problems.append(Problem(path, _("Say what this is for, at the beginning of the row.")))
    return cells, problems


def is_blank(path: str) -> bool:
    return any(name.startswith("+") for name in split(path))


def _named(names: list[str], posted: Mapping[str, str]) -> str:
    """The path with what was typed in place of each +1, or as it is when one was left out.

    A limit that nobody typed is beyond all.
    """
    typed = list(names)
    for at, name in enumerate(names):
        if name.startswith("+"):
            said = posted.get(KEY + join(names[: at + 1]), "").strip()
            typed[at] = said or (BEYOND if isinstance(node_at(typed[:at]), Steps) else name)
    return join(names if is_blank(join(typed)) else typed)
