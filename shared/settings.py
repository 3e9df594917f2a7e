"""Settings. Everything that differs between a demo, a test and a yard comes from the environment."""

import os
from pathlib import Path
from typing import Any

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shared.access.lockout.waiting import COOL_OFF, OF_A_NAME
from shared.files.places import file_storages
from shared.running.database_setting import postgresql
from shared.running.logs.setting import logging_for

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(os.environ.get("LEVELPEG_VAR", BASE_DIR / "var"))


def flag(name: str, *, default: bool = False) -> bool:
    return os.environ.get(name, str(int(default))).lower() in {"1", "true", "yes", "on"}


# Production is asked for by name; without it this is a demo on one machine.
PRODUCTION = flag("LEVELPEG_PRODUCTION")
DEBUG = flag("LEVELPEG_DEBUG")

DEMO_SECRET = "demo-only-this-secret-signs-nothing-that-matters-and-production-refuses-it"  # noqa: S105
SECRET_KEY = os.environ.get("LEVELPEG_SECRET_KEY", DEMO_SECRET)
if PRODUCTION and SECRET_KEY == DEMO_SECRET:
    raise ImproperlyConfigured("Production needs LEVELPEG_SECRET_KEY: a long random text that only this server knows.")

ALLOWED_HOSTS = os.environ.get("LEVELPEG_HOSTS", "127.0.0.1,localhost,[::1]").split(",")
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if host not in {"127.0.0.1", "localhost", "[::1]"}]
# Where records say they can be looked up: the address of this server as customers reach it.
PUBLIC_URL = os.environ.get("LEVELPEG_PUBLIC_URL", "http://127.0.0.1:8000").rstrip("/")

INSTALLED_APPS = [
    "shared.django_apps.LevelpegAdminConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "shared.django_apps.ModuleStaticFilesConfig",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "shared.django_apps.WrongTriesConfig",
    "csp",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "import_export",
    "shared",
    "fleet",
    "consumables",
    "handover",
]

MIDDLEWARE = [
    "shared.running.requests.RequestMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "shared.access.middleware.HeadersMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "shared.access.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "shared.access.middleware.SecondFactorMiddleware",
    "shared.access.middleware.LanguageMiddleware",
    "shared.access.middleware.SignInMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "handover.retention.middleware.ErasedFileMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "shared.urls"
WSGI_APPLICATION = "shared.wsgi.application"
AUTH_USER_MODEL = "shared.Person"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
CSRF_FAILURE_VIEW = "shared.trouble.of_another_sign_in"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]

# "required": managers, coordinators and administrators come in with a second factor only; "offered": whoever has set
# one up is asked for it. Of allauth only the second factor is used: no sign-up, no e-mail, none of its pages.
SECOND_FACTOR = os.environ.get("LEVELPEG_SECOND_FACTOR", "required" if PRODUCTION else "offered")
if SECOND_FACTOR not in {"required", "offered"}:
    raise ImproperlyConfigured("LEVELPEG_SECOND_FACTOR is required or offered.")
ACCOUNT_ADAPTER = "shared.access.second_factor.adapters.NobodySignsUp"
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*", "password2*"]
MFA_ADAPTER = "shared.access.second_factor.adapters.SecondFactorAdapter"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_TOTP_ISSUER = "Levelpeg"
MFA_TOTP_TOLERANCE = 1  # half a minute either way, as phones' clocks stand
MFA_WEBAUTHN_USER_VERIFICATION = "preferred"

# Who guesses: shared/access/lockout. What was typed is not kept.
AXES_HANDLER = "shared.access.lockout.handler.LockoutHandler"
AXES_LOCKOUT_PARAMETERS = "shared.access.lockout.handler.parameters"
AXES_CLIENT_IP_CALLABLE = "shared.access.address.counted_as"
AXES_LOCKOUT_CALLABLE = "shared.access.lockout.answer.stopped"
AXES_FAILURE_LIMIT = OF_A_NAME
AXES_COOLOFF_TIME = COOL_OFF
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_DISABLE_ACCESS_LOG = True
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address", "code", "pin", "credential", "csrfmiddlewaretoken", "next"]
AXES_VERBOSE = False

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
            "builtins": ["django.templatetags.i18n", "shared.templatetags.figures"],
        },
    },
]

