"""Put a clinic on file."""

from datetime import time

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from clinic.common.clock import clinic_today
from clinic.diary.management.commands.load_holidays import YEARS_AHEAD, load
from clinic.people.models import Site


class Command(BaseCommand):
    """Make a site with everything its papers and messages say, and its public holidays."""

    help = "Makes a site and puts its public holidays on file for five years. Every fault is named at once."

    def add_arguments(self, parser) -> None:
        """Take what is on file of a site."""
        parser.add_argument("name")
        parser.add_argument("--neutral-name", required=True, help="name in messages: must not tell what is treated")
        parser.add_argument("--time-zone", required=True, help="such as Europe/London")
        parser.add_argument("--country", required=True, help="two letters, such as GB")
        parser.add_argument("--subdivision", help="part of the country, such as ENG")
        parser.add_argument("--days", required=True, help="clinic days, such as mon,wed,fri")
        parser.add_argument("--time", required=True, type=time.fromisoformat, help="usual appointment, such as 09:30")
        parser.add_argument("--phone", required=True)
        parser.add_argument("--phone-hours", required=True)
        parser.add_argument("--emergency", required=True, help="emergency number")
        parser.add_argument("--place", required=True, help="building, floor, desk, as messages name it")
        parser.add_argument("--address", required=True, help="lines of the address on papers, parted by |")
        parser.add_argument("--email", required=True, help="address that messages and invitations come from")
        parser.add_argument("--paper", default="A4", choices=["A4", "Letter"])

    @transaction.atomic
    def handle(self, *args, **options) -> None:
        """Check, save, and load the holidays."""
        site = site_from(options)
        try:
            site.full_clean()
        except ValidationError as wrong:
            faults = [f"{name}: {' '.join(messages)}" for name, messages in wrong.message_dict.items()]
            raise CommandError("\n".join(faults)) from None
        site.save()
        today = clinic_today(site.zone)
        n_days = load(site, today, today.year + YEARS_AHEAD)
        self.stdout.write(f"{site.name} is on file, with {n_days} public holidays until {site.holidays_until}")


def site_from(options: dict) -> Site:
    """Make the record from what the command line says; not saved, not checked."""
    return Site(
        name=options["name"],
        neutral_name=options["neutral_name"],
        time_zone=options["time_zone"],
        country=options["country"],
        subdivision=options["subdivision"],
        clinic_days=options["days"].split(","),
        appointment_time=options["time"],
        phone=options["phone"],
        phone_hours=options["phone_hours"],
        emergency_number=options["emergency"],
        place_in_messages=options["place"],
        address_lines=[line for line in options["address"].split("|") if line],
        organiser_email=options["email"],
        paper_size=options["paper"],
    )
