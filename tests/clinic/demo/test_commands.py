import io
import re
import socket
from datetime import date

import pytest
from django.core.management import CommandError, call_command

from clinic.demo import loading
from clinic.demo.clinic_file import read_clinic
from clinic.demo.management.commands import load_demo as load_demo_command
from clinic.demo.story_files import FOLDER


@pytest.fixture
def demo_settings(settings):
    """The settings of a demo: tests run with DEBUG off."""
    settings.DEBUG = True


@pytest.fixture
def one_story(own_folder, monkeypatch):
    """The demo with one story only, for quick commands."""
    story = own_folder / "stories" / "nail_refused_plateau.toml"
    story.write_bytes((FOLDER / "stories" / story.name).read_bytes())
    monkeypatch.setattr(load_demo_command, "load", lambda on, say: loading.load(on, say=say, folder=own_folder))


def said(*command, **options):
    out = io.StringIO()
    call_command(*command, stdout=out, **options)
    return out.getvalue()


@pytest.mark.django_db
def test_load_demo_says_each_story_and_counts(demo_settings, one_story):
    words = said("load_demo", on=date(2027, 3, 3))

    assert "Desmond Pikering: Out of scope: the break reaches the knee joint" in words
    assert re.search(r"1 stories, 1 episodes open, \d+ sessions, 0 places to come, 0 messages, in \d+\.\d s", words)


@pytest.mark.django_db
def test_load_demo_keep_leaves_a_demo_as_it_is(demo_settings, one_story):
    said("load_demo", on=date(2027, 3, 3))

    assert said("load_demo", keep=True) == "The demo of 2027-03-03 stays as it is.\n"
    assert loading.loaded_for(read_clinic()) == date(2027, 3, 3)


@pytest.mark.django_db
def test_load_demo_is_refused_in_a_real_clinic(settings):
    settings.DEBUG = False

    with pytest.raises(CommandError, match="DEBUG is off"):
        said("load_demo")


@pytest.mark.django_db
def test_demo_fills_an_empty_database_and_prints_one_login_for_each_role(demo_settings, one_story):
    words = said("demo", no_serve=True, port=8123)

    assert "http://127.0.0.1:8123/" in words
    logins = re.findall(r"^ +(clinic clerk|physiotherapist|surgeon|clinic manager) +(\w+) +(\S+)$", words, re.MULTILINE)
    assert [login[1:] for login in logins] == [
        ("nora", "try-the-demo"),
        ("bea", "try-the-demo"),
        ("miriam", "try-the-demo"),
        ("gwen", "try-the-demo"),
    ]


@pytest.mark.django_db
def test_demo_leaves_an_older_demo_and_says_how_to_bring_it_up_to_date(demo_settings, one_story):
    said("load_demo", on=date(2027, 3, 3))

    words = said("demo", no_serve=True)

    assert "The demo on file is of 2027-03-03. To bring it up to today: manage.py load_demo" in words
    assert "Filling" not in words


def test_demo_says_that_a_port_is_taken_before_anything_is_done(demo_settings):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]

        with pytest.raises(CommandError, match=rf"Port {port} cannot be used: .*make demo PORT={port + 1}"):
            said("demo", port=port)