# IMMEDIATE, because a deferred transaction that reads and then writes fails at once when another writes;
# FULL, because an acknowledged entry is forgotten by the tablet and must survive a power cut.
SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA mmap_size=134217728;"
    " PRAGMA journal_size_limit=67108864; PRAGMA cache_size=-20000;",
}
DATABASES: dict[str, Any] = {
    # Empty is as good as not given.
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL") or f"sqlite:///{VAR_DIR / 'levelpeg.sqlite3'}", conn_max_age=600
    ),
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS
elif DATABASES["default"]["ENGINE"] == "django.db.backends.postgresql":
    # LEVELPEG_POOL: connections that a process keeps for its threads; without it each thread keeps one.
    DATABASES["default"] |= postgresql(
        DATABASES["default"],
        pool=int(os.environ.get("LEVELPEG_POOL", "0")),
        timeout_s=int(os.environ.get("LEVELPEG_STATEMENT_TIMEOUT_S", "60")),
    )
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "shared.access.passwords.NotAWordOfTheHouse"},
]

LANGUAGE_CODE = "en-gb"  # the house language: what is kept as evidence is written in it
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch"), ("fr", "Français")]
LOCALE_PATHS = [BASE_DIR / "shared" / "locale"]
TIME_ZONE = "UTC"  # stored instants; every page shows the branch's own zone
USE_I18N = True
USE_TZ = True
# A form's date and time may fall into the hour that a clock change repeats: Django then keeps the first.

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = Path(os.environ.get("LEVELPEG_STATIC", VAR_DIR / "static"))
# FILES_URL=s3://key:secret@host:port/bucket?region=…&addressing=path&secure=1 keeps them in object storage instead.
FILES_URL = os.environ.get("FILES_URL", "")
STORAGES = {
    **file_storages(FILES_URL, VAR_DIR),
    "staticfiles": {
        "BACKEND": (
            "shared.staticfiles.ModuleStaticFilesStorage"
            if PRODUCTION
            else "django.contrib.staticfiles.storage.StaticFilesStorage"
        )
    },
}
# The demo serves them from where they lie; production collects them first (manage.py collectstatic).
WHITENOISE_USE_FINDERS = not PRODUCTION
# A photo of a modern phone is 4 to 12 MB; more than this is refused before it is read.
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
PHOTO_MAX_BYTES = 25 * 1024 * 1024
# What a card issuer takes as one file; photos are made smaller until a bundle fits.
BUNDLE_MAX_BYTES = int(os.environ.get("LEVELPEG_BUNDLE_MB", "10")) * 1_000_000
FILE_UPLOAD_HANDLERS = [
    "handover.photo.uploading.CappedUpload",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
# Chunks of photos until all of one have come; on a disk of this machine.
UPLOADS_DIR = VAR_DIR / "uploads"

# E-mail goes by this server; without one it is laid down in a folder, so that a demo sends nothing to anybody.
EMAIL_HOST = os.environ.get("LEVELPEG_EMAIL_HOST", "")
EMAIL_PORT = int(os.environ.get("LEVELPEG_EMAIL_PORT", "587"))
EMAIL_HOST_USER = os.environ.get("LEVELPEG_EMAIL_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("LEVELPEG_EMAIL_PASSWORD", "")
EMAIL_USE_TLS = flag("LEVELPEG_EMAIL_TLS", default=True)
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = os.environ.get("LEVELPEG_EMAIL_FROM", "levelpeg@localhost")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'filebased'}.EmailBackend"
EMAIL_FILE_PATH = VAR_DIR / "mail"

# What a branch grants on the customer's page unless it says otherwise in the setting-up pages.
CUSTOMER_LINK_DAYS = int(os.environ.get("LEVELPEG_CUSTOMER_LINK_DAYS", "90"))
CUSTOMER_NOTICE_HOURS = int(os.environ.get("LEVELPEG_CUSTOMER_NOTICE_HOURS", "24"))
# Reverse proxies in front, each of which adds an address to X-Forwarded-For: whoever guesses codes is told apart by it.
PROXIES = int(os.environ.get("LEVELPEG_PROXIES", "1" if PRODUCTION else "0"))

# What programs may: how often a minute each token, how long a body; where webhooks lead beside the public internet.
API_PER_MINUTE = int(os.environ.get("LEVELPEG_API_PER_MINUTE", "600"))
API_MAX_BYTES = 1024 * 1024
WEBHOOKS_TO_LOOPBACK = flag("LEVELPEG_WEBHOOKS_TO_LOOPBACK", default=DEBUG)
WEBHOOKS_CA_FILE = os.environ.get("LEVELPEG_WEBHOOKS_CA_FILE", "")  # empty: the authorities that the system knows

# Tasks run at once in the demo; TASKS=database hands them to a worker.
TASKS = {
    "default": {
        "BACKEND": (
            "django_tasks_db.DatabaseBackend"
            if os.environ.get("TASKS") == "database"
            else "django_tasks.backends.immediate.ImmediateBackend"
        ),
    }
}

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "blob:", "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "media-src": [SELF, "blob:"],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
    },
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 14 * 60 * 60  # one long shift, counted from the sign-in
# With it a browser takes a cookie from this very host alone, over TLS.
COOKIE_PREFIX = "__Host-" if PRODUCTION else ""
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = f"{COOKIE_PREFIX}sessionid", f"{COOKIE_PREFIX}csrftoken"
CSRF_COOKIE_HTTPONLY = True  # pages and tablets are told the token
if PRODUCTION:
    SECURE_SSL_REDIRECT = flag("LEVELPEG_SSL_REDIRECT", default=True)
    # Asked from the same machine or room, without a certificate.
    SECURE_REDIRECT_EXEMPT = [r"^health/(live|ready)$", r"^metrics$"]
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

