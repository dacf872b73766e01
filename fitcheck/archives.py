"""Zip archives that can be written whatever the clock says.

A zip knows the years 1980 to 2107. A small computer without a battery starts in 1970, and what it
writes must be written all the same.
"""

from __future__ import annotations

import time
import zipfile
from typing import Any

_FIRST, _LAST = 1980, 2107

Moment = tuple[int, int, int, int, int, int]


def zip_moment() -> Moment:
    """This moment as a zip can have it: the nearest where the clock is outside its years."""
    now = time.localtime()
    if now.tm_year < _FIRST:
        return (_FIRST, 1, 1, 0, 0, 0)
    if now.tm_year > _LAST:
        return (_LAST, 12, 31, 0, 0, 0)
    return (now.tm_year, now.tm_mon, now.tm_mday, now.tm_hour, now.tm_min, now.tm_sec)


class DatedZip(zipfile.ZipFile):
    """A zip archive to be written, compressed, with moments that a zip can have.

    Parameters
    ----------
    target : str or binary file
        Where to.
    level : int, optional
        How hard to compress; zlib's own choice when left out.
    """

    def __init__(self, target: Any, *, level: int | None = None) -> None:
        super().__init__(
            target, "w", zipfile.ZIP_DEFLATED, compresslevel=level, strict_timestamps=False
        )

    def open(self, name: Any, mode: Any = "r", *args: Any, **more: Any) -> Any:
        """Open a member; a new one gets this moment."""
        if mode == "w" and isinstance(name, str):
            name = self._dated(name)
        return super().open(name, mode, *args, **more)

    def writestr(  # type: ignore[override]
        self, name: Any, data: Any, *args: Any, **more: Any
    ) -> None:
        """Write a member in one go; it gets this moment."""
        super().writestr(self._dated(name) if isinstance(name, str) else name, data, *args, **more)

    def _dated(self, name: str) -> zipfile.ZipInfo:
        info = zipfile.ZipInfo(name, date_time=zip_moment())
        info.compress_type = self.compression
        # The archive's own level: a member that is opened by its description has none.
        info._compresslevel = self.compresslevel  # type: ignore[attr-defined]
        info.external_attr = 0o600 << 16
        return info
