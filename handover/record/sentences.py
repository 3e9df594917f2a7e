"""The sentences of a Record that are made of several facts."""

from collections.abc import Iterator, Sequence

from handover.record.content import RecordContent, Statement, Topic, Totals
from handover.record.figures import Writing, figure, language_name


def topics_sentence(content: RecordContent) -> tuple[str, str]:
    """(what is set bold, the rest): how many safety topics were confirmed, in which language, which were not."""
    topics = list(_topics(content))
    safety = [topic for topic in topics if topic.severity == "safety"]
    heard = [topic for topic in safety if topic.outcome == "understood"]
    if not topics:
        return "No topics", "were spoken about on the walk-rounds in this Record."
    said = f"{_were(len(heard))} confirmed one by one{_languages(heard)}"
    others = [topic.title for topic in safety if topic not in heard]
    rest = f"; not confirmed: {', '.join(others)}" if others else ""
    return _counted(len(heard), "safety topic"), f"{said}{rest}{_skipped(topics)}.{_drafts(topics)}"


def _topics(content: RecordContent) -> Iterator[Topic]:
    return (topic for walk in content.walk_rounds for station in walk.stations for topic in station.topics)


def _skipped(topics: Sequence[Topic]) -> str:
    others = [topic for topic in topics if topic.severity != "safety" and topic.outcome == "skipped"]
    named = ", ".join(topic.title for topic in others)
    return f"; {_counted(len(others), 'other topic')} {_were(len(others))} skipped: {named}" if others else ""


def _drafts(topics: Sequence[Topic]) -> str:
    """Which languages were shown as drafts: there the English counts."""
    drafts = (text.language for topic in topics for text in topic.texts if text.state == "draft")
    names = " and ".join(sorted({language_name(language) for language in drafts}))
    return f" What was shown in {names} was a draft translation: the English text counts." if names else ""


def _counted(number: int, thing: str) -> str:
    return f"{number or 'No'} {thing}{'' if number == 1 else 's'}"


def _were(number: int) -> str:
    return "was" if number == 1 else "were"


def _languages(topics: Sequence[Topic]) -> str:
    names = sorted({language_name(topic.language) for topic in topics if topic.language})
    return f" in {' and '.join(names)}" if names else ""


def photos_sentence(content: RecordContent) -> tuple[str, str]:
    """(bold, rest): how many photos are inside, how many are named by their digest only."""
    photos = content.photos()
    inside = sum(photo.printed_sha256 is not None for photo in photos)
    absent = len(photos) - inside
    others = f" {_counted(absent, 'photo')} {'is' if absent == 1 else 'are'} named by digest only." if absent else ""
    return _counted(inside, "photo"), f"and the data of this Record are inside this file.{others}"


def odometer_sentence(content: RecordContent) -> str:
    """41 206 to 42 018: 812 mi."""
    rental, unit = content.rental, content.operator.distance_unit
    if rental.odometer_out is None:
        return "not read when it left"
    if not content.is_return:
        return f"{figure(rental.odometer_out)} {unit}"
    if rental.odometer_back is None:
        return f"{figure(rental.odometer_out)} to not read"
    driven = rental.odometer_back - rental.odometer_out
    return f"{figure(rental.odometer_out)} to {figure(rental.odometer_back)}: {figure(driven)} {unit}"


def tax_sentence(totals: Totals, writing: Writing) -> str:
    where = "is in it" if totals.tax_mode == "inclusive" else "is added to the lines"
    return f"{totals.tax_name} of {writing.money(totals.tax)} {where}."


def deposit_sentence(totals: Totals, writing: Writing) -> tuple[str, str, str]:
    """(before, what is set bold, after): where the deposit goes and what stays to be paid."""
    if totals.balance_due:
        held = f"Deposit {writing.money(totals.deposit_held)} kept:" if totals.deposit_held else ""
        return held, f"{writing.money(totals.balance_due)} to pay", ""
    if totals.refund_due:
        held = f"Deposit {writing.money(totals.deposit_held)} returned, and" if totals.deposit_held else ""
        return held, f"{writing.money(totals.refund_due)} paid back", ""
    if totals.deposit_held:
        held = f"Deposit {writing.money(totals.deposit_held)}:"
        return held, f"{writing.money(totals.deposit_released)} returned", "to the card that paid."
    return "", "", ""


def no_charge_sentence(statement: Statement) -> str:
    """What has a line is charged, whatever else was found about it."""
    charged = {line.title for line in statement.lines}
    free = [name for name in statement.no_charge if name not in charged]
    return f"No charge: {'; '.join(free)}." if free else ""
