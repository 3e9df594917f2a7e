import pytest
from django.core.exceptions import ImproperlyConfigured

from shared.files.address import NoAddress, object_store
from shared.files.places import file_storages
from shared.settings import VAR_DIR


def test_an_address_says_all() -> None:
    store = object_store("s3://yard%3Akey:se%2Fcret@files.example:9000/levelpeg?region=north&secure=0&prefix=/one/")
    assert (store.key, store.secret) == ("yard:key", "se/cret")
    assert (store.endpoint, store.bucket) == ("http://files.example:9000", "levelpeg")
    assert (store.region, store.addressing, store.prefix) == ("north", "path", "one")


def test_https_unless_told() -> None:
    assert object_store("s3://a:b@files.example/yard").endpoint == "https://files.example"
    assert object_store("s3://a:b@[::1]:9000/yard?secure=1").endpoint == "https://[::1]:9000"


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("https://files.example/yard", "names no bucket"),
        ("s3://files.example/yard", "names no bucket"),
        ("s3://a:b@files.example/", "names no bucket"),
        ("s3://a:b@files.example/one/two", "names no bucket"),
        ("s3://a:b@files.example:port/yard", "cannot be read"),
        ("s3://a:b@files.example/yard?region", "cannot be read"),
        ("s3://a:b@files.example/yard?acl=public", "FILES_URL says acl"),
        ("s3://a:b@files.example/yard?secure=perhaps", "neither secure=1"),
        ("s3://a:b@files.example/yard?addressing=street", "path, virtual or auto"),
    ],
)
def test_another_address_is_refused_in_a_sentence(address: str, said: str) -> None:
    with pytest.raises(NoAddress, match=said):
        object_store(address)


def test_the_secret_is_never_shown() -> None:
    address = "s3://key:hush@files.example/yard"
    assert "hush" not in repr(object_store(address))
    with pytest.raises(ImproperlyConfigured) as refused:
        file_storages(f"{address}?secure=perhaps", VAR_DIR)
    assert "hush" not in str(refused.value)


def test_folders_without_an_address_and_a_bucket_with_one() -> None:
    assert file_storages("", VAR_DIR)["evidence"]["OPTIONS"] == {"location": VAR_DIR / "evidence"}
    assert file_storages("s3://a:b@c/d", VAR_DIR)["evidence"]["BACKEND"].endswith("ObjectEvidenceStorage")
