"""Records every write, sync, truncation and deletion that SQLite asks of the disk, in order, below the book and unknown to it.

It registers, in the very SQLite library that Python uses, a copy of the default file layer whose functions note what is asked and pass
it on. The layout of the two tables of functions is that of SQLite's public header (sqlite3.h, objects sqlite3_vfs and
sqlite3_io_methods), from memory.
"""

import _sqlite3
import ctypes
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

_POINTER = ctypes.sizeof(ctypes.c_void_p)
_CREATE = 0x04
_METHODS_BY_VERSION = {1: 12, 2: 16, 3: 18}
_CLOSE, _WRITE, _TRUNCATE, _SYNC = 0, 2, 3, 4


class _Layer(ctypes.Structure):
    """sqlite3_vfs, as far as its version 3 goes."""

    _fields_ = [
        ("version", ctypes.c_int),
        ("file_size", ctypes.c_int),
        ("longest_path", ctypes.c_int),
        ("next", ctypes.c_void_p),
        ("name", ctypes.c_char_p),
        ("data", ctypes.c_void_p),
        ("open", ctypes.c_void_p),
        ("delete", ctypes.c_void_p),
        ("others", ctypes.c_void_p * 15),
    ]


class _Methods(ctypes.Structure):
    """sqlite3_io_methods, as far as its version 3 goes."""

    _fields_ = [("version", ctypes.c_int), ("calls", ctypes.c_void_p * 18)]


_OPEN = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p)
_DELETE = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int)
_ON_FILE = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p)
_ON_WRITE = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_int, ctypes.c_int64)
_ON_SIZE = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int64)
_ON_FLAG = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int)


@dataclass(frozen=True, slots=True)
class Act:
    """One thing asked of the disk, or a word said to the player.

    Attributes:
        what: "create", "write", "truncate", "sync", "delete" (the folder is synced with it), "forget" (it is not), or "said"; of a folder
            also "link", "rename" and "sync folder".
        name: file name, or what was said.
        offset, data: of a write; the new size of a truncation is its offset; the data of a link or a renaming is the name it had.
    """

    what: str
    name: str
    offset: int = 0
    data: bytes = b""


