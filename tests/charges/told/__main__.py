"""Writes the texts again."""

from tests.charges.told import HERE, STATEMENTS, refusals, statement

PARTS = ["\n".join([f"== {name}", *statement(name)]) for name in STATEMENTS]
(HERE / "statements.txt").write_text("\n\n".join(PARTS) + "\n")
(HERE / "refusals.txt").write_text("\n".join(refusals()) + "\n")
