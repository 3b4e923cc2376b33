from django.db import migrations, models

from clinic.sealing import WriteTriggersAgain


class Migration(migrations.Migration):
    dependencies = [
        ("clinic", "0006_audit_of_no_patient"),
    ]
    operations = [
        migrations.AddField(
            model_name="staff",
            name="shows_hints",
            field=models.BooleanField(
                db_default=True,
                default=True,
                verbose_name="show hints",
            ),
        ),
        migrations.AddField(
            model_name="staff",
            name="opens_key_map",
            field=models.BooleanField(
                db_default=True,
                default=True,
                verbose_name="“?” shows the keys of a page",
            ),
        ),
        WriteTriggersAgain(model_name="staff", name="staff_journaled"),
    ]
