"""What the tests of the demo share: a day, and the files of fixtures_demo in a folder of their own."""

import shutil
from datetime import date

import pytest

from clinic.demo.clinic_file import read_clinic
from clinic.demo.story_files import FOLDER, read_stories
from rehab.engine.pathway_files import load_pathways
from rehab.holiday_tables import public_holidays
from rehab.translate import ClinicDays, clinic_facts

THURSDAY = date(2027, 3, 4)


@pytest.fixture(scope="session")
def pathways():
    return load_pathways()


@pytest.fixture(scope="session")
def stories(pathways):
    return read_stories(pathways)


@pytest.fixture(scope="session")
def days_on():
    """Give the demo clinic's own days, as they would be on file when it is loaded on a day."""
    clinic = read_clinic()
    holidays = public_holidays("GB", "ENG", 2024, 2034)

    def on(today):
        facts = clinic_facts(
            time_zone=clinic.site["time_zone"],
            clinic_days=clinic.site["clinic_days"],
            appointment_time=clinic.site["appointment_time"],
            country="GB",
            subdivision="ENG",
            closed_on=[closed.on(today) for closed in clinic.closed],
        )
        return ClinicDays(facts, holidays)

    return on


@pytest.fixture
def own_folder(tmp_path):
    """A copy of the demo's clinic and people, with no story yet."""
    folder = tmp_path / "fixtures"
    (folder / "stories").mkdir(parents=True)
    for name in ("clinic.toml", "people.toml"):
        shutil.copy(FOLDER / name, folder / name)
    return folder
