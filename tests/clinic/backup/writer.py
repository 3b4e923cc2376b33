"""A process of its own that writes as fast as it can: `python -m tests.clinic.backup.writer CLINIC`.

Each transaction closes the clinic on two days, so in any honest copy there are as many of the one kind as of
the other. It runs until its standard input is closed.
"""

import datetime
import select
import sys

import django


def write(clinic_id: int) -> int:
    from django.db import transaction

    from clinic.models import ClosedDay

    starts, number = {"one": datetime.date(2030, 1, 1), "other": datetime.date(2530, 1, 1)}, 0
    while not select.select([sys.stdin], [], [], 0)[0]:
        with transaction.atomic():
            for name, start in starts.items():
                day = start + datetime.timedelta(days=number)
                ClosedDay.objects.create(clinic_id=clinic_id, day=day, name=name)
        number += 1
        if number == 50:
            print("writing", flush=True)
    return number


if __name__ == "__main__":
    django.setup()
    print(write(int(sys.argv[1])), flush=True)
