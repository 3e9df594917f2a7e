"""The rendered Record: archival, closed to the outside, the same each time, and readable by ordinary tools."""

import logging
import re
import subprocess
from io import BytesIO

import pytest
from pyhanko.pdf_utils.reader import PdfFileReader
from weasyprint.urls import FatalURLFetchingError

from handover.record import render as rendering
from handover.record.document import content_from
from handover.record.render import MissingGlyph, NotRendered, RecordFetcher, identifier, render
from shared.canonical import canonical
from tests.record import sample
from tests.record.conftest import rendered


def text_of(pdf: bytes, *options: str) -> str:
    done = subprocess.run(["pdftotext", "-layout", *options, "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()


def with_customer(name: str) -> sample.Document:
    document = sample.pickup_record()
    document["rental"]["customer"] = name
    return document


def test_the_file_says_that_it_is_pdf_a_3a(printed):
    metadata = subprocess.run(["pdfinfo", "-meta", "-"], input=printed, capture_output=True, check=True).stdout.decode()
    assert 'part="3"' in metadata
    assert 'conformance="A"' in metadata
    (intent,) = PdfFileReader(BytesIO(printed)).root["/OutputIntents"]
    assert intent["/S"] == "/GTS_PDFA1"


def test_the_same_content_gives_the_same_bytes(printed):
    assert rendered(sample.return_record()) == printed


def test_another_content_gives_other_bytes(printed):
    document = sample.return_record()
    document["rental"]["customer"] = "Maren Oduya-Lind"
    assert rendered(document) != printed


def test_the_identifier_is_that_of_the_record():
    first, second = content_from(sample.return_record()), content_from(sample.pickup_record())
    assert identifier(first) == identifier(content_from(sample.return_record()))
    assert identifier(first) != identifier(second)
    assert len(identifier(first)) == 16


def test_an_everyday_record_needs_no_face_of_the_machine(printed, tmp_path):
    (tmp_path / "r.pdf").write_bytes(printed)
    done = subprocess.run(["pdffonts", tmp_path / "r.pdf"], capture_output=True, text=True, check=True)
    faces = {line.split()[0].partition("+")[2] for line in done.stdout.splitlines()[2:]}
    assert {face.partition("-")[0] for face in faces} == {"Atkinson", "Commissioner"}


def test_names_and_amounts_can_be_read(printed):
    text = text_of(printed)
    for words in ("Maren Oduya", "407, plate LRK 407", "31.5 L short", "160.63", "− 104.56", "Seal 93412 broken"):
        assert words in text


def test_the_first_page_holds_statement_signatures_and_seal(printed):
    first = text_of(printed, "-l", "1")
    for words in ("How it left", "Statement 1", "Signed", "9 safety topics", "Workings: page 2", "Page 1 of 5"):
        assert words in first


def test_the_foot_names_the_record(printed):
    assert text_of(printed).count("Record LK-20418, return") == 5


def test_the_pickup_record_has_no_return_and_no_statement():
    text = text_of(rendered(sample.pickup_record()))
    assert "Due back" in text
    assert "Came back" not in text
    assert "Statement" not in text


def test_the_return_states_the_digest_of_the_pickup(printed):
    assert "c0ff ee11 " * 3 in text_of(printed)


def test_what_was_not_looked_at_is_named(printed):
    assert "Not looked at or not read: Fridge door: not inspected" in text_of(printed)


def test_photos_are_inside_as_they_were_given(printed, tmp_path):
    (tmp_path / "r.pdf").write_bytes(printed)
    subprocess.run(["pdfimages", "-all", "r.pdf", "p"], cwd=tmp_path, check=True)
    assert {path.read_bytes() for path in tmp_path.glob("p-*")} == set(sample.PHOTOS.values())


def test_no_picture_is_interpolated(printed):
    """PDF/A forbids it, and WeasyPrint does it unless told otherwise."""
    done = subprocess.run(["pdfimages", "-list", "-"], input=printed, capture_output=True, check=True)
    rows = [line.split() for line in done.stdout.decode().splitlines()[2:]]
    assert {row[9] for row in rows} == {"no"}


def test_a_photo_that_is_not_the_one_in_the_record_is_refused():
    wrong = dict.fromkeys(sample.PHOTOS, sample.photo(7))
    with pytest.raises(NotRendered, match=r"Photo 9 .*not the one"):
        render(content_from(sample.return_record()), wrong, attachment=b"{}")


def test_a_photo_that_is_not_there_is_refused():
    with pytest.raises(NotRendered, match=r"Photo 9 \(Passenger door\) is to be printed but was not handed in"):
        render(content_from(sample.return_record()), {}, attachment=b"{}")


def test_a_photo_outside_this_file_leaves_its_frame():
    document = sample.return_record()
    document["walk_rounds"][0]["photos"][0]["printed_sha256"] = None
    text = text_of(rendered(document))
    assert "Photo 9 is not in this file." in text
    assert "1 photo is named by digest only" in text


@pytest.mark.parametrize(
    "address",
    ["http://127.0.0.1/x", "https://levelpeg.example/", "file:///etc/hostname", "data:text/plain,x", "ftp://a/b",
     "rec:photo/unknown", "rec:../settings.py", "REC:style/record.css"],
)  # fmt: skip
def test_nothing_is_fetched_but_the_parts(address):
    with pytest.raises(ValueError, match="not a part of this Record"):
        RecordFetcher({"rec:style/record.css": (b"", "text/css")}).fetch(address)


HOSTILE = '<img src="file:///etc/hostname"><link rel=attachment href="/etc/hostname"><script>1</script></td></table>'


def test_markup_in_a_name_is_printed_as_it_is(tmp_path):
    (tmp_path / "r.pdf").write_bytes(rendered(with_customer(HOSTILE)))
    assert "<imgsrc=" in re.sub(r"\s+", "", text_of((tmp_path / "r.pdf").read_bytes()))
    done = subprocess.run(["pdfdetach", "-list", tmp_path / "r.pdf"], capture_output=True, check=True)
    assert done.stdout.startswith(b"1 embedded files")


@pytest.mark.parametrize(
    "name", ["M" * 200_000, "Maren " * 30_000, "\x00\x07Maren\x1b[31m Oduya", "Maren 👩🏽‍🌾 Oduya ❤️ 🇬🇧"]
)
def test_a_hostile_name_does_not_cost_the_record(name):
    assert "LK-20418" in text_of(rendered(with_customer(name)))


def test_an_emoji_is_named():
    assert "[hammer]" in text_of(rendered(with_customer("🔨")))


NAMES = ["Łucja Øvergård Şahin", "Ольга Їжак", "Ελένη Παπαδά", "مارين عودة", "מרים לוי", "王小明", "山田はなこ"]


def test_names_of_the_world_are_printed():
    """In one Record. Fails where the machine lacks faces; its message names the characters and Debian's packages."""
    assert rendered(with_customer(", ".join(NAMES))).startswith(b"%PDF-1.7")


def test_a_text_without_a_face_is_an_error_with_the_remedy(monkeypatch):
    monkeypatch.setattr(rendering, "_written", lambda *rest: logging.getLogger("weasyprint").warning(NOTDEF) or b"")
    with pytest.raises(MissingGlyph, match=r'"𐇐" .*fonts-noto-core') as told:
        rendered(sample.return_record())
    assert told.value.texts == ['"𐇐" (U+101D0)']


NOTDEF = '.notdef glyph rendered for Unicode string unsupported by fonts: "𐇐" (U+101D0)'


def test_a_record_is_not_made_while_warnings_are_off():
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    try:
        with pytest.raises(NotRendered, match="switched off"):
            rendered(sample.return_record())
    finally:
        logging.getLogger("weasyprint").setLevel(logging.WARNING)


def test_any_other_complaint_is_an_error_too(monkeypatch):
    monkeypatch.setattr(rendering, "_written", lambda *rest: logging.getLogger("weasyprint").error("no image") or b"")
    with pytest.raises(NotRendered, match="no image"):
        rendered(sample.return_record())


def test_a_broken_photo_is_an_error():
    document, broken = sample.return_record(), b"\xff\xd8\xff" + b"hello" * 9
    digest = rendering.sha256_hex(broken)
    document["walk_rounds"][0]["photos"][0] |= {"sha256": digest, "printed_sha256": digest}
    with pytest.raises(NotRendered):
        render(content_from(document), {**sample.PHOTOS, digest: broken}, attachment=b"{}")


def test_a_fatal_fetch_ends_the_record_and_not_the_worker(monkeypatch):
    def fails(*rest, **more):
        raise FatalURLFetchingError("rec:style/record.css")

    monkeypatch.setattr(rendering.HTML, "write_pdf", fails)
    with pytest.raises(NotRendered, match="could not be read"):
        rendered(sample.return_record())


def test_the_attachment_is_the_bytes_given(printed, tmp_path):
    (tmp_path / "r.pdf").write_bytes(printed)
    subprocess.run(["pdfdetach", "-save", "1", "-o", "record.json", "r.pdf"], cwd=tmp_path, check=True)
    assert (tmp_path / "record.json").read_bytes() == canonical(sample.return_record())
