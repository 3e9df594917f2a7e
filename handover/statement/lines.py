"""The lines of a statement as its page shows them: three amounts, and Workings that say where each figure is from."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from handover.charges.document.checks import held_at
from handover.statement.sticks import stick_of
from handover.statement.words import line_title, unit_text
from shared.phrasebook import said
from shared.templatetags.figures import moment

SHOWN = {"figure": "", "subtotal": "line", "cover": "cover", "due": "due"}


@dataclass(frozen=True, slots=True)
class StepRow:
    """One row of squared paper. `look` is its class: line under a rule, cover in moss, due under a double rule."""

    look: str
    sign: str
    figure: str
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class SourceReading:
    """Who read a figure, when and on what; `photos` are ids, `answer` is the id of the row it stands in."""

    words: str
    who: str
    at: datetime
    instrument: str
    photos: tuple[str, ...]
    answer: str = ""
    paper_sheet: int | None = None


@dataclass(frozen=True, slots=True)
class LineRow:
    """`code` and `ref` name it when it is priced again."""

    number: int
    code: str
    ref: str
    title: str
    measure: str
    raw: Decimal
    covered: Decimal
    covered_by: str
    due: Decimal
    steps: tuple[StepRow, ...]
    stick: SafeString
    readings: tuple[SourceReading, ...]

    @property
    def photos(self) -> list[str]:
        """Each once: both readings of an instrument rest on the photos of both walk-rounds."""
        return list(dict.fromkeys(photo for reading in self.readings for photo in reading.photos))

    @property
    def read_by(self) -> str:
        """gauge: Isla Macrae, then Callum Reid."""
        instruments = dict.fromkeys(reading.instrument for reading in self.readings if reading.instrument)
        people = dict.fromkeys(reading.who for reading in self.readings)
        on = _(" and ").join(said(name) for name in instruments) or _("found")
        papers = dict.fromkeys(reading.paper_sheet for reading in self.readings if reading.paper_sheet)
        sheets = "".join(_(", from paper sheet %(number)s") % {"number": number} for number in papers)
        return f"{on}: {_(', then ').join(people)}{sheets}" if people else ""


@dataclass(frozen=True, slots=True)
class Wording:
    """The operator's own words for what the lines name."""

    names: Mapping[str, str]
    fuel: str
    currency: str
    rate_card: str

    def title(self, row: Mapping[str, Any]) -> str:
        return line_title(row["code"], row["ref"], names=self.names, fuel=self.fuel)

    def unit(self, unit: str) -> str:
        """GBP/L as £/L."""
        return unit_text(unit, self.currency)


def line_rows(result: Mapping[str, Any], inputs: Mapping[str, Any], wording: Wording) -> tuple[LineRow, ...]:
    pairs = enumerate(zip(result["lines"], result["workings"], strict=True), start=1)
    return tuple(_row(number, line, workings, inputs, wording) for number, (line, workings) in pairs)


def _row(
    number: int, line: Mapping[str, Any], workings: Mapping[str, Any], inputs: Mapping[str, Any], wording: Wording
) -> LineRow:  # fmt: skip
    title, sources = _title(line, workings, inputs, wording), inputs.get("sources", {})
    paths = [step["source"] for step in workings["steps"]]
    rests_on = [*zip(paths, (step["label"] for step in workings["steps"]), strict=True), *_facts(line, inputs)]
    return LineRow(
        number=number,
        code=line["code"],
        ref=line["ref"],
        title=title,
        measure=said(workings["measure"]),
        raw=Decimal(line["raw"]),
        covered=Decimal(line["covered"]),
        covered_by=", ".join(said(part["name"]) for part in workings["cover"]),
        due=Decimal(line["amount"]),
        steps=tuple(_step(step, sources, wording) for step in workings["steps"]),
        stick=mark_safe(stick_of(number, title, paths, inputs)),  # noqa: S308 - drawn from numbers, words escaped
        readings=tuple(_readings(rests_on, sources)),
    )


def _title(
    line: Mapping[str, Any], workings: Mapping[str, Any], inputs: Mapping[str, Any], wording: Wording
) -> str:  # fmt: skip
    """A waiver is called by the line that it reduces."""
    if line["code"] != "WAIVER":
        return wording.title(line)
    sources = (step["source"] for step in workings["steps"] if step["source"].startswith("waivers["))
    is_there, code = held_at(inputs, f"{next(sources).rpartition('.')[0]}.code")
    return (
        _("Waived: %(line)s") % {"line": wording.title({"code": code, "ref": line["ref"]})}
        if is_there
        else wording.title(line)
    )


def _step(step: Mapping[str, str], sources: Mapping[str, Any], wording: Wording) -> StepRow:
    return StepRow(
        look=SHOWN[step["kind"]],
        sign=said(step["sign"]),
        figure=step["quantity"],
        unit=wording.unit(step["unit"]),
        source=_source(step, sources, wording),
    )


def _source(step: Mapping[str, str], sources: Mapping[str, Any], wording: Wording) -> str:
    """left with, 14 Aug 10:12; Rate card 7, fuel."""
    if step["source"] in sources:
        at = datetime.fromisoformat(sources[step["source"]]["at"])
        return f"{said(step['label'])}, {moment(at)}"
    if step["source"].startswith("rules.") and wording.rate_card:
        return _("Rate card %(rate_card)s, %(label)s") % {"rate_card": wording.rate_card, "label": said(step["label"])}
    return said(step["label"])


def _facts(line: Mapping[str, Any], inputs: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Where a price follows from a thing found and not from a figure read: the path of the finding, and its words."""
    for number, kit in enumerate(inputs.get("kits", [])):
        if line["code"] == "SAFETY_KIT" and kit["kit"] == line["ref"]:
            yield f"kits[{number}].seal_intact", _("seal looked at")
    for number, item in enumerate(inputs.get("equipment", [])):
        if line["code"] == "EQUIPMENT" and item["item"] == line["ref"]:
            yield f"equipment[{number}].qty", "counted"
    yield from _found(line, inputs)


def _found(line: Mapping[str, Any], inputs: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    if line["code"] == "CLEANING":
        yield f"cleaning.{line['ref'].partition(' ')[0]}.tier", _("looked at")
    if line["code"] == "TOILET":
        yield "waste.toilet_rinsed", _("looked at")
    for number, event in enumerate(inputs.get("events", [])):
        for place, item in enumerate(event["items"]):
            if line["code"] == "DAMAGE" and line["ref"] == item.get("ref", item["part"]):
                yield f"events[{number}].items[{place}].size_mm", "measured"


def _readings(rests_on: Iterable[tuple[str, str]], sources: Mapping[str, Any]) -> Iterator[SourceReading]:
    for path, words in rests_on:
        noted = sources.get(path)
        if noted:
            yield SourceReading(
                words=words,
                who=noted["who"],
                at=datetime.fromisoformat(noted["at"]),
                instrument=noted["instrument"],
                photos=tuple(noted["photos"]),
                answer=noted.get("answer", ""),
                paper_sheet=noted.get("paper_sheet"),
            )
