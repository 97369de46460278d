import re
import tomllib

import pytest
from packaging.requirements import Requirement

from tests.architecture.tree import ROOT

LOCKS = ["requirements", "requirements-dev", "requirements-uv"]
PINNED = re.compile(r"^(?P<name>[a-z0-9][a-z0-9._-]*)(?:\[[^\]]*\])?==(?P<version>[^\s;]+)", re.MULTILINE)


def wanted(name):
    """The requirements of an .in file and of those it builds on."""
    for line in (ROOT / f"{name}.in").read_text(encoding="utf-8").splitlines():
        if line.startswith("-r "):
            yield from wanted(line.removeprefix("-r ").removesuffix(".in"))
        elif line and not line.startswith("#"):
            yield Requirement(line)


def pinned(name):
    """Package name to the versions a lock file pins it at (by Python version there may be several)."""
    versions = {}
    for match in PINNED.finditer((ROOT / f"{name}.txt").read_text(encoding="utf-8")):
        versions.setdefault(match["name"], []).append(match["version"])
    return versions


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_file_names_no_host_and_no_index(name):
    text = (ROOT / f"{name}.txt").read_text(encoding="utf-8")

    assert "://" not in text
    assert re.findall(r"^\s*-(?!-hash=).*|--(?:extra-)?index.*|--find-links.*", text.replace("    --hash", "")) == []


@pytest.mark.parametrize("name", LOCKS)
def test_every_pin_of_a_lock_file_carries_a_hash(name):
    entries = re.split(r"\n(?=[a-z0-9])", (ROOT / f"{name}.txt").read_text(encoding="utf-8"))

    assert [entry.splitlines()[0] for entry in entries if "--hash=sha256:" not in entry] == []


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_file_holds_every_package_its_source_asks_for_at_a_version_it_allows(name):
    versions = pinned(name)
    for requirement in wanted(name):
        found = versions.get(requirement.name.lower().replace("_", "-"), [])
        assert found, f"{requirement} is not in {name}.txt; run `make lock`"
        assert all(version in requirement.specifier for version in found), f"{requirement}: {name}.txt pins {found}"


def test_running_and_testing_pin_the_same_versions():
    dev = pinned("requirements-dev")

    assert {name: dev.get(name) for name in pinned("requirements")} == pinned("requirements")


def test_the_project_says_which_python_it_is_for():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    assert project["requires-python"] == ">=3.11,<3.15"
