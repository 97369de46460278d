import doctest
import re

import pytest
from django.core.management import get_commands

from tests.architecture.tree import ROOT, project_files, short

DOCS = [path for path in project_files() if path.suffix == ".md"]
LINK = re.compile(r"\[[^\]]+\]\((?P<target>[^)\s#]+)(?:#[^)]*)?\)")
MAKE = re.compile(r"\bmake (?P<target>[a-z][a-z-]*)\b")
MANAGE = re.compile(r"manage\.py (?P<command>[a-z][a-z_]*)")
CODE = re.compile(r"```.*?```|`[^`\n]+`", re.DOTALL)
OUR_PATH = re.compile(r"`(?P<path>(?:clinic|rehab|templates|tests|fixtures_demo|docs|deploy|\.ci)/[\w./-]*)`")


def code_of(path):
    """Everything a document shows as code."""
    return "\n".join(CODE.findall(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", DOCS, ids=short)
def test_every_link_to_a_file_of_ours_leads_somewhere(path):
    targets = {match["target"] for match in LINK.finditer(path.read_text(encoding="utf-8"))}
    inward = {target for target in targets if "://" not in target and not target.startswith("mailto:")}

    assert {target for target in inward if not (path.parent / target).exists()} == set()


@pytest.mark.parametrize("path", DOCS, ids=short)
def test_every_path_of_ours_that_is_named_exists(path):
    named = {match["path"] for match in OUR_PATH.finditer(path.read_text(encoding="utf-8"))}

    assert {name for name in named if not (ROOT / name).exists()} == set()


@pytest.mark.parametrize("path", DOCS, ids=short)
def test_every_command_that_is_named_can_be_given(path):
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    code = code_of(path)

    assert {match["target"] for match in MAKE.finditer(code)} - targets == set()
    assert {match["command"] for match in MANAGE.finditer(code)} - set(get_commands()) == set()


@pytest.mark.parametrize("path", [path for path in DOCS if ">>> " in path.read_text(encoding="utf-8")], ids=short)
def test_the_examples_of_a_document_run(path):
    failed, tried = doctest.testfile(str(path), module_relative=False)

    assert (failed, tried > 0) == (0, True)
