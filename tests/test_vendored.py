"""What was not written here is exactly what VENDORED.toml says it is, and its licence lies beside it."""

import hashlib
import tomllib
from pathlib import Path

import pytest

STATIC = Path(__file__).parent.parent / "static"
PACKAGES = tomllib.loads((STATIC / "vendor" / "VENDORED.toml").read_text())["package"]
FILES = [(file["path"], file["sha256"]) for package in PACKAGES for file in package["files"]]


@pytest.mark.parametrize(("path", "digest"), FILES)
def test_the_file_has_its_digest(path, digest):
    assert hashlib.sha256((STATIC / path).read_bytes()).hexdigest() == digest


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package["name"])
def test_the_licence_lies_beside_it(package):
    text = (STATIC / "vendor" / package["licence_text"]).read_text()
    assert len(text) > 300
    assert package["version"]
    assert package["licence"] in {"0BSD", "MIT", "OFL-1.1"}


def test_every_vendored_file_is_listed():
    scripts = {f"vendor/{path.name}" for path in (STATIC / "vendor").glob("*.js")}
    faces = {f"fonts/{path.name}" for path in (STATIC / "fonts").glob("*.woff2")}
    assert scripts | faces == {path for path, _ in FILES}


@pytest.mark.parametrize("path", [path for path, _ in FILES if path.endswith(".js")])
def test_no_script_asks_for_a_source_map(path):
    assert "sourceMappingURL" not in (STATIC / path).read_text()


@pytest.mark.parametrize("script", sorted((STATIC / "js").glob("*.js")), ids=lambda path: path.name)
def test_our_modules_stay_within_the_content_security_policy(script):
    text = script.read_text()
    for forbidden in ("eval(", "new Function", "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write"):
        assert forbidden not in text


@pytest.mark.parametrize("drawing", sorted(STATIC.glob("*.svg")), ids=lambda path: path.name)
def test_drawings_have_no_style_attribute(drawing):
    assert " style=" not in drawing.read_text()
