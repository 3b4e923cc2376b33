from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    dependencies = [("clinic", "0005_codes")]
    operations = [
        migrations.AddIndex(
            model_name="auditevent",
            index=models.Index(
                name="audit_of_no_patient",
                fields=["clinic", "object_type", "object_id"],
                condition=Q(patient_key__isnull=True),
            ),
        ),
    ]
