"""What a real clinic must not start with."""

from urllib.parse import urlsplit

DEMO_KEY = "demo-only: a real clinic sets SECRET_KEY to 50 or more random characters"
LOCAL_HOSTS = ["127.0.0.1", "localhost", "[::1]"]


def unsafe_values(values: dict) -> list[str]:
    """Name every setting that is unsafe outside a demo, and what would be right. Empty: safe."""
    faults = []
    if _is_weak(values["SECRET_KEY"]):
        faults.append("SECRET_KEY: set 50 or more random characters that nobody else knows.")
    if any(_is_weak(older) for older in values["SECRET_KEY_FALLBACKS"]):
        faults.append("SECRET_KEY_FALLBACKS: older keys are believed as well; take the weak one out.")
    hosts = values["ALLOWED_HOSTS"]
    if hosts == LOCAL_HOSTS or "*" in hosts:
        faults.append("ALLOWED_HOSTS: name the hosts that people reach the clinic by, never *.")
    if urlsplit(values["SITE_URL"]).scheme != "https":
        faults.append("SITE_URL: must begin with https://, because patients' pages are opened with it.")
    if values["EMAIL_URL"].startswith(("console:", "file:")):
        faults.append("EMAIL_URL: name a mail server (smtp://…), or no patient is told anything.")
    if values["SMS_URL"].startswith("http:") and urlsplit(values["SMS_URL"]).hostname not in ("127.0.0.1", "localhost"):
        faults.append("SMS_URL: must begin with https://, because it carries telephone numbers.")
    return faults


def _is_weak(key: str) -> bool:
    return key == DEMO_KEY or len(key) < 50 or len(set(key)) < 5
