from django.db import migrations, models

from clinic.sealing import WriteTriggersAgain


class Migration(migrations.Migration):
    dependencies = [
        ("clinic", "0004_account_news"),
    ]
    operations = [
        migrations.AddField(
            model_name="clinic",
            name="diagnosis_codes",
            field=models.CharField(
                choices=[
                    ("icd-10", "ICD-10 (World Health Organization)"),
                    ("icd-10-cm", "ICD-10-CM (United States)"),
                ],
                db_default="icd-10",
                default="icd-10",
                max_length=10,
                verbose_name="codes of diagnoses",
            ),
        ),
        migrations.AddField(
            model_name="clinic",
            name="snomed_licence",
            field=models.CharField(
                blank=True,
                db_default="",
                default="",
                help_text="Its codes leave the clinic only while a licence is stated.",
                max_length=120,
                verbose_name="SNOMED CT licence",
            ),
        ),
        WriteTriggersAgain(model_name="clinic", name="clinic_journaled"),
    ]
