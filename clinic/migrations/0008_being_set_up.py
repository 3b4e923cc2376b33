from django.db import migrations, models

from clinic.sealing import WriteTriggersAgain


class Migration(migrations.Migration):
    dependencies = [
        ("clinic", "0007_help"),
    ]
    operations = [
        migrations.AddField(
            model_name="clinic",
            name="being_set_up",
            field=models.BooleanField(
                db_default=False, default=False, editable=False, verbose_name="being set up"
            ),
        ),
        WriteTriggersAgain(model_name="clinic", name="clinic_journaled"),
    ]
