"""Every address of the clinic."""

from django.urls import include, path

from clinic.conf.health import healthz

urlpatterns = [
    path("healthz", healthz, name="healthz"),
    path("", include("clinic.web.urls")),
]
