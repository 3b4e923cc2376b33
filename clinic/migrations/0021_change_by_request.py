from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("clinic", "0020_change_emptied")]
    operations = [
        migrations.RemoveIndex(model_name="change", name="change_by_request"),
        migrations.AlterField(
            model_name="change",
            name="clinic",
            field=models.ForeignKey(
                db_index=False,
                editable=False,
                on_delete=models.PROTECT,
                related_name="+",
                to="clinic.clinic",
                verbose_name="clinic",
            ),
        ),
        migrations.AddIndex(
            model_name="change",
            index=models.Index(
                condition=models.Q(("request", ""), _negated=True),
                fields=["clinic", "request"],
                name="change_by_request",
            ),
        ),
    ]
