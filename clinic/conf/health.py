"""Whether the clinic's clockwork runs: asked by machines, and by whoever is woken by them."""

from importlib.metadata import version

from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.models import Count
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clinic.common.clock import clinic_today, now
from clinic.diary.calendar import holidays_run_out
from clinic.jobs.heartbeat import is_silent
from clinic.people.models import Site
from clinic.reminders.claim import LEASE, WAITING
from clinic.reminders.models import OutboxMessage
from clinic.reminders.tasks import SWEEP


@require_safe
@never_cache
def healthz(_request: HttpRequest) -> JsonResponse:
    """Answer 200 when all is well, 503 with the troubles when not. Counts only: no name, no address."""
    troubles = list(_troubles())
    answer = {"troubles": troubles, "time_zones": version("tzdata"), "messages": _message_counts()}
    return JsonResponse(answer, status=503 if troubles else 200)


def _troubles():
    at = now()
    if _is_behind():
        yield "the database lacks changes: run migrate"
        return
    if is_silent(SWEEP, at):
        yield "nobody sends messages: neither the dispatcher nor the sweep has gone round"
    if OutboxMessage.objects.filter(state__in=WAITING, due_at__lt=at - LEASE).exists():
        yield "messages are overdue"
    for site in Site.objects.all():
        if holidays_run_out(site, clinic_today(site.zone, at)):
            yield f"public holidays run out at {site.name}: load more"


def _is_behind() -> bool:
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _message_counts() -> dict[str, int]:
    rows = OutboxMessage.objects.values_list("state").annotate(n=Count("pk")).order_by("state")
    return dict(rows)
