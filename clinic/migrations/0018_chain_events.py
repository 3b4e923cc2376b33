from django.db import migrations

from clinic.chain import Chained
from clinic.sealing import AddTriggers


class Migration(migrations.Migration):
    dependencies = [("clinic", "0017_link_older_events")]
    operations = [
        AddTriggers(
            model_name="auditevent", constraint=Chained(link="event_id", name="audit_chained")
        ),
    ]
