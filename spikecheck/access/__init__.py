"""Who may do what: roles, the actions they allow, and who is signed in."""

from spikecheck.access.roles import Action, Person, Role, may, require

__all__ = ["Action", "Person", "Role", "may", "require"]
