"""What README says about checking a day seal does what it says, word for word, with tools that know nothing of us."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import load_der_x509_certificate
from django.conf import settings

from handover.dayseal.sealing import seal_days
from handover.record.demo_keys import ROOT
from shared.ledger.day_document import document_digest
from shared.ledger.days import day_of
from shared.ledger.extract import chain_extract
from tests.dayseal.conftest import NOW
from tests.ledger.conftest import RENTAL

READ_ME = (Path(settings.BASE_DIR) / "README.md").read_text()
SECTION = READ_ME.partition("### Check a day seal")[2]
SEAL, STAMP, EXTRACT = re.findall(r"```sh\n(.*?)```", SECTION, re.S)[:3]
TOOLS = ("openssl", "sha256sum", "bash", "python3")

pytestmark = [
    pytest.mark.reference,
    pytest.mark.skipif(any(shutil.which(tool) is None for tool in TOOLS), reason=f"needs {', '.join(TOOLS)}"),
]


def run(recipe: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", recipe], cwd=folder, capture_output=True, text=True, timeout=60, check=False)


@pytest.fixture
def folder(tmp_path, sealed):
    """The files of Monday, which has two chains."""
    shutil.copy(Path(settings.VAR_DIR) / "demo-keys" / ROOT, tmp_path / "ca.pem")
    (tmp_path / "day-seal.json").write_text(sealed[0].document)
    (tmp_path / "day-seal.p7s").write_bytes(sealed[0].signature)
    leaves = "".join(f"{leaf.data.decode()}\n" for leaf in day_of(sealed[0].day).leaves)
    (tmp_path / "leaves.txt").write_text(leaves)
    return tmp_path


def test_the_recipe_accepts_a_day_seal(folder, sealed):
    done = run(SEAL, folder)
    assert "CMS Verification successful" in done.stderr
    assert document_digest(sealed[0].document) in done.stdout
    assert done.returncode == 0


def test_the_recipe_finds_another_leaf(folder):
    leaves = (folder / "leaves.txt").read_text()
    (folder / "leaves.txt").write_text(leaves[:-2] + ("1" if leaves[-2] == "0" else "0") + "\n")
    assert run(SEAL, folder).returncode == 1


def test_the_recipe_refuses_a_flipped_byte(folder):
    text = (folder / "day-seal.json").read_text()
    (folder / "day-seal.json").write_text(text.replace('"entries":2', '"entries":3'))
    assert "CMS Verification failure" in run(SEAL, folder).stderr


def test_openssl_accepts_the_answer_of_the_authority(written, stamper, tmp_path):
    seal = next(seal_days(now=NOW, timestamper=stamper))
    (tmp_path / "day-seal.p7s").write_bytes(seal.signature)
    (tmp_path / "day-seal.tsr").write_bytes(seal.stamp)
    certificate = load_der_x509_certificate(stamper.tsa_cert.dump())
    (tmp_path / "tsa.pem").write_bytes(certificate.public_bytes(Encoding.PEM))
    assert "Verification: OK" in run(STAMP, tmp_path).stdout
    (tmp_path / "day-seal.p7s").write_bytes(bytes(seal.signature) + b"\0")
    assert "Verification: FAILED" in run(STAMP, tmp_path).stdout


def test_the_recipe_accepts_an_extract(sealed, tmp_path):
    (tmp_path / "ledger.json").write_text(json.dumps(chain_extract(RENTAL)))
    done = run(EXTRACT, tmp_path)
    assert done.stdout.splitlines()[-1] == "2 entries hold"
    assert document_digest(sealed[0].document) in done.stdout


@pytest.mark.parametrize(
    ("was", "now"), [("tablet 2", "tablet 3"), ('"side": "left"', '"side": "right"'), (" 1 ", " 2 ")]
)
def test_the_recipe_refuses_an_altered_extract(sealed, tmp_path, was, now):
    text = json.dumps(chain_extract(RENTAL))
    if was not in text:
        was, now = '"side": "right"', '"side": "left"'
    (tmp_path / "ledger.json").write_text(text.replace(was, now))
    assert run(EXTRACT, tmp_path).returncode != 0
