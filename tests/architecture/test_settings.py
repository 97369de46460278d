import ast
import re

from tests.architecture.tree import ROOT, python_files, short

SETTINGS = ROOT / "clinic" / "conf" / "settings.py"
OPERATIONS = ROOT / "docs" / "operations.md"
# What people and scripts build on: these may be joined by others, never renamed.
PROMISED = {
    "ALLOWED_HOSTS",
    "DATABASE_URL",
    "DEBUG",
    "EMAIL_URL",
    "REDIS_URL",
    "SECRET_KEY",
    "SENTRY_DSN",
    "SITE_URL",
    "SMS_URL",
}


def settings_read():
    """The names that the settings read from the environment, through the readers of clinic.conf.environment."""
    calls = [node for node in ast.walk(ast.parse(SETTINGS.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    readers = [call for call in calls if isinstance(call.func, ast.Name) and call.func.id.startswith("read_")]
    return {ast.literal_eval(call.args[0]) for call in readers}


def settings_told():
    """The names that have a line of their own in the table of docs/operations.md."""
    return set(re.findall(r"^\| *`([A-Z][A-Z0-9_]*)`", OPERATIONS.read_text(encoding="utf-8"), re.MULTILINE))


def test_every_setting_has_its_line_in_the_operations_page_and_every_line_its_setting():
    assert settings_read() == settings_told()


def test_the_promised_settings_are_read():
    assert PROMISED - settings_read() == set()


def test_nothing_but_the_settings_reads_the_environment():
    readers = {
        short(path)
        for path in python_files("clinic", "rehab")
        if re.search(r"os\.environ(?:\.get|\[)|\bgetenv\(", path.read_text(encoding="utf-8"))
    }

    assert {path for path in readers if not path.startswith("clinic/conf/")} == set()
