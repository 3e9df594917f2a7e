"""A whole machine-readable record: the return of unit 407, as Larkmoor Campers of Inverlark would keep it."""

from functools import cache
from hashlib import sha256
from io import BytesIO
from typing import Any

from PIL import Image

Document = dict[str, Any]
ISLA, CALLUM, MAREN = "Isla Macrae", "Callum Reid", "Maren Oduya"
OUT, BACK = "2026-08-14T10:21:00+01:00", "2026-08-18T11:58:00+01:00"
STROKES = [[[46, 90], [56, 50], [68, 30], [70, 82], [92, 32], [96, 86]], [[116, 62], [108, 86], [130, 64], [132, 88]]]
PLAN = '<rect x="98" y="88" width="164" height="486" rx="14" fill="#ffffff" stroke="#1a1724" stroke-width="2.5"/>'


@cache
def photo(shade: int) -> bytes:
    data = BytesIO()
    Image.new("RGB", (96, 72), (shade, 120, 90)).save(data, "JPEG")
    return data.getvalue()


PHOTOS = {sha256(photo(shade)).hexdigest(): photo(shade) for shade in (40, 200)}


def a_photo(number: int, view: str, shade: int, at: str) -> Document:
    digest = sha256(photo(shade)).hexdigest()
    by = ISLA if at == OUT else CALLUM
    return {
        "number": number, "view": view, "station": 3, "mark": None, "sha256": digest, "printed_sha256": digest,
        "points": [], "by": by, "at": at,
    }  # fmt: skip


def answer(at: str, **more: Any) -> Document:
    return {"in_bulk": False, "by": ISLA if at == OUT else CALLUM, "at": at, **more}


def check(at: str, text: str, word: str, **more: Any) -> Document:
    plain = {"state": "good", "safety": False, "note": "", "hold": None}
    return answer(at, text=text, answer=word, **{**plain, **more})


def reading(
    at: str, code: str, name: str, value: str | None, unit: str, half_width: str, instrument: str, **more: Any
) -> Document:
    plain = {
        "state": "read" if value else "not_read",
        "typed": "",
        "doubt": "",
        "is_so": False,
        "counts": None,
        "resolution": "0.5",
        "hold": None,
    }
    return answer(
        at, code=code, name=name, value=value, unit=unit, half_width=half_width, instrument=instrument,
        **{**plain, **more},
    )  # fmt: skip


def scale(high: str, parts: int, low: str = "0") -> Document:
    return {"low": low, "high": high, "parts": parts}


def counts(word: str, amount: str | None = None, known_to: str | None = None) -> Document:
    return {"word": word, "amount": amount, "known_to": known_to}


LEVELS = (
    ("diesel", "Diesel", "82.0", "47.5", "L", "1.5", "curve", scale("90", 8), counts("short", "31.5")),
    ("gas-front", "Gas, front", "5.8", "3.2", "kg", "0.1", "scale", scale("6", 6), counts("short", "2.4")),
    ("gas-rear", "Gas, rear", "3.1", "3.1", "kg", "0.1", "scale", scale("6", 6), counts("level")),
    ("aus32", "AUS 32", "15", "14", "L", "1.5", "gauge", scale("20", 4), counts("level")),
    ("battery", "House battery", "12.74", "12.70", "V", "0.05", "resting", scale("12.94", 4, "11.94"), counts("level")),
    ("waste", "Waste water", "0", "0", "%", "10", "sight", scale("100", 4), counts("level")),
)


def readings(at: str) -> list[Document]:
    rows = []
    for code, name, out, back, unit, half, instrument, its_scale, counted in LEVELS:
        value, counted_now = (out, None) if at == OUT else (back, counted)
        rows.append(reading(at, code, name, value, unit, half, instrument, scale=its_scale, counts=counted_now))
    return rows


def topic_text(title: str, language: str = "en", state: str = "english", text: str = "") -> Document:
    return {"language": language, "title": title, "text": text or f"{title}: as the handbook says.", "state": state,
            "sha256": "ab" * 32}  # fmt: skip


def topic(title: str, severity: str = "safety", outcome: str = "understood") -> Document:
    return {
        "title": title, "severity": severity, "outcome": outcome, "language": "en", "texts": [topic_text(title)],
        "text_sha256": "ab" * 32, "heard_by": MAREN, "seconds": 24, "by": ISLA, "at": OUT,
    }  # fmt: skip


TOPICS = ("Gas off and leak drill", "Alarm sounds", "Never heat with burners", "Ventilation", "Ways out",
          "Belts and seats", "Height and mass", "Mains hook-up", "Reversing")  # fmt: skip


