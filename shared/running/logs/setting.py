"""LOGGING for the settings: what is written where, in which form."""

from typing import Any

from django.core.exceptions import ImproperlyConfigured

FORMS = ("text", "json")


def logging_for(form: str, *, production: bool, errors_to: bool) -> dict[str, Any]:
    """`form` is text or json. `errors_to`: whether a page that broke is told by e-mail. Raises ImproperlyConfigured."""
    if form not in FORMS:
        raise ImproperlyConfigured(f"LEVELPEG_LOG is {' or '.join(FORMS)}, not {form!r}.")
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "filters": {"impersonal": {"()": "shared.running.logs.formats.Impersonal"}},
        "formatters": {
            "text": {"()": "shared.running.logs.formats.AsText", "impersonal": production},
            "json": {"()": "shared.running.logs.formats.AsJson"},
        },
        "handlers": {
            "console": {"class": "logging.StreamHandler", "formatter": form, "filters": ["impersonal"]},
            "mail": {
                "class": "shared.running.logs.mail.ErrorMail", "level": "ERROR", "filters": ["impersonal"]
            },
        },
        "root": {"handlers": ["console", "mail"] if errors_to else ["console"], "level": "WARNING"},
        "loggers": {
            # Without Django's own handlers, one of which mails the whole request; its lines come up to the root.
            "django": {"handlers": [], "level": "INFO"},
            # What could not be found or is not allowed has its line in "levelpeg" already.
            "django.request": {"level": "ERROR"},
            # Django's own server prints addresses, in which keys of customers stand; "levelpeg" says the page's name.
            "django.server": {"handlers": [], "level": "CRITICAL", "propagate": False},
            "levelpeg": {"level": "INFO"},
            # A worker says which task it begins and ends; what broke in it, by its own failed row too.
            "django_tasks": {"level": "INFO"},
            # These libraries report every font they subset; only what went wrong matters here.
            "fontTools": {"level": "ERROR"},
            # Its warnings make a record fail (a text that no face can draw): they must be heard, but not printed too.
            "weasyprint": {"level": "WARNING", "propagate": False},
            "pyhanko": {"level": "ERROR"},
            "pyhanko_certvalidator": {"level": "ERROR"},
        },
    }  # fmt: skip
