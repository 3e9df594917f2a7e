"""A printed Record is read: by a person whose name is in another script, and by a screen reader along its tags."""

import re
import subprocess
import unicodedata
from io import BytesIO

import pytest
from pyhanko.pdf_utils.reader import PdfFileReader

from tests.record import sample
from tests.record.conftest import rendered
from tests.record.test_render import text_of

NAMES = {
    "Latin": "Łucja Øvergård Şahin",
    "Cyrillic": "Ольга Їжак",
    "Greek": "Ελένη Παπαδά",
    "Arabic": "مارين عودة",
    "Hebrew": "מרים לוי",
    "Han": "王小明",
    "kana": "山田はなこ カタカナ",
}


@pytest.fixture(scope="module")
def printed_names() -> str:
    """Every name as a driver of one Record, as pdftotext reads it off the page."""
    document = sample.pickup_record()
    document["rental"]["drivers"] = list(NAMES.values())
    return plain(text_of(rendered(document)))


def plain(text: str) -> str:
    """Without breaks, direction marks and the forms that a letter takes beside another."""
    text = unicodedata.normalize("NFKC", text)
    return re.sub(r"[\s\u200e\u200f\u202a-\u202e\u2066-\u2069]+", " ", text)


@pytest.mark.parametrize("script", NAMES)
def test_a_name_is_read_back_as_it_was_typed(printed_names: str, script: str) -> None:
    """Each word of it, since a reader of lines may put the words of a line that runs the other way in another order."""
    words = plain(NAMES[script]).split()
    read = printed_names.replace(" ", "")
    missing = [word for word in words if word not in read]
    assert not missing, f"{script}: {missing}"


def test_the_tags_of_a_record(printed: bytes, tmp_path) -> None:
    (tmp_path / "r.pdf").write_bytes(printed)
    said = subprocess.run(["pdfinfo", tmp_path / "r.pdf"], capture_output=True, text=True, check=True).stdout
    assert re.search(r"Tagged:\s+yes", said)
    tree = subprocess.run(["pdfinfo", "-struct", tmp_path / "r.pdf"], capture_output=True, text=True, check=True)
    tags = set(re.findall(r"^\s*(\w+)", tree.stdout, re.M))
    assert {"Document", "H1", "H2", "P", "Table", "TR", "TD", "Figure"} <= tags
    assert "Diesel" in text_of(printed)


def test_a_record_says_its_language_and_title(printed: bytes, tmp_path) -> None:
    root = PdfFileReader(BytesIO(printed)).root
    assert str(root["/Lang"]).startswith("en")
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
