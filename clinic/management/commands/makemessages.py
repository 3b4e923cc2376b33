"""Django's own command, which also collects the sentences of the pure modules."""

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    # Pure code marks its sentences with clinic.wording's `say` and `gettext_noop`.
    xgettext_options = [
        *makemessages.Command.xgettext_options,
        "--keyword=say:1",
        "--keyword=gettext_noop:1",
    ]
