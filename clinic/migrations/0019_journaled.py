from django.db import migrations

from clinic.journal import Journaled
from clinic.sealing import AddTriggers

JOURNALED = {
    "clinic": Journaled(name="clinic_journaled", without=()),
    "staff": Journaled(name="staff_journaled", without=("password", "last_login")),
    "openinghours": Journaled(name="opening_hours_journaled", without=()),
    "closedday": Journaled(name="closed_day_journaled", without=()),
    "absence": Journaled(name="absence_journaled", without=()),
}


class Migration(migrations.Migration):
    dependencies = [
        ("clinic", "0018_chain_events"),
    ]
    operations = [AddTriggers(model_name=name, constraint=rule) for name, rule in JOURNALED.items()]
