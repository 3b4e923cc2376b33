from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("rehab", "0004_return_plan_step")]

    operations = [
        migrations.AddField(
            model_name="diaryday",
            name="remark",
            field=models.CharField(blank=True, max_length=500, verbose_name="remark"),
        ),
    ]
