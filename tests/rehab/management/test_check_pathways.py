"""`check_pathways` as people run it."""

import re
from io import StringIO

import pytest
from django.core.management import call_command

from tests.rehab.engine.own_copies import NAIL, SHARED, own_copy


def check(*arguments):
    """Run the command: exit status, standard output, standard error."""
    out, err = StringIO(), StringIO()
    try:
        call_command("check_pathways", *map(str, arguments), stdout=out, stderr=err)
    except SystemExit as end:
        return end.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_the_shipped_files_pass_and_it_says_what_was_counted():
    status, out, err = check()

    assert (status, err) == (0, "")
    assert "long_leg_cast.toml: visits 12, stages 7, gates 11," in out
    assert re.search(r"Checked: files 9, numbers \d{3}, each with a source;", out)


def test_passing_is_not_approval():
    assert "Checked is not approved: each version needs the signature of a named clinician." in check()[1]


def test_a_clinics_own_copy_is_checked_and_named_as_its_own(tmp_path):
    status, out, _err = check("--folder", own_copy(tmp_path, NAIL, ("latest_day = 46", "latest_day = 47")))

    assert status == 0
    assert "intramedullary_nail.toml (the clinic's own): visits 6" in out
    assert "long_leg_cast.toml: visits 12" in out


def test_the_folder_of_the_settings_is_checked_without_being_named(tmp_path, settings):
    settings.FF_PATHWAY_FOLDER = str(own_copy(tmp_path, NAIL))

    assert "intramedullary_nail.toml (the clinic's own)" in check()[1]


def test_every_fault_is_told_on_standard_error_and_the_exit_status_is_1(tmp_path):
    own_copy(tmp_path, NAIL, ('finding = "walking_pain"', 'finding = "walkin_pain"'))
    own_copy(tmp_path, SHARED, ("adult_age = 18", 'adult_age = "eighteen"'))

    status, out, err = check("--folder", tmp_path)

    assert (status, out) == (1, "")
    assert err.splitlines() == [
        "intramedullary_nail.toml: stage 2 “FWB”, gate 2 “walkin_pain”: finding “walkin_pain” is not known; "
        "did you mean “walking_pain”?",
        'shared_rules.toml: scope: “adult_age” is "eighteen"; it must be a whole number from 0 to 9999',
        "2 faults. Nothing was loaded.",
    ]


@pytest.mark.parametrize("folder", ["nowhere", "nowhere/deeper"])
def test_a_folder_that_does_not_exist_is_a_fault(tmp_path, folder):
    status, _out, err = check("--folder", tmp_path / folder)

    assert status == 1
    assert "there is no such folder" in err


def test_a_folder_without_pathway_files_is_pointed_out(tmp_path):
    assert f"Warning: {tmp_path} holds no pathway file" in check("--folder", tmp_path)[1]
