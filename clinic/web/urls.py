"""The addresses of the pages."""

from django.conf import settings
from django.urls import path

from clinic.web import booking, episode, front_desk, papers, pathways, patients, physio, sign_in, surgeon
from clinic.web.style import show_style

urlpatterns = [
    path("", front_desk.show_front_desk, name="front-desk"),
    path("sign-in", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out", sign_in.SignOut.as_view(), name="sign-out"),
    path("patients", patients.show_patients, name="patients"),
    path("patients/register", patients.register, name="register"),
    path("episodes/<uuid:key>", episode.show_episode, name="episode"),
    path("episodes/<uuid:key>/visits/<uuid:visit_key>/book", booking.book, name="book-visit"),
    path("episodes/<uuid:key>/read-film", surgeon.read_film, name="record-film"),
    path("episodes/<uuid:key>/order-stage", surgeon.order, name="order-stage"),
    path("episodes/<uuid:key>/record-findings", physio.record_findings, name="record-findings"),
    path("episodes/<uuid:key>/sheet.pdf", papers.show_sheet, name="sheet"),
    path("bookings/<uuid:key>/came", booking.mark_came, name="mark-came"),
    path("bookings/<uuid:key>/appointment.ics", papers.show_invitation, name="invitation"),
    path("pathways", pathways.show_pathways, name="pathways"),
    path("pathways/<slug:name>", pathways.show_pathway, name="pathway"),
]
if settings.DEBUG:
    urlpatterns.append(path("style", show_style, name="style"))