# What seals records. Without one of these the demo key is used, and production refuses to start.
RECORD_PKCS12_FILE = os.environ.get("RECORD_PKCS12_FILE", "")
RECORD_PKCS12_PASSPHRASE = os.environ.get("RECORD_PKCS12_PASSPHRASE", "")
RECORD_PKCS11_MODULE = os.environ.get("RECORD_PKCS11_MODULE", "")
RECORD_PKCS11_TOKEN = os.environ.get("RECORD_PKCS11_TOKEN", "")
RECORD_PKCS11_KEY = os.environ.get("RECORD_PKCS11_KEY", "")
RECORD_PKCS11_PIN = os.environ.get("RECORD_PKCS11_PIN", "")
RECORD_ROOTS_FILE = os.environ.get("RECORD_ROOTS_FILE", "")
# The roots must hold the time-stamping authority's too, once one is named.
RECORD_TSA_URL = os.environ.get("RECORD_TSA_URL", "")
# With an authority: also what proves the seal once its certificate has ended, under a time stamp (PAdES B-LTA).
RECORD_LASTING = flag("RECORD_LASTING")

# text for a terminal, json for a program that collects lines; neither says anything about a person.
LEVELPEG_LOG = os.environ.get("LEVELPEG_LOG", "text")
# Who is told by e-mail that a page broke: addresses with commas between them; nobody without it.
ADMINS = [("", address.strip()) for address in os.environ.get("LEVELPEG_ERRORS_TO", "").split(",") if address.strip()]
SERVER_EMAIL = DEFAULT_FROM_EMAIL
EMAIL_SUBJECT_PREFIX = "[Levelpeg] "
LOGGING = logging_for(LEVELPEG_LOG, production=PRODUCTION, errors_to=bool(ADMINS))
# Whoever reads /metrics says "Authorization: Bearer …" with this; without it the address is not there.
METRICS_TOKEN = os.environ.get("LEVELPEG_METRICS_TOKEN", "")
