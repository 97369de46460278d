import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT, python_files, short

PURE = ("rehab/engine", "clinic/allocation")
# `time.monotonic` is left to the allocator, which is told how long it may think.
CLOCKS = {"date.today", "datetime.today", "datetime.now", "datetime.utcnow", "time.time", "datetime.date.today"}
LINT_IMPORTS = [sys.executable, str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]


def imported_names(path):
    """Full dotted names of the modules a file imports, wherever in the file the import stands."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


def test_imports_point_one_way():
    answer = subprocess.run(LINT_IMPORTS, cwd=ROOT, capture_output=True, text=True, check=False)

    assert answer.returncode == 0, answer.stdout + answer.stderr


@pytest.mark.parametrize("folder", PURE)
def test_the_pure_parts_import_only_themselves_and_the_standard_library(folder):
    own = folder.replace("/", ".")
    strangers = {
        f"{short(path)}: {name}"
        for path in python_files(folder)
        for name in imported_names(path)
        if name.split(".")[0] not in sys.stdlib_module_names and name != own and not name.startswith(f"{own}.")
    }

    assert strangers == set()


def test_the_engine_is_there_to_be_judged():
    assert len(python_files("rehab/engine")) > 5


def test_the_pure_parts_never_ask_the_clock():
    asked = {
        f"{short(path)}:{node.lineno}: {ast.unparse(node)}"
        for path in python_files(*PURE)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and ast.unparse(node) in CLOCKS
    }

    assert asked == set()


def test_the_tests_of_the_engine_import_no_django():
    strangers = {
        f"{short(path)}: {name}"
        for path in python_files("tests/rehab/engine")
        for name in imported_names(path)
        if name.split(".")[0] in {"django", "pytest_django", "clinic"} or name.startswith("rehab.models")
    }

    assert strangers == set()


def test_every_python_file_can_be_read_by_python_3_11():
    for path in python_files():
        ast.parse(path.read_text(encoding="utf-8"), filename=short(path), feature_version=(3, 11))
