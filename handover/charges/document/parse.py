"""From a document to a case, or to every reason why not."""

from collections.abc import Mapping
from zoneinfo import ZoneInfo

from handover.charges.document.case import SPOKEN_OF_A_CASE, Case
from handover.charges.document.checks import held_at, same_value
from handover.charges.document.intake import Intake, RefusedError, record, spoken
from handover.charges.document.problems import DocumentError, Problem

_READ_CASE = record(Case, ignored=SPOKEN_OF_A_CASE)


def parse(document: object) -> Case:
    """The case that a pricing document states.

    Raises DocumentError with one problem for each thing that is missing, unknown, unreadable or impossible.
    """
    if not isinstance(document, Mapping):
        raise DocumentError((Problem("", f"This is {spoken(document)}; a case is an object in braces."),))
    intake = Intake(ZoneInfo("UTC"), [])
    intake.zone = _zone(document, intake)
    case = _read(document, intake)
    if case is not None:
        _check_corrections(case, document, intake)
    if intake.problems or case is None:
        raise DocumentError(tuple(intake.problems))
    return case


def _read(document: Mapping[str, object], intake: Intake) -> Case | None:
    try:
        return _READ_CASE(document, "", intake)
    except RefusedError:
        return None


def _zone(document: Mapping[str, object], intake: Intake) -> ZoneInfo:
    name = document.get("time_zone")
    try:
        return ZoneInfo(name if isinstance(name, str) else "UTC")
    except (KeyError, ValueError, OSError):
        intake.refuse("time_zone", f'{spoken(name)} is not a zone of the IANA list; "Europe/Berlin" is one.')
        return intake.zone


def _check_corrections(case: Case, document: Mapping[str, object], intake: Intake) -> None:
    for correction in case.corrections:
        is_there, value = held_at(document, correction.field)
        if not is_there:
            intake.refuse(
                f"{correction.path}.field",
                f"Nothing stands at {correction.field}; a path like legs[0].fuel.out is needed.",
            )
        elif not same_value(value, correction.now):
            intake.refuse(
                f"{correction.path}.now",
                f"{correction.field} holds {value}, not the corrected "
                f"{correction.now}; the document has to hold the corrected reading.",
            )
