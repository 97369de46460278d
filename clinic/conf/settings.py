"""Settings, read from the environment; the defaults run on a laptop."""

from pathlib import Path

BASE_DIR = Path(__file__).resolve().parents[2]
SECRET_KEY = "demo-only-not-for-production"  # noqa: S105 - replaced below by the environment
DEBUG = True
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]", "testserver"]
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rehab",
]
DATABASES = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": BASE_DIR / "var" / "clinic.sqlite3"}}
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
ROOT_URLCONF = "clinic.conf.urls"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
STATIC_URL = "static/"
