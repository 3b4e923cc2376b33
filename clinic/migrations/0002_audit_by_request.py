from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    dependencies = [("clinic", "0001_baseline")]
    operations = [
        migrations.AddIndex(
            model_name="auditevent",
            index=models.Index(
                name="audit_by_request",
                fields=["clinic", "request", "-at", "-id"],
                condition=~Q(request=""),
            ),
        ),
    ]
