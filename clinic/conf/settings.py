"""Settings, read from the environment; the defaults run a demo on a laptop.

Every setting is listed in docs/operations.md.
"""

import zoneinfo
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONCE, NONE, SELF
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy as _

from clinic.conf.celery_settings import WORKERS
from clinic.conf.environment import (
    DATABASE_SCHEMES,
    EMAIL_SCHEMES,
    database_from,
    mail_from,
    read_choice,
    read_list,
    read_number,
    read_switch,
    read_text,
    read_url,
)
from clinic.conf.production import DEMO_KEY, LOCAL_HOSTS, unsafe_values

# The pinned tzdata package, not the machine's own table: they differ, and a visit must not.
zoneinfo.reset_tzpath(to=())

BASE_DIR = Path(__file__).resolve().parents[2]
VAR_DIR = Path(read_text("VAR_DIR", str(BASE_DIR / "var")))
VAR_DIR.mkdir(parents=True, exist_ok=True)

DEBUG = read_switch("DEBUG", True)
SECRET_KEY = read_text("SECRET_KEY", DEMO_KEY)
SECRET_KEY_FALLBACKS = read_list("SECRET_KEY_FALLBACKS", [])
ALLOWED_HOSTS = read_list("ALLOWED_HOSTS", LOCAL_HOSTS)
SITE_URL = read_url("SITE_URL", "http://127.0.0.1:8000", ("http", "https"))
DATABASE_URL = read_url("DATABASE_URL", f"sqlite:///{VAR_DIR / 'clinic.sqlite3'}", DATABASE_SCHEMES)
REDIS_URL = read_url("REDIS_URL", "", ("redis", "rediss", "unix"))
EMAIL_URL = read_url("EMAIL_URL", f"file://{VAR_DIR / 'mail'}", EMAIL_SCHEMES)
SMS_URL = read_url("SMS_URL", "", ("http", "https"))
SENTRY_DSN = read_url("SENTRY_DSN", "", ("http", "https"))
# A folder with the clinic's own copies of pathway files; empty: the project's own.
FF_PATHWAY_FOLDER = read_text("FF_PATHWAY_FOLDER")
FF_LOG_LEVEL = read_choice("FF_LOG_LEVEL", "INFO", ("DEBUG", "INFO", "WARNING", "ERROR"))
FF_DISPATCH_SECONDS = read_number("FF_DISPATCH_SECONDS", 1, at_least=1)
FF_PROXY_TLS = read_switch("FF_PROXY_TLS", False)

if not DEBUG and (faults := unsafe_values(globals())):
    raise ImproperlyConfigured("This clinic does not start. Unsafe values:\n- " + "\n- ".join(faults))

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "rehab",
    "clinic.jobs",
    "clinic.audit",
    "clinic.people",
    "clinic.diary",
    "clinic.documents",
    "clinic.invitations",
    "clinic.reminders",
    "clinic.followup",
    "clinic.web",
    "clinic.demo",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "clinic.conf.no_store.no_store",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
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
                "csp.context_processors.nonce",
            ],
        },
    }
]
ROOT_URLCONF = "clinic.conf.urls"
WSGI_APPLICATION = "clinic.conf.wsgi.application"
DATABASES = {"default": database_from(DATABASE_URL)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
CACHES = {
    "default": (
        {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
        if REDIS_URL
        else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    )
}

# Time and words. Instants are kept in UTC; each site has its own zone.
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", _("English"))]
LOCALE_PATHS = [BASE_DIR / "clinic" / "locale"]

# Who may come in.
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "front-desk"
LOGOUT_REDIRECT_URL = "sign-in"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
SESSION_COOKIE_AGE = 8 * 60 * 60  # a working day at most, counted from the last page
SESSION_SAVE_EVERY_REQUEST = True
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"

# What a browser may do with our pages. With https everything insists on it.
IS_HTTPS = urlsplit(SITE_URL).scheme == "https"
SECURE_SSL_REDIRECT = SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = IS_HTTPS
SESSION_COOKIE_NAME = "__Host-session" if IS_HTTPS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if IS_HTTPS else "csrf"
CSRF_TRUSTED_ORIGINS = [SITE_URL] if IS_HTTPS else []
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60 if IS_HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = IS_HTTPS
SECURE_REDIRECT_EXEMPT = [r"^healthz$"]  # asked by the machine itself, without TLS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if FF_PROXY_TLS else None
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF, NONCE],
        "style-src": [SELF, NONCE],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

# Files of our own that browsers fetch.
STATIC_URL = "static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
STATICFILES_DIRS = [folder for folder in [BASE_DIR / "static"] if folder.is_dir()]
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}

# Messages. The sender's address is each site's own.
globals().update(mail_from(EMAIL_URL))
# A demo without a gateway only shows its texts; a real clinic without one owes none, and nobody counts on them.
TEXTS_LEAVE = DEBUG or bool(SMS_URL)

# Workers of a hospital group; without REDIS_URL the dispatcher does their work.
CELERY_BROKER_URL = REDIS_URL or None
globals().update(WORKERS)

# Logs say what was done to which record, by its random identifier; never a name, a number or a finding.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": FF_LOG_LEVEL},
    "loggers": {"django": {"handlers": ["stderr"], "level": FF_LOG_LEVEL, "propagate": False}},
}

if SENTRY_DSN:
    try:
        import sentry_sdk  # type: ignore[import-not-found]  # an extra of the clinic that wants it
    except ImportError as missing:
        raise ImproperlyConfigured("SENTRY_DSN is set, but sentry-sdk is not installed.") from missing
    # Neither who is asked for nor what was typed leaves the house.
    sentry_sdk.init(
        dsn=SENTRY_DSN, send_default_pii=False, include_local_variables=False, max_request_body_size="never"
    )
