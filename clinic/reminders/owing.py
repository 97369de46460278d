"""What is owed to a patient: one outbox row for each message, written in the transaction of the act itself."""

from datetime import datetime, time, timedelta

from django.conf import settings
from django.db.models import Q

from clinic.common.clock import clinic_instant, clinic_today
from clinic.diary.calendar import starts_at
from clinic.diary.models import Booking, BookingStatus
from clinic.people.models import Episode, Patient
from clinic.reminders.models import Channel, MessageKind, MessageState, OutboxMessage, Untold
from clinic.reminders.tasks import send_message
from rehab.models.planned_visit import VisitRowState
from rehab.services import Replanned

REMINDERS = {1: MessageKind.FIRST_REMINDER, 2: MessageKind.SECOND_REMINDER}
OPEN = (MessageState.DUE, MessageState.FAILED, MessageState.UNCERTAIN)
MAY_HAVE_ARRIVED = (MessageState.SENT, MessageState.CLAIMED, MessageState.UNCERTAIN)
QUIET_FROM, QUIET_UNTIL = time(21), time(8)  # no text wakes anybody; common practice, no source


def owe_confirmation(booking: Booking, *, at: datetime) -> list[OutboxMessage]:
    """Owe the patient the confirmation of a new place, with its invitation."""
    return _owe_news(booking, MessageKind.CONFIRMATION, at)


def owe_change(booking: Booking, *, at: datetime) -> list[OutboxMessage]:
    """Owe the patient the news of a moved place; what was said of the old one is overtaken.

    Somebody who never heard of the old place gets a confirmation.
    """
    was_told = _was_told(booking)
    _overtake(booking)
    return _owe_news(booking, MessageKind.CHANGE if was_told else MessageKind.CONFIRMATION, at)


def owe_cancellation(booking: Booking, *, at: datetime) -> list[OutboxMessage]:
    """Owe the patient the news that a place was given back; nothing when nobody was told of it."""
    was_told = _was_told(booking)
    _overtake(booking)
    return _owe_news(booking, MessageKind.CANCELLATION, at) if was_told else []


def _was_told(booking: Booking) -> bool:
    """Say whether the patient may know of the place; a change is only ever owed to somebody who may."""
    news = booking.messages.exclude(kind__in=REMINDERS.values())
    return news.filter(Q(state__in=MAY_HAVE_ARRIVED) | Q(kind=MessageKind.CHANGE)).exists()


def _overtake(booking: Booking) -> None:
    """Mark what is still to be sent of earlier revisions as overtaken; what is just leaving is checked as it leaves."""
    older = booking.messages.filter(revision__lt=booking.sequence, state__in=OPEN)
    older.update(state=MessageState.SUPERSEDED)


def _owe_news(booking: Booking, kind: MessageKind, at: datetime) -> list[OutboxMessage]:
    channel = news_channel(booking.episode.patient)
    if channel is None:
        return []
    due_at = at if channel is Channel.EMAIL else _hour_for_a_text(at, booking)
    return _owe([_row(booking, kind, channel, due_at=due_at, at=at)])


def news_channel(patient: Patient) -> Channel | None:
    """Choose how news of a place leaves: e-mail carries the invitation; else a text; None: ring or write."""
    if patient.email:
        return Channel.EMAIL
    return Channel.SMS if _takes_texts(patient) else None


def reminder_channel(patient: Patient) -> Channel | None:
    """Choose how a reminder leaves: a text is seen soonest; else e-mail; None: ring or write."""
    if _takes_texts(patient):
        return Channel.SMS
    return Channel.EMAIL if patient.email else None


def why_untold(patient: Patient) -> Untold | None:
    """Say why no message reaches a patient; None for one whom messages reach."""
    if news_channel(patient) is not None:
        return None
    return Untold.NO_GATEWAY if patient.mobile else Untold.NO_ADDRESS


def _takes_texts(patient: Patient) -> bool:
    """Say whether a text would reach somebody: a mobile number, and a clinic that can send texts at all."""
    return bool(patient.mobile) and settings.TEXTS_LEAVE


def _hour_for_a_text(at: datetime, booking: Booking) -> datetime:
    """Give the next waking moment; at once when the visit would have begun by then: rather woken than not told."""
    morning = next_waking_moment(at, booking)
    return morning if morning < starts_at(booking.session) else at


def next_waking_moment(at: datetime, booking: Booking) -> datetime:
    """Shift a text out of the night, in the clinic's time zone."""
    zone = booking.episode.site.zone
    local = at.astimezone(zone)
    if QUIET_UNTIL <= local.time() < QUIET_FROM:
        return at
    day = clinic_today(zone, at) + timedelta(days=local.time() >= QUIET_FROM)
    return clinic_instant(day, QUIET_UNTIL, zone)


def owe_reminders(episode: Episode, replanned: Replanned, *, at: datetime) -> list[OutboxMessage]:
    """Owe the reminders of every booked visit, as the plan times them; those owed already stay as they are.

    A visit without a place gets none: it stands on the list of people who need one.
    """
    channel = reminder_channel(episode.patient)
    if channel is None or not replanned.plan.reminders:
        return []
    leads = _leads_by_visit(episode)
    rows = []
    for reminder in replanned.plan.reminders:
        visit = _open_record(replanned, reminder.treatment, reminder.visit)
        lead = visit and leads.get(visit.pk)
        if lead and lead.session.on == reminder.visit_on:
            kind = REMINDERS[reminder.number]
            rows.append(_row(lead, kind, channel, due_at=reminder.send_at, at=at))
    return _owe(rows)


def _open_record(replanned: Replanned, treatment: int, code: str):
    """Give the record of the newest planned row of a code."""
    rows = {key[2]: row for key, row in replanned.records.items() if key[:2] == (treatment, code)}
    planned = [attempt for attempt, row in rows.items() if row.state == VisitRowState.PLANNED]
    return rows[max(planned)] if planned else None


def _leads_by_visit(episode: Episode) -> dict[int, Booking]:
    """Give, for each booked visit, the booking that carries its attendance."""
    live = episode.bookings.filter(status=BookingStatus.BOOKED)
    bookings = {row.pk: row for row in live.select_related("session").order_by("id")}
    return {row.visit_id: bookings.get(row.shares_with_id or row.pk, row) for row in bookings.values()}


def _row(booking: Booking, kind: MessageKind, channel: Channel, *, due_at: datetime, at: datetime) -> OutboxMessage:
    return OutboxMessage(
        site_id=booking.episode.site_id,
        episode_id=booking.episode_id,
        booking=booking,
        kind=kind,
        channel=channel,
        revision=booking.sequence,
        created_at=at,
        due_at=due_at,
    )


def _owe(rows: list[OutboxMessage]) -> list[OutboxMessage]:
    """Store the rows that are not owed yet, and wake the sender once they are committed."""
    known = set(
        OutboxMessage.objects.filter(booking__in={row.booking_id for row in rows}).values_list(
            "booking", "kind", "channel", "revision"
        )
    )
    new = [row for row in rows if (row.booking_id, row.kind, row.channel, row.revision) not in known]
    for row in OutboxMessage.objects.bulk_create(new):
        if row.due_at <= row.created_at:
            send_message.wake(row.pk)
    return new
