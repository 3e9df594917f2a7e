"""The product's own settings, with the linter of migrations, which a server has no need of."""

from shared.settings import *  # noqa: F403
from shared.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "django_migration_linter"]
