"""The application that a web server serves. It refuses to start with what the system checks call an error."""

import os

from django.core.checks import ERROR, run_checks
from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
application = get_wsgi_application()

# A server starts this module without manage.py, which would have run the checks.
if problems := [problem for problem in run_checks() if problem.level >= ERROR]:
    raise ImproperlyConfigured("\n".join(str(problem) for problem in problems))
