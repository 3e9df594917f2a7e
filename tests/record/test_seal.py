"""The seal: what it says of itself, and that the PDF stays what it was."""

from io import BytesIO

import pytest
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import MDPPerm
from pyhanko.sign.timestamps import TimestampRequestError

from handover.record.seal import BYTES_RESERVED, FIELD, seal, timestamper_at
from handover.record.seal_parts import seal_parts
from tests.record.conftest import small_pdf


@pytest.fixture
def reader(small):
    return PdfFileReader(BytesIO(small))


def test_the_seal_certifies_and_forbids_changes(reader):
    (embedded,) = reader.embedded_signatures
    assert embedded.field_name == FIELD
    assert embedded.docmdp_level is MDPPerm.NO_CHANGES
    assert embedded.sig_object["/SubFilter"] == "/ETSI.CAdES.detached"


def test_the_seal_says_why_and_where(reader):
    seal_object = reader.embedded_signatures[0].sig_object
    assert seal_object["/Reason"] == "Record LK-20418, return"
    assert seal_object["/Location"] == "Inverlark"


def test_the_file_stays_pdf_1_7(small, reader):
    assert small.startswith(b"%PDF-1.7")
    assert str(reader.root.get("/Version", "/1.7")) == "/1.7"


def test_the_unsealed_file_is_kept_byte_for_byte(small):
    assert small.startswith(small_pdf())


def test_the_gap_is_as_wide_as_reserved(small):
    start, end = seal_parts(small).gap
    assert end - start == BYTES_RESERVED + 2


def test_what_is_no_pdf_cannot_be_sealed(signer):
    with pytest.raises(Exception, match=r"(?i)pdf|EOF|startxref"):
        seal(b"no PDF", signer=signer, reason="x")


def test_two_timestampers_of_one_address_are_one():
    assert timestamper_at("http://127.0.0.1:9/tsa") is timestamper_at("http://127.0.0.1:9/tsa")


def test_an_unreachable_timestamper_is_an_error_not_a_seal_without_one(signer):
    with pytest.raises(TimestampRequestError):
        seal(small_pdf(), signer=signer, reason="x", timestamper=timestamper_at("http://127.0.0.1:9/tsa"))
