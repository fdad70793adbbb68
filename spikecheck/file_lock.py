"""Keeps two processes from writing one file; the system lets go of it when a process ends."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import IO

if sys.platform == "win32":
    import msvcrt

    _FAR_BYTE = 2**40  # beyond the content: a locked byte cannot be read there

    def try_lock(file: IO[bytes]) -> bool:
        """Lock an open file for this process; False when another holds it."""
        place = file.tell()
        file.seek(_FAR_BYTE)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            file.seek(place)
        return True

else:
    import fcntl

    def try_lock(file: IO[bytes]) -> bool:
        """Lock an open file for this process; False when another holds it."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
