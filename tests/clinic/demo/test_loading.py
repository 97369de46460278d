import shutil
from datetime import UTC, date, datetime

import pytest
from django.contrib.auth import get_user_model
from django.core.management import call_command

from clinic.demo.clinic_file import read_clinic
from clinic.demo.loading import NotADemo, is_loaded, load, loaded_for
from clinic.demo.story import StoryFaults
from clinic.demo.story_files import FOLDER
from clinic.diary.calendar import clinic_days_of
from clinic.diary.models import Booking, BookingStatus, ClosedDay, ClosedDayKind, Session, SessionRoom
from clinic.people.models import Episode, Patient, Site
from clinic.reminders.claim import WAITING
from clinic.reminders.models import MessageState, OutboxMessage
from rehab import queries
from rehab.engine.plan import TaskState, VisitState
from rehab.models import HistoryEntry
from tests.support import cast

WEDNESDAY = date(2027, 3, 3)
NOON = datetime(2027, 3, 3, 12, 0, tzinfo=UTC)


@pytest.fixture
def few(own_folder):
    """The demo with three of its stories: one that slips, one whose texts do not arrive, one that is moved."""
    for name in ("cast_slipping", "nail_texts_do_not_arrive", "nail_place_moved"):
        shutil.copy(FOLDER / "stories" / f"{name}.toml", own_folder / "stories")
    return own_folder


def people():
    return sorted(Patient.objects.values_list("hospital_number", "given_name", "family_name", "born_on"))


@pytest.mark.django_db
def test_loading_twice_gives_the_same_people(few):
    load(WEDNESDAY, folder=few)
    first, history = people(), HistoryEntry.objects.count()

    load(WEDNESDAY, folder=few)

    assert (people(), HistoryEntry.objects.count()) == (first, history)
    assert Site.objects.count() == 1


@pytest.mark.django_db
def test_the_day_it_was_loaded_for_is_known(few):
    assert loaded_for(read_clinic(few)) is None

    load(WEDNESDAY, folder=few)

    assert is_loaded(read_clinic(few))
    assert loaded_for(read_clinic(few)) == WEDNESDAY


@pytest.mark.django_db
def test_a_database_with_another_clinic_is_refused_and_stays_as_it_was(few):
    cast.make_site("A real clinic")

    with pytest.raises(NotADemo, match="the site “A real clinic”"):
        load(WEDNESDAY, folder=few)

    assert list(Site.objects.values_list("name", flat=True)) == ["A real clinic"]


@pytest.mark.django_db
def test_a_database_with_a_user_of_its_own_is_refused(few):
    get_user_model().objects.create(username="somebody")

    with pytest.raises(NotADemo, match="the user “somebody”"):
        load(WEDNESDAY, folder=few)


@pytest.mark.django_db
def test_a_story_that_cannot_be_told_is_named_and_nothing_is_left_behind(few):
    path = few / "stories" / "cast_slipping.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"C3"', '"N1"'), encoding="utf-8")

    with pytest.raises(StoryFaults, match=r"cast_slipping.toml: N1 is not to come"):
        load(WEDNESDAY, folder=few)

    assert not Site.objects.exists()


@pytest.mark.django_db
def test_a_text_to_a_number_not_in_use_did_not_arrive(few):
    load(WEDNESDAY, folder=few)

    dead = OutboxMessage.objects.filter(state=MessageState.DEAD)
    assert {message.episode.patient.family_name for message in dead} == {"Mossley"}
    assert {message.last_error for message in dead} == {"number not in use"}


@pytest.mark.django_db
def test_a_moved_place_was_told_with_a_higher_revision(few):
    load(WEDNESDAY, folder=few)

    booking = Booking.objects.get(episode__patient__family_name="Norlander", visit__code="N2")
    news = booking.messages.filter(state=MessageState.SENT, kind__in=("confirmation", "change")).order_by("id")
    assert [(message.kind, message.revision) for message in news] == [("confirmation", 0), ("change", 1)]


@pytest.fixture(scope="module")
def whole_demo(django_db_setup, django_db_blocker):
    """The whole demo as it stands at noon on Wednesday 3 March 2027; loaded once for the tests below."""
    with django_db_blocker.unblock():
        yield load(WEDNESDAY)
        call_command("flush", interactive=False, verbosity=0)


@pytest.mark.slow
@pytest.mark.django_db
class TestTheWholeDemo:
    def test_every_story_is_told(self, whole_demo, stories):
        assert whole_demo.n_stories == len(stories) == Episode.objects.count()

    def test_nobody_is_lost(self, whole_demo):
        site = Site.objects.get()
        days = clinic_days_of(site)
        lost = []
        for episode in Episode.objects.filter(ended_on=None).select_related("injury", "patient"):
            plan = queries.plan_of(episode.injury, days, WEDNESDAY)
            to_come = [
                v for v in plan.visits if v.state is VisitState.PLANNED and v.is_real and v.latest_on >= WEDNESDAY
            ]
            tasks = [task for task in plan.tasks if task.state in (TaskState.OPEN, TaskState.OVERDUE)]
            if not to_come and not tasks and not [alert for alert in plan.alerts if alert.is_open]:
                lost.append(episode.patient.full_name)

        assert lost == []

    def test_no_message_of_the_past_is_still_to_be_sent(self, whole_demo):
        assert not OutboxMessage.objects.filter(state__in=WAITING, due_at__lte=NOON).exists()
        assert OutboxMessage.objects.filter(state__in=WAITING, due_at__gt=NOON).exists()
        assert not OutboxMessage.objects.filter(state=MessageState.CLAIMED).exists()

    def test_nothing_was_recorded_in_the_future(self, whole_demo):
        assert not HistoryEntry.objects.filter(recorded_at__gt=NOON).exists()
        assert not OutboxMessage.objects.filter(created_at__gt=NOON).exists()

    def test_the_room_taken_is_the_room_that_live_and_past_places_hold(self, whole_demo):
        held = {}
        for booking in Booking.objects.filter(shares_with=None).exclude(status=BookingStatus.CANCELLED):
            for station in booking.stations:
                held[booking.session_id, station] = held.get((booking.session_id, station), 0) + 1

        taken = {(room.session_id, room.station): room.taken for room in SessionRoom.objects.filter(taken__gt=0)}
        assert taken == held

    def test_one_session_soon_has_no_room_left(self, whole_demo):
        (full_on,) = whole_demo.full_on
        rooms = SessionRoom.objects.filter(session__on=full_on)

        assert full_on > WEDNESDAY
        assert all(room.left == 0 for room in rooms)

    def test_one_day_is_closed_and_has_no_session(self, whole_demo):
        closed = ClosedDay.objects.get(kind=ClosedDayKind.CLOSED)

        assert closed.on == date(2027, 4, 9)
        assert not Session.objects.filter(on=closed.on).exists()

    def test_sessions_reach_a_year_back_and_fifteen_months_ahead(self, whole_demo):
        days = Session.objects.order_by("on").values_list("on", flat=True)

        assert days.first() < date(2026, 3, 3)
        assert days.last() > date(2028, 5, 25)
        assert {day.weekday() for day in days} == {0, 2, 4}

    def test_one_of_each_role_can_sign_in_with_the_printed_password(self, whole_demo, client):
        clinic = read_clinic()

        assert all(client.login(username=each.username, password=clinic.password) for each in clinic.one_of_each_role())
