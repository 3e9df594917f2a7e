"""Writes the texts again."""

from tests.charges.told import HERE, TEXTS

for name, text in TEXTS.items():
    (HERE / name).write_text(text())
