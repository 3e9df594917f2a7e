from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shared import catalogs


class Command(BaseCommand):
    help = "Brings the catalogs up to date with the code and compiles them; says what is not translated yet."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--check", action="store_true", help="only say what is missing; write nothing")

    def handle(self, *, check: bool, **options: Any) -> None:
        template = catalogs.found()
        lacking = 0
        for language in catalogs.languages():
            catalog = catalogs.updated(language, template)
            missing = catalogs.untranslated(catalog)
            lacking += len(missing)
            self.stdout.write(f"{language}: {len(catalog)} texts, {len(missing)} not translated yet")
            for text in missing:
                self.stdout.write(f"  {text}")
            if not check:
                self._write(language, catalog)
        if lacking and check:
            raise CommandError("Not complete.")

    def _write(self, language: str, catalog: Any) -> None:
        path = catalogs.path_of(language)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(catalogs.as_po(catalog))
        path.with_suffix(".mo").write_bytes(catalogs.as_mo(catalog))
