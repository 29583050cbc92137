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
    """Someone who signs. Never deleted: an event names its actor for ever; a person who left is not active.

    must_change: the password was set by someone else, and only this person's own page opens until it is changed.
    """

    username = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    pin = models.CharField(max_length=128, blank=True)
    is_active = models.BooleanField(default=True)
    must_change = models.BooleanField(default=False)
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


class Failure(models.Model):
    """A try to sign that failed, or that is being looked at: the row is there first, and goes when the secret was right.

    kind and whose: a person, a name that nobody has (as a hash: a password is sometimes typed into the wrong box), an address.
    """

    kind = models.CharField(max_length=10)
    whose = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["kind", "whose", "at"], name="failure_run")]


class Sitting(models.Model):
    """One signed-in session on one device: since when, when the person last did something, and since when it is veiled.

    stays: what the person opened last is made to be left open, such as a wall screen; it alone is shown while veiled.
    """

    session = models.CharField(max_length=40, unique=True)
    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    began_at = models.DateTimeField()
    seen_at = models.DateTimeField()
    veiled_at = models.DateTimeField(null=True)
    pin_tries = models.PositiveSmallIntegerField(default=0)
    stays = models.BooleanField(default=False)
