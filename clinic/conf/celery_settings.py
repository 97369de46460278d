"""How the workers behave. Each value is against a loss or a double that was measured, not a taste."""

SWEEP_SECONDS = 30
VISIBILITY_SECONDS = 3600  # at least twice the longest hard limit
BROKER = {
    "visibility_timeout": VISIBILITY_SECONDS,
    "socket_timeout": 5,
    "socket_connect_timeout": 2,
    # Whoever books must not wait for a broker that is down: ask once more at once, then let the sweep do it.
    "max_retries": 1,
    "interval_start": 0,
    "interval_step": 0.2,
    "interval_max": 0.2,
}

WORKERS = {
    "CELERY_TASK_ACKS_LATE": True,  # a task that was not finished is given to another worker,
    "CELERY_TASK_REJECT_ON_WORKER_LOST": True,  # also when only a child of the worker died
    "CELERY_BROKER_TRANSPORT_OPTIONS": BROKER,
    "CELERY_VISIBILITY_TIMEOUT": VISIBILITY_SECONDS,
    "CELERY_WORKER_PREFETCH_MULTIPLIER": 1,
    "CELERY_TASK_TIME_LIMIT": 300,
    "CELERY_TASK_SOFT_TIME_LIMIT": 240,
    "CELERY_TASK_IGNORE_RESULT": True,
    "CELERY_RESULT_BACKEND": None,
    "CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT": 30.0,
    "CELERY_TASK_SERIALIZER": "json",
    "CELERY_ACCEPT_CONTENT": ["json"],
    "CELERY_TIMEZONE": "UTC",
    "CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP": True,
    "CELERY_WORKER_HIJACK_ROOT_LOGGER": False,
    "CELERY_TASK_DEFAULT_QUEUE": "messages",
    "CELERY_BEAT_SCHEDULE": {
        "sweep the outbox": {"task": "clinic.reminders.tasks.sweep_outbox", "schedule": SWEEP_SECONDS},
    },
}
