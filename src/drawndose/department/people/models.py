"""Persons and the roles that they hold. A password and a short PIN are kept only as hashes."""

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint

from drawndose.department.people.roles import Right, Role, rights_of


class Persons(BaseUserManager):
    """Finds persons by the name that they sign in with, whatever its case."""

    def get_by_natural_key(self, username: str) -> "Person":
        """The person of this sign-in name."""
        return self.get(username=username.lower())


class Person(AbstractBaseUser):
    """Someone who signs. Never deleted: an event names its actor for ever; a person who left is not active."""

    username = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    pin = models.CharField(max_length=128, blank=True)
    is_active = models.BooleanField(default=True)
    added_at = models.DateTimeField()

    objects = Persons()
    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        constraints = [CheckConstraint(condition=~Q(username=""), name="person_has_a_username")]

    def roles(self) -> set[Role]:
        """The roles that this person holds now."""
        if not self.is_active:
            return set()
        return {Role(held.role) for held in self.roleheld_set.all()}

    def may(self, right: Right) -> bool:
        """True when a role of this person has the right."""
        return right in rights_of(self.roles())


class RoleHeld(models.Model):
    """One role of one person."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    role = models.CharField(max_length=20, choices=[(role.value, role.value) for role in Role])

    class Meta:
        constraints = [UniqueConstraint(fields=["person", "role"], name="a_role_once")]
