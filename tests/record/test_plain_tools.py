"""What README says about checking a record does what it says, word for word, with tools that know nothing of us."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.conf import settings

from handover.record.demo_keys import ROOT
from shared.canonical import canonical, sha256_hex
from tests.record import sample

READ_ME = (Path(settings.BASE_DIR) / "README.md").read_text()
RECIPE = re.search(r"```sh\n(.*?)```", READ_ME, re.S)[1]
TOOLS = ("pdfsig", "pdfdetach", "openssl", "sha256sum", "bash")

pytestmark = [
    pytest.mark.reference,
    pytest.mark.skipif(any(shutil.which(tool) is None for tool in TOOLS), reason=f"needs {', '.join(TOOLS)}"),
]


def checked(folder: Path, pdf: bytes, source) -> subprocess.CompletedProcess[str]:
    (folder / "record.pdf").write_bytes(pdf)
    shutil.copy(source.var_dir / "demo-keys" / ROOT, folder / "ca.pem")
    return subprocess.run(["bash", "-c", RECIPE], cwd=folder, capture_output=True, text=True, timeout=60, check=False)


def test_the_recipe_accepts_a_record(tmp_path, sealed, source):
    done = checked(tmp_path, sealed, source)
    assert "Total document signed" in done.stdout
    assert "Signature is Valid." in done.stdout
    assert "CMS Verification successful" in done.stderr
    assert sha256_hex(sealed) in done.stdout


def test_the_recipe_brings_out_the_data(tmp_path, sealed, source):
    checked(tmp_path, sealed, source)
    assert (tmp_path / "record.json").read_bytes() == canonical(sample.return_record())


def test_the_recipe_refuses_a_flipped_byte(tmp_path, sealed, source):
    changed = sealed[:400] + bytes([sealed[400] ^ 1]) + sealed[401:]
    done = checked(tmp_path, changed, source)
    assert "CMS Verification failure" in done.stderr
    assert "Signature is Valid." not in done.stdout


def test_the_recipe_refuses_another_root(tmp_path, sealed, source):
    (tmp_path / "other.pem").write_bytes((source.var_dir / "demo-keys" / "seal.pem").read_bytes())
    (tmp_path / "record.pdf").write_bytes(sealed)
    recipe = RECIPE.replace("ca.pem", "other.pem")
    done = subprocess.run(["bash", "-c", recipe], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert "CMS Verification successful" not in done.stderr
