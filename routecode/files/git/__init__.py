"""Git: revisions read, told and recorded, by plumbing that runs nothing a repository names."""

from routecode.files.git.objects import Commit
from routecode.files.git.repository import Repository, open_repository
from routecode.files.git.state import State

__all__ = ["Commit", "Repository", "State", "open_repository"]
