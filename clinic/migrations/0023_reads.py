from django.db import migrations, models
from django.db.models import Q

from clinic.constraints import Sealed
from clinic.sealing import Reseal, WriteTriggersAgain

INDEXES = (
    models.Index(name="audit_by_time", fields=["clinic", "-at", "-id"]),
    models.Index(name="audit_by_actor", fields=["actor", "-at", "-id"]),
    models.Index(name="audit_by_verb", fields=["clinic", "verb", "-at", "-id"]),
    models.Index(
        name="audit_by_page",
        fields=["clinic", "page", "-at", "-id"],
        condition=Q(page__isnull=False),
    ),
    models.Index(
        name="audit_by_patient",
        fields=["patient_key", "-at", "-id"],
        condition=Q(patient_key__isnull=False),
    ),
)


class Migration(migrations.Migration):
    dependencies = [("clinic", "0022_backup_run")]
    operations = [
        migrations.AddField(
            model_name="auditevent",
            name="page",
            field=models.CharField(max_length=60, null=True, verbose_name="page"),
        ),
        migrations.AddField(
            model_name="auditevent",
            name="patient_key",
            field=models.BigIntegerField(null=True, verbose_name="number of the patient's row"),
        ),
        Reseal(
            model_name="auditevent",
            constraint=Sealed(by="", may_change=(), erased_with="", name="audit_only_grows"),
        ),
        WriteTriggersAgain(model_name="auditevent", name="audit_chained"),
        migrations.RemoveIndex(model_name="auditevent", name="audit_by_clinic"),
        *(migrations.AddIndex(model_name="auditevent", index=index) for index in INDEXES),
    ]
