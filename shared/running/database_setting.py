"""How the program connects to PostgreSQL, for the settings."""

import sys
from typing import Any

# What a manager asks for over three years may take a minute; a command of an administrator as long as it takes.
SERVERS = frozenset({"gunicorn", "runserver", "db_worker"})


def postgresql(said: Any, *, pool: int, timeout_s: int, words: list[str] | None = None) -> dict[str, Any]:
    """Entries of DATABASES to set beside what DATABASE_URL says. `pool` 0: none; `timeout_s` 0: no limit.

    With a pool connections are not kept by Django as well. A statement of a server that takes longer than `timeout_s`
    is ended by the database: what waits behind it is more. `words` is the command line.
    """
    name = name_of(sys.argv if words is None else words)
    options = dict(said.get("OPTIONS", {})) | {"application_name": f"levelpeg {name}"}
    if timeout_s and name in SERVERS:
        options["options"] = f"{options.get('options', '')} -c statement_timeout={timeout_s * 1000}".strip()
    if not pool:
        return {"OPTIONS": options, "CONN_HEALTH_CHECKS": True}
    options["pool"] = {"min_size": 1, "max_size": pool, "timeout": 10, "max_lifetime": 3600}
    return {"OPTIONS": options, "CONN_MAX_AGE": 0}


def name_of(words: list[str]) -> str:
    """What runs, as pg_stat_activity shows it: gunicorn, or the name of a manage.py command."""
    if not words:
        return "python"
    program = words[0].rpartition("/")[2]
    return words[1] if program in {"manage.py", "django-admin"} and len(words) > 1 else program.removesuffix(".py")