class Recorder:
    """The file layer; `acts` grows while it is installed.

    Args:
        root: a folder; names are then paths beneath it, and what Python itself does to names and files there is recorded too.
    """

    def __init__(self, root: Path | None = None) -> None:
        self.acts: list[Act] = []
        self.root = root
        self._library = ctypes.CDLL(getattr(_sqlite3, "__file__", None))
        self._library.sqlite3_vfs_find.restype = ctypes.POINTER(_Layer)
        self._library.sqlite3_vfs_find.argtypes = [ctypes.c_char_p]
        self._library.sqlite3_vfs_register.argtypes = [ctypes.c_void_p, ctypes.c_int]
        self._library.sqlite3_vfs_unregister.argtypes = [ctypes.c_void_p]
        self._default = self._library.sqlite3_vfs_find(None)
        self._layer = _Layer()
        ctypes.memmove(ctypes.byref(self._layer), self._default, ctypes.sizeof(_Layer))
        self._real_open, self._real_delete = _OPEN(self._layer.open), _DELETE(self._layer.delete)
        self._kept: list[object] = [_OPEN(self._open), _DELETE(self._delete)]
        self._layer.name = b"recorder"
        self._layer.next = None
        self._layer.open, self._layer.delete = (ctypes.cast(call, ctypes.c_void_p).value for call in self._kept)  # type: ignore[arg-type]
        self._names: dict[int, str] = {}
        self._tables: dict[int, _Methods] = {}

    @contextmanager
    def installed(self) -> Iterator["Recorder"]:
        """Be the file layer of every connection opened meanwhile; close them before leaving."""
        self._library.sqlite3_vfs_register(ctypes.byref(self._layer), 1)
        try:
            with self._watched_names():
                yield self
        finally:
            self._library.sqlite3_vfs_unregister(ctypes.byref(self._layer))
            self._library.sqlite3_vfs_register(self._default, 1)

    def _name(self, path: str) -> str:
        return Path(path).name if self.root is None else str(Path(path).relative_to(self.root))

    @contextmanager
    def _watched_names(self) -> Iterator[None]:
        """Python's own acts on names and files, as far as a book is laid with them; locks and their notes are left out."""
        if self.root is None:
            yield
            return
        real = {name: getattr(os, name) for name in ("open", "fsync", "link", "rename", "replace", "unlink")}

        def mine(path: object) -> bool:
            text = os.path.abspath(os.fspath(path))  # type: ignore[call-overload]
            return text.startswith(f"{self.root}{os.sep}") and not text.endswith((".lock", ".holder"))

        def note(what: str, path: object, source: object = "") -> None:
            if mine(path):
                old = self._name(os.path.abspath(os.fspath(source))) if source else ""  # type: ignore[call-overload]
                self.acts.append(Act(what, self._name(os.path.abspath(os.fspath(path))), data=old.encode()))  # type: ignore[call-overload]

        def opened(path: str, flags: int, *more: int, **named: int) -> int:
            new = bool(flags & os.O_CREAT) and not os.path.lexists(path)
            descriptor: int = real["open"](path, flags, *more, **named)
            if new:
                note("create", path)
            return descriptor

        def synced(descriptor: int) -> None:
            real["fsync"](descriptor)
            path = os.readlink(f"/proc/self/fd/{descriptor}")
            if os.path.isdir(path) and (mine(path) or path == str(self.root)):
                self.acts.append(Act("sync folder", self._name(path)))
            else:
                note("sync", path)

        def moved(how: str) -> Callable[..., None]:
            def act(source: object, target: object, **named: object) -> None:
                real[how](source, target, **named)
                note("link" if how == "link" else "rename", target, source)

            return act

        def removed(path: object, **named: object) -> None:
            real["unlink"](path, **named)
            note("forget", path)

        ours = {"open": opened, "fsync": synced, **{how: moved(how) for how in ("link", "rename", "replace")}, "unlink": removed}
        try:
            for name, call in ours.items():
                setattr(os, name, call)
            yield
        finally:
            for name, call in real.items():
                setattr(os, name, call)

    def say(self, word: str) -> None:
        """Note that the player was told something."""
        self.acts.append(Act("said", word))

    def _open(self, _: int, name: int | None, file: int, flags: int, out: int) -> int:
        # the name goes on as the pointer it came as, since the layer below keeps it
        path = os.fsdecode(ctypes.string_at(name)) if name else ""
        new = bool(path and flags & _CREATE and not os.path.exists(path))
        answer = self._real_open(ctypes.addressof(self._default.contents), name, file, flags, out)
        if answer == 0 and path:
            self._names[file] = self._name(path)
            if new:
                self.acts.append(Act("create", self._name(path)))
            place = ctypes.c_void_p.from_address(file)
            assert place.value is not None
            if place.value not in self._tables:
                self._tables[place.value] = self._watching(place.value)
            place.value = ctypes.addressof(self._tables[place.value])
        return answer

    def _watching(self, table: int) -> _Methods:
        """A copy of a table of functions with ours in four places."""
        watched = _Methods()
        version = ctypes.c_int.from_address(table).value
        size = _Methods.calls.offset + _POINTER * _METHODS_BY_VERSION[min(version, 3)]
        ctypes.memmove(ctypes.byref(watched), table, size)
        close, write = _ON_FILE(watched.calls[_CLOSE]), _ON_WRITE(watched.calls[_WRITE])
        truncate, sync = _ON_SIZE(watched.calls[_TRUNCATE]), _ON_FLAG(watched.calls[_SYNC])

        def on_close(file: int) -> int:
            self._names.pop(file, None)
            return int(close(file))

        def on_write(file: int, data: int, size: int, offset: int) -> int:
            self.acts.append(Act("write", self._names[file], offset, ctypes.string_at(data, size)))
            return int(write(file, data, size, offset))

        def on_truncate(file: int, size: int) -> int:
            self.acts.append(Act("truncate", self._names[file], size))
            return int(truncate(file, size))

        def on_sync(file: int, flags: int) -> int:
            answer = int(sync(file, flags))
            self.acts.append(Act("sync", self._names[file]))
            return answer

        ours = {_CLOSE: _ON_FILE(on_close), _WRITE: _ON_WRITE(on_write), _TRUNCATE: _ON_SIZE(on_truncate), _SYNC: _ON_FLAG(on_sync)}
        for place, call in ours.items():
            watched.calls[place] = ctypes.cast(call, ctypes.c_void_p).value
        self._kept += [close, write, truncate, sync, *ours.values()]
        return watched

    def _delete(self, _: int, name: bytes, sync_folder: int) -> int:
        answer = self._real_delete(ctypes.addressof(self._default.contents), name, sync_folder)
        self.acts.append(Act("delete" if sync_folder else "forget", self._name(os.fsdecode(name))))
        return answer