def stations(at: str) -> list[Document]:
    back = at == BACK
    seal_found = {"state": "broken", "used": ["bandage", "burn dressing"]} if back else {"state": "whole", "used": []}
    seal = answer(
        at, kit="First aid kit", expected_number="93412", found_number="93412", note="", hold=None, **seal_found
    )
    crank = answer(at, name="Awning crank", expected=1, found=1, note="")
    return [
        {"number": 1, "name": "Nose", "checks": [check(at, "Lights", "Whole"), check(at, "Windscreen", "Clear")],
         "readings": readings(at), "counts": [], "seals": [], "topics": [], "views": []},
        {"number": 3, "name": "Kitchen",
         "checks": [check(at, "Gas smell", "None", safety=True),
                    check(at, "Fridge door", "", state="not_inspected", note="customer's food inside")],
         "readings": [], "counts": [crank], "seals": [seal],
         "topics": [] if back else [*map(topic, TOPICS), topic("Radio", "comfort", "skipped")],
         "views": [{"name": "Worktop", "state": "taken" if back else "not_taken", "photos": [1] if back else []}]},
    ]  # fmt: skip


def walk(kind: str) -> Document:
    at = OUT if kind == "pickup" else BACK
    remark = {"text": "The awning sticks when it is wet.", "by": CALLUM, "at": BACK}
    return {
        "kind": kind, "mode": "attended", "keys": None, "paper": None, "let_go": None, "overload": None,
        "shown_offline": None,
        "started_at": at, "finished_at": at.replace(":21:", ":37:"),
        "by": ISLA if kind == "pickup" else CALLUM, "stations": stations(at),
        "remarks": [] if kind == "pickup" else [remark],
        "photos": [a_photo(9, "Passenger door", 40, OUT)] if kind == "pickup"
        else [a_photo(21, "Passenger door", 200, BACK), a_photo(22, "First aid kit", 40, BACK)],
    }  # fmt: skip


def mark(number: int, words: str, since: str, x: str, y: str, *, line: int | None = None) -> Document:
    new = line is not None
    return {"number": number, "words": words, "since": since, "is_new": new, "finding": "" if new else "as was",
            "line": line, "x": x, "y": y}  # fmt: skip


def signature(who: str, role: str, act: str, at: str) -> Document:
    return {"who": who, "role": role, "act": act, "outcome": "signed", "reason": "", "at": at,
            "content_sha256": "5e" * 32, "strokes": STROKES}  # fmt: skip


def step(kind: str, sign: str, figure: str, unit: str, source: str) -> Document:
    return {"kind": kind, "sign": sign, "figure": figure, "unit": unit, "source": source}


DIESEL = (
    step("step", "", "82.0", "L", "left with; curve, Isla Macrae, 14 Aug 10:21"),
    step("step", "−", "47.5", "L", "came back with; curve, Callum Reid, 18 Aug 11:58"),
    step("result", "=", "34.5", "L", "difference"),
    step("step", "−", "3.0", "L", "gauge can’t tell: ± 1.5 L twice"),
    step("result", "=", "31.5", "L", "counts"),
    step("step", "×", "£1.62", "per L", "Rate card 7, diesel of 18 Aug"),
    step("result", "=", "£51.03", "", "full price"),
    step("step", "−", "£32.40", "", "Cover: Fuel 20, 20 L × £1.62"),
    step("due", "=", "£18.63", "", "due"),
)


def line(
    number: int, code: str, title: str, summary: str, raw: str, covered: str, due: str, steps: Any = ()
) -> Document:
    return {"number": number, "code": code, "ref": "407", "title": title, "summary": summary, "raw": raw,
            "covered": covered, "due": due, "tax": None, "found_alone": False, "workings": list(steps)}  # fmt: skip


LINES = (
    line(1, "FUEL", "Diesel",
         "82.0 − 47.5 = 34.5 L; − 3.0 gauge can’t tell = 31.5 L; × £1.62 = £51.03; Cover 20 L × £1.62",
         "51.03", "32.40", "18.63", DIESEL),
    line(2, "GAS", "Gas, front cylinder",
         "5.8 − 3.2 = 2.6 kg; − 0.2 scale can’t tell = 2.4 kg; × £5.90 = £14.16; Cover gas prepaid, all",
         "14.16", "14.16", "0.00"),
    line(3, "SAFETY_KIT", "First aid kit", "Seal 93412 broken, contents used; 1 × £24.00; no Extra covers it",
         "24.00", "0.00", "24.00"),
    line(4, "LATE", "Late return",
         "10:00 to 11:47 = 1 h 47; − 30 min grace = 1 h 17; 2 hours begun × £18.00; Cover 1 hour",
         "36.00", "18.00", "18.00"),
    line(5, "DAMAGE", "Mark 7, scuff 11 cm",
         "new against pickup photo 9; Rate card 7, scuff 5 to 15 cm; Cover above the excess of £100",
         "140.00", "40.00", "100.00"),
)  # fmt: skip

