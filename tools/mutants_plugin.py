"""What pytest does for tools/mutants.py: notes which blocks each test runs, or runs chosen tests on one mutant after another.

A mutant is put into a fork of the session that has everything imported: functions get other code, tables another folder, caches are
emptied. What only shows at import is run in a session of its own (STEADYCONE_MUTANT).
"""

import builtins
import functools
import gc
import importlib.abc
import importlib.machinery
import json
import os
import resource
import select
import shutil
import signal
import sys
import tempfile
import time
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol
from hypothesis import Phase, settings
from tools.mutants_made import SRC, counted, mutated, table_text

KILLED, SURVIVED, LATE = "killed", "lives", "late"
_MODE, _FILE = os.environ.get("STEADYCONE_MUTANTS", ""), os.environ.get("STEADYCONE_MUTANTS_FILE", "")
_BLOCKS: list[str] = []
_MEMORY = "/dev/shm" if os.path.isdir("/dev/shm") else None  # stores in a fork need no disk that is waited for
_FAILED = pytest.StashKey[bool]()


# --- modules changed as they are imported --------------------------------------------------------


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, loader: type[importlib.machinery.SourceFileLoader]) -> None:
        self.loader = loader

    def find_spec(self, name: str, path: Any = None, target: ModuleType | None = None) -> Any:
        if name.partition(".")[0] != "steadycone":
            return None
        spec = importlib.machinery.PathFinder.find_spec(name, path, target)
        if spec and spec.origin and spec.origin.endswith(".py"):
            spec.loader = self.loader(name, spec.origin)
        return spec


class _Counted(importlib.machinery.SourceFileLoader):
    """Notes each block as it is begun."""

    def get_code(self, fullname: str) -> CodeType:
        tree, names = counted(Path(self.path), len(_BLOCKS))
        _BLOCKS.extend(names)
        return compile(tree, self.path, "exec", dont_inherit=True)


class _Wrong(importlib.machinery.SourceFileLoader):
    """One module is a mutant."""

    path = ""
    number = 0

    def get_code(self, fullname: str) -> CodeType | None:
        if self.path != _Wrong.path:
            return super().get_code(fullname)
        return compile(mutated(Path(self.path), self.number), self.path, "exec", dont_inherit=True)


# --- which test runs which blocks ----------------------------------------------------------------


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> Any:
    if _MODE != "map":
        return (yield)
    hits: bytearray = builtins.__hits__  # type: ignore[attr-defined]
    hits[:] = bytes(len(hits))
    start = time.process_time()
    result = yield
    found = [_BLOCKS[place] for place in range(len(_BLOCKS)) if hits[place]]
    line = {
        "test": item.nodeid,
        "seconds": round(time.process_time() - start, 3),
        "blocks": found,
        "ok": not item.stash.get(_FAILED, False),
    }
    with open(_FILE, "a", encoding="utf-8") as file:
        file.write(json.dumps(line) + "\n")
    return result


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[Any]) -> Any:
    report = yield
    if not report.passed:
        item.stash[_FAILED] = True
    return report


# --- one mutant after another ----------------------------------------------------------------------


def pytest_runtestloop(session: pytest.Session) -> bool | None:
    """STEADYCONE_MUTANTS=run: a file of jobs {mutant, path, number, scope, tests, seconds}; a line of JSON for each comes out."""
    if _MODE != "run":
        return None
    plan = json.loads(Path(_FILE).read_text(encoding="utf-8"))
    items = {item.nodeid: item for item in session.items}
    functions = _functions()
    caches = [each for each in gc.get_objects() if isinstance(each, functools._lru_cache_wrapper)]
    gc.collect()
    gc.freeze()
    waiting, running = list(plan["jobs"]), {}
    wins: dict[tuple[str, str], dict[str, int]] = {}  # what killed in a function before goes first there
    with open(plan["out"], "a", encoding="utf-8") as out:
        while waiting or running:
            while waiting and len(running) < plan["workers"]:
                job = waiting.pop(0)
                won = wins.setdefault((job["path"], job["scope"]), {})
                chosen = [items[name] for name in sorted(job["tests"], key=lambda name: -won.get(name, 0)) if name in items]
                running.update([_started(job, chosen, functions, caches)])
            for pid, (job, pipe, begun, folder) in list(running.items()):
                outcome = _ended(pid, pipe, begun, job["seconds"])
                if outcome is None:
                    continue
                del running[pid]
                won = wins[job["path"], job["scope"]]
                won[outcome.get("by", "")] = won.get(outcome.get("by", ""), 0) + 1
                os.close(pipe)
                shutil.rmtree(folder, ignore_errors=True)
                told = {"mutant": job["mutant"], "took": round(time.monotonic() - begun, 2), **outcome}
                out.write(json.dumps(told) + "\n")
                out.flush()
            if running:
                select.select([pipe for _, pipe, _, _ in running.values()], [], [], 0.05)
    return True


