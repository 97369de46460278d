"""The files of the project as the architecture tests see them: what git tracks or would track."""

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def project_files() -> tuple[Path, ...]:
    """Return every file of the project, without what .gitignore leaves out."""
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    files = (ROOT / name for name in listing.split("\0") if name)
    return tuple(sorted(path for path in files if path.is_file()))


def python_files(*folders: str) -> list[Path]:
    """Return the Python files, of these folders only when some are named."""
    inside = tuple(ROOT / folder for folder in folders) or (ROOT,)
    return [path for path in project_files() if path.suffix == ".py" and any(path.is_relative_to(i) for i in inside)]


def short(path: Path) -> str:
    """Return a path as a reader of the project would write it."""
    return path.relative_to(ROOT).as_posix()


def text_files() -> list[tuple[Path, str]]:
    """Return every file that is text, with its text."""
    found = []
    for path in project_files():
        try:
            found.append((path, path.read_text(encoding="utf-8")))
        except UnicodeDecodeError:
            continue
    return found
