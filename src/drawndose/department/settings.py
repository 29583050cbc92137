"""Settings. What an installation chooses comes from `chosen`: one file or the environment; the rest is the same everywhere.

A value that cannot be used is a fault in CHOSEN; the checks tell it with the way to mend it, and no page is served with it.
"""

import os
import secrets
from importlib.metadata import version
from pathlib import Path

from drawndose.department.chosen import chosen
from drawndose.department.database import still, storage
from drawndose.department.people.limits import limits_of

CHOSEN = chosen(os.environ)
# Without a key, one for this process: enough for pages that keep nothing. `drawndose department start` has a lasting one.
SECRET_KEY = CHOSEN.get("secret_key") or CHOSEN.secret("secret_key_file") or secrets.token_urlsafe(50)
DEBUG = False
LOOPBACK = ["127.0.0.1", "localhost", "[::1]"]
HOSTS = [host.strip() for host in CHOSEN.get("hosts").split(",") if host.strip() not in {"", "*"}]
ALLOWED_HOSTS = LOOPBACK + HOSTS

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django_htmx",
    "drawndose.department.ledger",
    "drawndose.department.people",
    "drawndose.department.work",
    "drawndose.department.training",
    "drawndose.department.keeping",
    "drawndose.department.web",
    "drawndose.department.pages",
    "django.contrib.staticfiles",  # after ours, whose `collectstatic` goes before its own
]
MIDDLEWARE = [
    "drawndose.department.keeping.logs.each_request",
    "drawndose.department.web.middleware.strict_content",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "drawndose.department.pages.instead.in_words",
    "drawndose.department.pages.idle.IdleSignOff",
]
ROOT_URLCONF = "drawndose.department.urls"
WSGI_APPLICATION = "drawndose.department.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["drawndose.department.web.templatetags.bench"],
            "context_processors": [
                "drawndose.department.keeping.banner.banner",
                "drawndose.department.web.device.device",
            ],
        },
    }
]
_STORAGE = storage(CHOSEN)
# "still" is the same storage as it stands at one moment: backup, audit and export read it while others go on writing.
DATABASES = {"default": _STORAGE, "still": still(_STORAGE)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "people.Person"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
SIGNING = limits_of(CHOSEN)
SESSION_COOKIE_AGE = int(SIGNING.session.total_seconds())
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Strict"

# A page is never localized: 0.5 must not become 0,5 on another machine, nor 1,000 become 1.000.
USE_I18N = False
LANGUAGE_CODE = "en-us"
USE_TZ = True
TIME_ZONE = "UTC"

_CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
STATIC_ROOT = CHOSEN.get("static") or str(_CACHE / "drawndose" / f"static-{version('drawndose')}")
STATIC_URL = "/static/"
STORAGES = {"staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"}}

# A fault of ours is written where the server runs; Django's own manner would tell nobody. It holds no typed words.
_LEVEL = {"requests": "INFO", "faults": "ERROR"}[CHOSEN.one_of("log", ("requests", "faults"))]
_TO_STDERR = {"handlers": ["stderr"], "propagate": False}
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"()": "drawndose.department.keeping.logs.Line"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "loggers": {
        "drawndose": _TO_STDERR | {"level": _LEVEL},
        "django": _TO_STDERR | {"level": "ERROR"},
        "gunicorn.error": _TO_STDERR | {"level": "WARNING"},
    },
}

# An order has at most 10,000 characters and a bench some tens of rows; more is not a form of ours.
DATA_UPLOAD_MAX_MEMORY_SIZE = 200_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 1_000
# A file of readings or a list is small and stays in memory; a larger one is let go while it comes, never written to a disk.
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.MemoryFileUploadHandler"]
FILE_UPLOAD_MAX_MEMORY_SIZE = 510_000  # of the whole request: the largest list, 500,000 bytes, and the form around it

CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "drawndose.department.pages.instead.form_too_old"
SECURE_REFERRER_POLICY = (
    "same-origin"  # with "no-referrer" a form sent without scripts carries no origin, and is refused
)
X_FRAME_OPTIONS = "DENY"
if CHOSEN.one_of("https", ("yes", "no")) == "yes":
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
# Served over plain HTTP on the own machine; where TLS stands in front, the proxy says so and adds its own headers.
SILENCED_SYSTEM_CHECKS = ["security.W004", "security.W008", "security.W016"]