def _started(job: dict[str, Any], items: list[pytest.Item], functions: dict[Any, list[FunctionType]], caches: list[Any]) -> tuple[int, Any]:
    folder = tempfile.mkdtemp(prefix="mutant-", dir=_MEMORY)
    reading, writing = os.pipe()
    pid = os.fork()
    if pid:
        os.close(writing)
        os.set_blocking(reading, False)
        return pid, (job, reading, time.monotonic(), folder)
    os.close(reading)
    os.setpgid(0, 0)
    resource.setrlimit(resource.RLIMIT_CPU, (int(job["seconds"]), int(job["seconds"]) + 1))
    nothing = os.open(os.devnull, os.O_RDWR)
    for place in (0, 1, 2):
        os.dup2(nothing, place)
    told = {"outcome": KILLED, "by": "the session broke"}
    try:
        told = _tried(job, items, functions, caches, folder)
    finally:
        os.write(writing, json.dumps(told).encode())
        os._exit(0)


def _ended(pid: int, pipe: int, begun: float, seconds: float) -> dict[str, Any] | None:
    done, status = os.waitpid(pid, os.WNOHANG)
    if done and os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL):
        return {"outcome": LATE}
    if not done and time.monotonic() - begun <= 20 * seconds:
        return None
    if not done:
        os.killpg(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        return {"outcome": LATE}
    try:
        said = os.read(pipe, 100_000)
    except BlockingIOError:
        said = b""
    return json.loads(said) if said else {"outcome": KILLED, "by": "the process ended"}


def _tried(
    job: dict[str, Any], items: list[pytest.Item], functions: dict[Any, list[FunctionType]], caches: list[Any], folder: str
) -> dict[str, Any]:
    """In the fork: make the change, run the tests until one fails."""
    if job["path"].endswith(".toml"):
        _tables(job["path"], job["number"], folder)
    elif job["path"] and not _swapped(job, functions):
        return {"outcome": "import"}
    for cache in caches:
        cache.cache_clear()
    if items:
        items[0].config._tmp_path_factory._basetemp = Path(folder)  # type: ignore[attr-defined]
    failed = []
    for item, following in zip(items, [*items[1:], None], strict=True):
        reports = runtestprotocol(item, log=False, nextitem=following)
        if any(report.failed for report in reports):
            failed.append(item.nodeid)
            if job["path"]:
                return {"outcome": KILLED, "by": item.nodeid}
    return {"outcome": SURVIVED, "tests": len(items), "failed": failed}


def _functions() -> dict[Any, list[FunctionType]]:
    """Every function of the program, by file, name and line."""
    found: dict[Any, list[FunctionType]] = {}
    for each in gc.get_objects():
        if isinstance(each, FunctionType) and each.__code__.co_filename.startswith(str(SRC)):
            code = each.__code__
            found.setdefault((code.co_filename, code.co_qualname, code.co_firstlineno), []).append(each)
    return found


def _swapped(job: dict[str, Any], functions: dict[Any, list[FunctionType]]) -> bool:
    """Give the functions of a module their wrong code. False: what is changed runs at import, or the function was not found."""
    path = str(SRC / job["path"])
    if not job["scope"]:
        return False
    code = compile(mutated(Path(path), job["number"]), path, "exec", dont_inherit=True)
    wanted = _code(code, job["scope"])
    if wanted is None:
        return False
    found = functions.get((path, wanted.co_qualname, wanted.co_firstlineno), [])
    for each in found:
        if len(each.__code__.co_freevars) != len(wanted.co_freevars):
            return False
        each.__code__ = wanted
    return bool(found)


def _code(code: CodeType, name: str) -> CodeType | None:
    for each in code.co_consts:
        if isinstance(each, CodeType):
            if each.co_qualname == name:
                return each
            if name.startswith(each.co_qualname + ".") and (found := _code(each, name)):
                return found
    return None


def _tables(path: str, number: int, folder: str) -> None:
    """From now on the tables are read from a folder in which one is wrong."""
    from steadycone.data import reader

    data = Path(folder) / "data"
    shutil.copytree(SRC / "data", data, copy_function=os.symlink)
    wrong = data / Path(path).relative_to("data")
    wrong.unlink()
    wrong.write_text(table_text(SRC / path, number), encoding="utf-8")
    reader.FOLDER = data


def _ready() -> None:
    """Before any test file is read. The same examples every time, and none made smaller: a kill is a kill."""
    settings.register_profile("mutants", deadline=None, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate))
    settings.load_profile("mutants")
    os.environ["CI"] = "1"  # tests/conftest.py leaves the profile alone
    if _MODE == "map":
        builtins.__hits__ = bytearray(200_000)  # type: ignore[attr-defined]
        sys.meta_path.insert(0, _Finder(_Counted))
    if wanted := os.environ.get("STEADYCONE_MUTANT"):
        path, number = wanted.rsplit(":", 1)
        if path.endswith(".toml"):
            _tables(path, int(number), tempfile.mkdtemp(prefix="mutant-"))
        else:
            _Wrong.path, _Wrong.number = str(SRC / path), int(number)
            sys.meta_path.insert(0, _Finder(_Wrong))


_ready()

__all__ = ["KILLED", "LATE", "SURVIVED"]
