from django.apps import apps
from django.contrib.auth import get_user_model


def test_rehab_records_point_only_at_rehab_and_at_the_user_who_wrote_them():
    fields = [field for model in apps.get_app_config("rehab").get_models() for field in model._meta.get_fields()]
    targets = {field.related_model for field in fields if field.is_relation and not field.auto_created}

    assert {target for target in targets if target._meta.app_label != "rehab"} <= {get_user_model()}
