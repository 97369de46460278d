"""The clerk's morning: who needs a place, who comes today, what did not arrive."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from clinic.common.clock import clinic_today
from clinic.diary.models import BookingStatus, Station
from clinic.people.duties import may
from clinic.web import queries
from clinic.web.access import staff_only
from clinic.web.drawings.marks import Mark
from clinic.web.drawings.room_left import RoomLeft, draw_room_left, left_words
from clinic.web.drawings.window_bar import WindowBar, draw_window_bar
from clinic.web.told import not_arrived
from rehab.models import PlannedVisit

STATES: dict[str, Mark] = {
    BookingStatus.BOOKED: Mark.EXPECTED,
    BookingStatus.ATTENDED: Mark.HERE,
    BookingStatus.MISSED: Mark.DID_NOT_COME,
}


@dataclass(frozen=True, slots=True)
class DueRow:
    """A visit to book as the list shows it."""

    row: queries.ToBook
    mark: Mark
    by: date
    window: SafeString

    @property
    def decides_today(self) -> bool:
        """True for what is overdue or due today."""
        return self.mark is not Mark.WAITING


@require_safe
@staff_only
def show_front_desk(request):
    """Show the day at the front desk."""
    site, today = request.staff.site, clinic_today(request.staff.site.zone)
    to_book = queries.visits_to_book(site, today)
    rows = [due_row(row, today) for row in queries.with_episodes(to_book[: queries.LIST_LENGTH])]
    people = list(queries.attendances_on(site, today))
    dead = list(queries.messages_not_arrived(site)[: queries.MESSAGES_LENGTH])
    return render(
        request,
        "front_desk/page.html",
        {
            "site": site,
            "today": today,
            "rows": rows,
            "n_to_book": to_book.count() if len(rows) == queries.LIST_LENGTH else len(rows),
            "n_now": sum(row.decides_today for row in rows),
            "people": [(booking, STATES[booking.status]) for booking in people],
            "n_here": Counter(booking.status for booking in people)[BookingStatus.ATTENDED],
            "rooms": rooms_left(queries.room_on(site, today)),
            "n_dead": len(dead),
            "not_arrived": not_arrived(dead),
            "without_visit": queries.episodes_without_a_visit(site)[: queries.LIST_LENGTH],
            "n_open": queries.open_episodes(site).count(),
            "may_book": may("book_visit", request.staff),
            "may_register": may("register_patient", request.staff),
        },
    )


def due_row(row: queries.ToBook, today: date) -> DueRow:
    """A visit with its mark: late first."""
    visit = row.visit
    by = visit.deadline_on or visit.latest_on
    mark = Mark.OVERDUE if by < today else Mark.DUE_TODAY if by == today else Mark.WAITING
    return DueRow(row, mark, by, draw_window_bar(window_of(visit, today=today)))


def window_of(visit: PlannedVisit, *, place_on: date | None = None, today: date | None = None) -> WindowBar:
    """A stored visit's window, for drawing."""
    return WindowBar(visit.earliest_on, visit.target_on, visit.latest_on, place_on=place_on, today=today)


def rooms_left(rooms) -> list[tuple[RoomLeft, SafeString, str]]:
    """Room left at each station, the sessions of a day added up."""
    places: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for room in rooms:
        places[room.station] += room.room_for
        taken[room.station] += room.taken
    drawn = [RoomLeft(_capital(Station(name).label), places[name], taken[name]) for name in Station if places[name]]
    return [(room, draw_room_left(room), left_words(room)) for room in drawn]


def _capital(label: object) -> str:
    words = str(label)
    return words[:1].upper() + words[1:]
