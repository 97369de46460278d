"""Put public holidays on file."""

from datetime import date
from importlib.metadata import version

from django.core.management.base import BaseCommand, CommandError

from clinic.common.clock import clinic_today
from clinic.diary.calendar import freeze_holidays
from clinic.people.models import Site

YEARS_AHEAD = 5


class Command(BaseCommand):
    """Freeze the public holidays of every site, or of one, for some years."""

    help = (
        "Puts the public holidays of every site (or of --site) on file, up to --until (default: five years ahead). "
        "Days on file already stay as they are, so an upgrade never moves a plan by itself."
    )

    def add_arguments(self, parser) -> None:
        """Take the site and the last year."""
        parser.add_argument("--site", metavar="NAME")
        parser.add_argument("--until", type=int, metavar="YEAR")

    def handle(self, *args, **options) -> None:
        """Load site by site and say how many days were new."""
        sites = Site.objects.filter(name=options["site"]) if options["site"] else Site.objects.all()
        if not sites:
            raise CommandError(
                f"No site is called “{options['site']}”." if options["site"] else "There is no site yet."
            )
        for site in sites:
            today = clinic_today(site.zone)
            until = options["until"] or today.year + YEARS_AHEAD
            n_new = load(site, today, until)
            self.stdout.write(f"{site.name}: {n_new} new, known until {site.holidays_until}")


def load(site: Site, today: date, until: int) -> int:
    """Freeze a site's public holidays from two years ago, for people entered late, up to the year `until`."""
    return freeze_holidays(site, today.year - 2, until, source=f"holidays {version('holidays')}")
