"""The demo: an invented clinic in a harbor town, its people and a few months of their records.

All names are invented; phone numbers and e-mail addresses come from ranges kept for fiction and examples.
"""
