"""What one clinic can give: the catalog's exercises and its own, less those that it leaves out."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from django.db import models

from rehab.clinical.choosing import also_possible, first_choice
from rehab.clinical.exercises import CARDS, Card, card
from rehab.clinical.ladder import Stage
from rehab.models.own_card import OWN, HiddenCard, OwnCard


@dataclass(kw_only=True)
class Catalog:
    """The exercises of one clinic; asks the database once for its own and once for what is left out."""

    clinic_id: int

    @cached_property
    def own(self) -> dict[str, OwnCard]:
        return OwnCard.objects.of(self.clinic_id).newest()

    @cached_property
    def hidden(self) -> frozenset[str]:
        return HiddenCard.objects.of(self.clinic_id).codes()

    @property
    def cards(self) -> tuple[Card, ...]:
        """Every exercise, also those that are not offered, the catalog's first."""
        return (*CARDS, *(own.as_card for own in self.own.values()))

    def card(self, code: str) -> Card:
        """One exercise, also one that is not offered. Raises ValueError for an unknown code."""
        if code.startswith(OWN) and code in self.own:
            return self.own[code].as_card
        return card(code)

    def offers(self, code: str) -> bool:
        return not self.own[code].retired if code in self.own else code not in self.hidden

    def offer(self, code: str, *, on: bool) -> models.Model:
        """Offer an exercise again, or no longer; programs that have it keep it. Returns what was written."""
        if code in self.own:
            own = self.own[code]
            own.retired = not on
            own.write(own.clinic, code=code)
            return own
        row, _new = HiddenCard.objects.get_or_create(clinic_id=self.clinic_id, card=code)
        if on:
            HiddenCard.objects.of(self.clinic_id).filter(card=code).delete()
        return row

    def first_choice(self, stage: Stage) -> tuple[str, ...]:
        return first_choice(stage, hidden=self.hidden)

    def also_possible(self, stage: Stage, chosen: Collection[str]) -> tuple[Card, ...]:
        """The other exercises that a program of this stage can be given."""
        own = [card.as_card for card in self.own.values() if not card.retired]
        codes = also_possible(stage, chosen, own=own, hidden=self.hidden)
        return tuple(self.card(code) for code in codes)
