import re

import pytest
from django.template import TemplateSyntaxError
from django.template.loader import get_template

from tests.architecture.tree import ROOT, project_files, short

OPENING = re.compile(r"\{# Needs: \S.*#\}|\{% comment %\}\s*Needs: \S")
TEMPLATES = [path for path in project_files() if "templates" in path.relative_to(ROOT).parts[:-1]]
PAGES = [path for path in TEMPLATES if path.suffix in {".html", ".txt", ".svg"}]
PARTS = [path for path in PAGES if path.name.startswith("_") and path.suffix == ".html"]


def name_of(path):
    """The name by which Django loads a template."""
    parts = path.relative_to(ROOT).parts
    return "/".join(parts[parts.index("templates") + 1 :])


@pytest.mark.parametrize("path", PAGES, ids=short)
def test_a_template_compiles(path):
    try:
        get_template(name_of(path))
    except TemplateSyntaxError as fault:
        pytest.fail(f"{short(path)}: {fault}", pytrace=False)


@pytest.mark.parametrize("path", PARTS, ids=short)
def test_a_part_opens_by_saying_what_it_needs(path):
    first = next((line for line in path.read_text(encoding="utf-8").splitlines() if line.strip()), "")

    assert OPENING.match(first)
