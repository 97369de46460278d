import re

from tests.architecture.tree import short, text_files

# Written in pieces, so that this file does not find itself.
MACHINE_PATHS = re.compile(r"(?<![\w.$-])/(?:" + "|".join(["root", "home", "Users", "work", "builds"]) + r")/\w")
HOSTS_OF_REGISTRIES = ["pypi" + ".org", "pythonhosted" + ".org", "npmjs" + ".org", "deb." + "debian.org"]


def test_no_file_holds_a_path_of_somebodys_machine():
    found = {f"{short(path)}: {hit}" for path, text in text_files() for hit in MACHINE_PATHS.findall(text)}

    assert found == set()


def test_no_file_names_a_host_of_a_package_registry():
    found = {f"{short(path)}: {host}" for path, text in text_files() for host in HOSTS_OF_REGISTRIES if host in text}

    assert found == set()


def test_no_file_is_a_drawer_for_odds_and_ends():
    drawers = {"utils", "helpers", "manager", "handler", "misc", "common_utils"}

    assert [short(path) for path, _ in text_files() if path.stem in drawers] == []
