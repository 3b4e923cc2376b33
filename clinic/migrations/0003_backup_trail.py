from django.db import migrations, models

from clinic.constraints import Sealed
from clinic.sealing import Reseal


class Migration(migrations.Migration):
    dependencies = [("clinic", "0002_audit_by_request")]
    operations = [
        migrations.AddField(
            model_name="backuprun",
            name="trail",
            field=models.TextField(blank=True, verbose_name="how the audit trail does not hold"),
        ),
        Reseal(
            model_name="backuprun",
            constraint=Sealed(by="", may_change=(), erased_with="", name="backup_run_stays"),
        ),
    ]