STATEMENT = {
    "version": 1, "drawn_up_at": "2026-08-18T12:20:00+01:00", "drawn_up_by": CALLUM, "rules_version": "1",
    "inputs": {"currency": {"code": "GBP", "exponent": 2}}, "result": {"total": "160.63"}, "lines": list(LINES),
    "totals": {"raw": "265.19", "covered": "104.56", "total": "160.63", "tax": "10.11", "tax_name": "VAT",
               "tax_mode": "inclusive", "deposit_held": "500.00", "deposit_captured": "160.63",
               "deposit_released": "339.37", "balance_due": "0.00", "refund_due": "0.00"},
    "no_charge": ["rear gas cylinder", "AUS 32", "fresh and waste water", "cassette", "battery",
                  "distance (812 of 1 000 mi)"],
    "findings": [],
    "objections": [{"line": "Late return", "words": "I called at ten.", "outcome": "Disputed", "answer": "To the desk.",
                    "at": BACK}],
    "objection_until": None, "reopened": None,
}  # fmt: skip

RENTAL = {
    "customer": MAREN, "drivers": [MAREN], "left_at": "2026-08-14T10:12:00+01:00",
    "planned_return_at": "2026-08-18T10:00:00+01:00", "came_back_at": "2026-08-18T11:47:00+01:00",
    "odometer_out": "41206", "odometer_back": "42018", "deposit": "500.00", "liability": "Standard", "excess": "100.00",
    "extras": [{"name": "Fuel 20", "covers": "20 L of diesel", "price": "28.00",
                "bought_at": "2026-08-01T09:00:00+01:00"}],
}  # fmt: skip

UNIT = {
    "number": "407", "plate": "LRK 407", "vin": "", "layout": {"name": "Lark four", "length_mm": 5998, "width_mm": 2050,
    "height_mm": 2650, "max_mass_kg": 3500},
}  # fmt: skip


def return_record() -> Document:
    """A new copy each time: a test may change it."""
    return {
        "schema": "levelpeg.record/1",
        "record": {"number": "LK-20418", "kind": "return", "version": 1, "code": "7Q4M-2KXD",
                   "made_at": "2026-08-18T12:33:00+01:00", "page_url": "https://levelpeg.example/v"},
        "operator": {"name": "Larkmoor Campers", "branch": "Inverlark", "time_zone": "Europe/London", "currency": "GBP",
                     "locale": "en_GB", "distance_unit": "mi"},
        "rental": dict(RENTAL),
        "unit": dict(UNIT),
        "walk_rounds": [walk("pickup"), walk("return")],
        "marks": [mark(1, "chip, bonnet", "2026-04-04", "112", "108"),
                  mark(2, "scuff 9 cm", "2026-05-11", "254", "392"),
                  mark(3, "scrape 4 cm", "2026-06-02", "102", "538"),
                  mark(7, "scuff 11 cm", "2026-08-18", "104", "262", line=5)],
        "signatures": [signature(MAREN, "", "pickup", "2026-08-14T10:38:00+01:00"),
                       signature(ISLA, "host", "pickup", "2026-08-14T10:39:00+01:00"),
                       signature(MAREN, "", "statement 1", "2026-08-18T12:31:00+01:00"),
                       signature(CALLUM, "return bay", "statement 1", "2026-08-18T12:32:00+01:00")],
        "statement": dict(STATEMENT),
        "previous": {"number": "LK-20418", "kind": "pickup", "version": 1, "sha256": "c0ffee11" * 8},
        "ledger": {"chain": "20418", "first": 1, "last": 214, "digest": "9f3c07aa51de4b80" * 4,
                   "day_seal": "2026-08-18"},
    }  # fmt: skip


def pickup_record() -> Document:
    document = return_record()
    document["record"] = {**document["record"], "kind": "pickup", "made_at": "2026-08-14T10:40:00+01:00"}
    document["rental"] = {**RENTAL, "came_back_at": None, "odometer_back": None}
    document["walk_rounds"], document["marks"] = [walk("pickup")], document["marks"][:3]
    document["signatures"] = document["signatures"][:2]
    return {**document, "statement": None, "previous": None}
