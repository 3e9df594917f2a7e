"""Every hostile file is refused in a sentence, or comes out as a clean picture of a size that is known."""

import warnings

import pytest

from shared.photos.ingest import NotAPhoto, ingest
from shared.photos.refusing import CAN
from tests.photos.hostile import HOSTILE, REFUSED, SCRIPT, TAKEN
from tests.photos.pictures import opened

LEFTOVERS = (SCRIPT, b"PK\x03\x04", b"#!/bin/sh", b"GPSLatitude", b"Maker")


def test_there_are_enough_kinds_and_no_two_are_alike() -> None:
    assert len(REFUSED) >= 40
    assert len({name for name, _, _ in HOSTILE}) == len({data for _, data, _ in HOSTILE}) == len(HOSTILE)


@pytest.mark.parametrize(("data", "begins"), [row[1:] for row in REFUSED], ids=[row[0] for row in REFUSED])
def test_is_refused_in_a_sentence(data: bytes, begins: str) -> None:
    with pytest.raises(NotAPhoto) as refused:
        ingest(data)
    said = str(refused.value)
    assert said.startswith(begins.partition("{")[0])
    assert said.endswith(CAN)


@pytest.mark.filterwarnings("ignore::UserWarning")
@pytest.mark.parametrize("data", [row[1] for row in TAKEN], ids=[row[0] for row in TAKEN])
def test_is_taken_and_comes_out_clean(data: bytes) -> None:
    photo = ingest(data, zone="Europe/London")
    for kept in (photo.original, photo.display, photo.thumb):
        assert not [left for left in LEFTOVERS if left in kept]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert opened(photo.display).format == "JPEG"
        assert max(opened(photo.display).size) <= 1280
