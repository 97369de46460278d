"""The invitation that most tests begin with. Its person, place and numbers are invented."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from clinic.invitations.invitation import Invitation, Mailbox

LONDON = ZoneInfo("Europe/London")
CLINIC = Mailbox("Bookings", "bookings@example.org")
ANN = Mailbox("Ann Tolliver", "ann.tolliver@example.org")
UID = "5b0c1b1e-8a10-4a62-93a5-3f6f6f0a7d11"
WRITTEN_AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def visit(**changes) -> Invitation:
    """Give Ann's visit on Tuesday 14 April 2026 at 10:20 in London, with some things changed."""
    usual = {
        "uid": UID,
        "dtstamp": WRITTEN_AT,
        "starts_at": datetime(2026, 4, 14, 10, 20, tzinfo=LONDON),
        "minutes": 20,
        "zone": "Europe/London",
        "place": ("Main building, level 2", "Desk 4"),
        "phone": "07700 900412",
        "organiser": CLINIC,
        "attendee": ANN,
    }
    return Invitation(**(usual | changes))


def whole_day(**changes) -> Invitation:
    """Give a note for Wednesday 31 March 2027 that has no clock time yet."""
    return visit(**({"starts_at": date(2027, 3, 31), "minutes": None} | changes))
