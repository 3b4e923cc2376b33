from django.conf import settings
from django.db import migrations, models

import clinic.chain
from clinic.constraints import Sealed
from clinic.sealing import Seal, Unseal

number = models.BigAutoField(
    auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
)


class Migration(migrations.Migration):
    dependencies = [("clinic", "0015_erasure")]

    operations = [
        Unseal(model_name="auditevent", name="audit_only_grows"),
        migrations.AddField(
            model_name="auditevent",
            name="request",
            field=models.CharField(blank=True, default="", max_length=16, verbose_name="request"),
            preserve_default=False,
        ),
        Seal(model_name="auditevent", constraint=Sealed(by="", may_change=(), name="audit_only_grows")),
        migrations.CreateModel(
            name="Change",
            fields=[
                ("id", number),
                (
                    "clinic",
                    models.ForeignKey(
                        editable=False,
                        on_delete=models.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                ("at", models.DateTimeField(verbose_name="at")),
                (
                    "actor",
                    models.ForeignKey(
                        db_index=False,
                        null=True,
                        on_delete=models.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("request", models.CharField(blank=True, max_length=16, verbose_name="request")),
                ("table_name", models.CharField(max_length=63, verbose_name="table")),
                ("row_id", models.BigIntegerField(verbose_name="number")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("added", "added"),
                            ("changed", "changed"),
                            ("removed", "removed"),
                        ],
                        max_length=7,
                        verbose_name="what",
                    ),
                ),
                ("before", models.JSONField(null=True, verbose_name="before")),
                ("after", models.JSONField(null=True, verbose_name="after")),
            ],
            options={
                "verbose_name": "change",
                "verbose_name_plural": "changes",
                "indexes": [
                    models.Index(fields=["table_name", "row_id"], name="change_by_row"),
                    models.Index(
                        condition=models.Q(("request", ""), _negated=True),
                        fields=["request"],
                        name="change_by_request",
                    ),
                ],
                "constraints": [
                    Sealed(by="", may_change=(), name="change_stays"),
                    clinic.chain.Chained(link="change_id", name="change_chained"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Link",
            fields=[
                ("id", number),
                (
                    "clinic",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        editable=False,
                        on_delete=models.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                ("number", models.BigIntegerField(null=True, verbose_name="number")),
                (
                    "event",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=models.PROTECT,
                        related_name="+",
                        to="clinic.auditevent",
                    ),
                ),
                (
                    "change",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=models.PROTECT,
                        related_name="+",
                        to="clinic.change",
                    ),
                ),
                ("content", models.CharField(max_length=64)),
                ("digest", models.CharField(blank=True, max_length=64)),
            ],
            options={
                "verbose_name": "link",
                "verbose_name_plural": "links",
                "constraints": [
                    models.UniqueConstraint(fields=("clinic", "number"), name="link_number_once"),
                    Sealed(by="number", may_change=(), name="link_stays"),
                    clinic.chain.Numbered(name="link_numbered"),
                ],
            },
        ),
    ]
