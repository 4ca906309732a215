"""Two folders change places in one step of the file system, where it has such a step."""

from __future__ import annotations

import ctypes
import errno
import os
from pathlib import Path
from typing import Final

__all__ = ["exchange"]

# From <fcntl.h> and <linux/fs.h>.
_FROM_HERE: Final = -100
_EXCHANGE: Final = 2
# A kernel, a file system or a container that does not know the step, or does not let it through.
_NOT_KNOWN: Final = frozenset({errno.EINVAL, errno.ENOSYS, errno.EOPNOTSUPP, errno.EPERM})


def exchange(one: Path, other: Path) -> bool:
    """Lets two folders of one file system change places, so that each name leads to a whole folder at every moment.

    Args:
        one: a folder.
        other: a folder.

    Returns:
        Whether it was done; False, and nothing has changed, where the system has no such step.

    Raises:
        OSError: the system has the step, and it failed.

    Source: renameat2(2) with RENAME_EXCHANGE, Linux 3.15.
    """
    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    call.argtypes = [ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint]
    if call(_FROM_HERE, os.fsencode(one), _FROM_HERE, os.fsencode(other), _EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NOT_KNOWN:
        return False
    raise OSError(number, os.strerror(number), str(one), None, str(other))
