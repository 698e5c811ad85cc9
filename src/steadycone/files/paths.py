"""Files named inside a station file: beside it or below it, never anywhere else."""

from pathlib import Path, PureWindowsPath

from steadycone.errors import BadFile


def beside(folder: Path, name: str, what: str) -> Path:
    """The path of `name` in `folder`, links followed.

    Raises  BadFile: an absolute path, or one that leaves the folder, by "..", by a link, or on another drive.
    """
    windows = PureWindowsPath(name)
    if Path(name).is_absolute() or windows.root or windows.drive or "\0" in name:
        raise BadFile(f'"{name}" is an absolute path', where=what, try_=_REMEDY)
    if "\\" in name:
        raise BadFile(f'"{name}" holds a backslash', where=what, try_="Write folders with a forward slash.")
    try:
        home, target = folder.resolve(), (folder / name).resolve()
    except (OSError, RuntimeError) as error:  # a link that points at itself
        raise BadFile(f'"{name}" can\'t be followed', where=what, try_=_REMEDY) from error
    if not target.is_relative_to(home):
        raise BadFile(f'"{name}" leaves the folder of the station file', where=what, try_=_REMEDY)
    return target


_REMEDY = "Put the file beside the station file, or in a folder below it, and give its name from there."
