"""What a reader of the tree would trip over: paths, addresses, keys that lead nowhere, commands that do not exist."""

import ast
import csv
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tools.validation import FOLDERS

from steadycone.data import reader

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "steadycone"
DATA = SOURCE / "data"
DEMO = DATA / "demo"  # files of a station, as a person would write them: no source column
SOURCE_KINDS = {"published", "secondhand", "common practice", "memory", "judged", "maker", "demo", "library", "site"}
DOCS = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
LONGEST_FILE = 500  # lines; a file that needs more is usually two


@cache
def tracked() -> tuple[Path, ...]:
    """The files a commit would hold."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return tuple(path for name in listed.stdout.split("\0") if name and (path := ROOT / name).is_file())


def texts() -> Iterator[tuple[str, str]]:
    """Name and text of every tracked text file but this one, which has to spell out what it looks for."""
    for path in tracked():
        if path.suffix in {".png", ".pdf", ".ttf", ".otf", ".xlsx", ".ods", ".woff2"} or path == Path(__file__):
            continue
        yield path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8")


def holding(pattern: str, flags: int = 0) -> list[str]:
    found = []
    for name, text in texts():
        found += [f"{name}: {match[0]!r}" for match in re.finditer(pattern, text, flags)]
    return found


def test_no_file_holds_a_path_of_one_machine() -> None:
    assert holding(r"(?<![\w.~:/])/(?:home|Users|root|mnt|opt|work)/[A-Za-z]\S*") == []


def test_no_file_holds_the_address_of_a_package_registry() -> None:
    assert holding(r"pypi\.org|pythonhosted|registry\.npmjs|--(?:extra-)?index-url|\bhttps?://\S+\.whl") == []


def test_no_file_tells_how_it_came_to_be_written() -> None:
    assert holding(r"\blanguage model\b|\bas an AI\b", re.IGNORECASE) == []


def test_no_file_of_the_program_is_very_long() -> None:
    lengths = {name: text.count("\n") for name, text in texts() if name.startswith("src/") and name.endswith(".py")}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def test_the_program_never_imports_the_reference_libraries() -> None:
    pattern = re.compile(r"^\s*(?:import|from) (scipy|CoolProp|cantera|chemicals|fluids|pint|pandas)\b", re.MULTILINE)
    assert [name for name, text in texts() if name.startswith("src/") and pattern.search(text)] == []


def test_numpy_is_loaded_only_inside_what_marches_a_hose_along_its_length() -> None:
    # docs/decisions/0007: lazily, in the what-ifs and the transient physics under them, never at the top of a file
    anywhere = re.compile(r"^\s*(?:import|from) numpy\b", re.MULTILINE)
    at_top = re.compile(r"^(?:import|from) numpy\b", re.MULTILINE)
    users = [name for name, text in texts() if name.startswith("src/") and anywhere.search(text)]
    assert [name for name in users if not name.startswith(("src/steadycone/physics/transient/", "src/steadycone/whatif/"))] == []
    assert [name for name, text in texts() if name in users and at_top.search(text)] == []


def test_every_file_of_the_physics_names_a_source() -> None:
    files = [path for path in (SOURCE / "physics").rglob("*.py") if ast.parse(path.read_text(encoding="utf-8")).body[1:]]
    assert files
    assert sorted(path.name for path in files if "source" not in path.read_text(encoding="utf-8").lower()) == []


# --- data tables ---------------------------------------------------------------


def _toml_sources(value: Any, where: str = "") -> Iterator[tuple[str, str]]:
    """Every string under a key named source or sources, with its place."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key in {"source", "sources"}:
                yield from ((where, name) for name in _strings(inner))
            else:
                yield from _toml_sources(inner, f"{where}.{key}")
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _toml_sources(inner, f"{where}[{number}]")


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        yield from (name for inner in value for name in _strings(inner))
    elif isinstance(value, dict):
        yield from (name for inner in value.values() for name in _strings(inner))


def _source_cells() -> Iterator[tuple[str, str]]:
    for path in sorted(path for path in DATA.rglob("*.csv") if DEMO not in path.parents):
        with open(path, newline="", encoding="utf-8") as file:
            for row in csv.DictReader(line for line in file if not line.startswith("#")):
                for key in (row.get("source") or "").split(";"):
                    yield path.name, key.strip()
    for path in sorted(DATA.rglob("*.toml")):
        if path.parent.name != "sources":
            for place, key in _toml_sources(tomllib.loads(path.read_text(encoding="utf-8"))):
                yield f"{path.relative_to(DATA)}{place}", key


def test_every_source_key_in_the_tables_leads_to_a_source() -> None:
    known = reader.sources()
    assert sorted({f"{place}: {key!r}" for place, key in _source_cells() if key and key not in known}) == []


def test_every_row_of_a_table_has_a_source() -> None:
    assert sorted({place for place, key in _source_cells() if not key}) == []


def test_no_source_key_is_used_in_two_files() -> None:
    seen: dict[str, str] = {}
    for path in sorted((DATA / "sources").glob("*.toml")):
        for key in tomllib.loads(path.read_text(encoding="utf-8")):
            assert key not in seen, f"{key} is in {seen[key]} and in {path.name}"
            seen[key] = path.name


def test_every_source_has_a_title_and_a_known_kind() -> None:
    found = reader.sources()
    assert found
    for key, entry in found.items():
        assert entry.get("title"), key
        assert entry.get("kind") in SOURCE_KINDS, f"{key}: {entry.get('kind')!r}"
        if entry["kind"] == "judged":
            assert entry.get("note"), f"{key} is judged, so its note must give the reason"


def test_every_finding_that_has_words_is_raised_somewhere() -> None:
    codes = set(tomllib.loads((DATA / "findings.toml").read_text(encoding="utf-8")))
    program = "\n".join(text for name, text in texts() if name.startswith("src/") and name.endswith(".py"))
    assert sorted(code for code in codes if f'"{code}"' not in program) == []


def test_every_finding_that_is_raised_has_words() -> None:
    codes = set(tomllib.loads((DATA / "findings.toml").read_text(encoding="utf-8")))
    raised = {code for name, text in texts() if name.startswith("src/") for code in re.findall(r'\bFinding\(\s*"([a-z-]+)"', text)}
    assert raised
    assert sorted(raised - codes) == []


# --- docs and commands -----------------------------------------------------------


def _targets() -> set[str]:
    return set(re.findall(r"^([a-z][a-z-]*):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))


def test_every_make_command_in_the_docs_exists() -> None:
    said = {(path.name, word) for path in DOCS for word in re.findall(r"\bmake ([a-z]+)\b(?=[`\n ])", _code(path))}
    assert said
    assert sorted(f"{name}: make {word}" for name, word in said if word not in _targets()) == []


def _code(path: Path) -> str:
    """The code of a page: fenced blocks and spans, one after another."""
    text = path.read_text(encoding="utf-8")
    fenced = re.findall(r"^```\w*\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    spans = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL))
    return "\n".join([*fenced, *(span + "\n" for span in spans)])


COMMANDS = sorted({word for path in DOCS for word in re.findall(r"(?:^|/)steadycone ([a-z]+)", _code(path), re.MULTILINE)})


@pytest.mark.parametrize("command", COMMANDS)
def test_every_steadycone_command_in_the_docs_exists(command: str) -> None:
    done = subprocess.run(
        [Path(sys.executable).parent / "steadycone", command, "-h"], capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    assert done.returncode == 0, done.stderr


def test_the_demo_in_the_package_is_the_example() -> None:
    copies = [path for path in DEMO.rglob("*") if path.is_file()]
    assert copies
    assert [path.name for path in copies if path.read_bytes() != (ROOT / "examples" / path.relative_to(DEMO)).read_bytes()] == []


def test_every_example_named_in_the_docs_exists() -> None:
    named = {(page.name, name) for page in DOCS for name in re.findall(r"\bexamples/[\w./-]+\w", page.read_text(encoding="utf-8"))}
    assert sorted(f"{page}: {name}" for page, name in named if not (ROOT / name).exists()) == []


def test_every_link_in_the_docs_leads_somewhere() -> None:
    broken = []
    for page in DOCS:
        for link in re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8")):
            name = link.partition("#")[0]
            if name and "://" not in link and not (page.parent / name).exists():
                broken.append(f"{page.relative_to(ROOT)}: {link}")
    assert broken == []


# --- set-up ----------------------------------------------------------------------


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_a_lock_file_pins_everything_by_hash_and_holds_no_address(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    entries = re.findall(r"^[^\s#].*(?:\n[ \t]+--hash.*|\n[ \t]+#.*)*", text, re.MULTILINE)
    assert entries
    assert [entry for entry in entries if "==" not in entry or "--hash=sha256:" not in entry] == []
    assert "://" not in text


def test_what_the_package_asks_for_is_in_the_lock() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    def name_of(line: str) -> str:
        return re.split(r"[\[=<>~;\s]", line, maxsplit=1)[0].lower()

    locked = {name_of(line) for line in (ROOT / "requirements" / "run.txt").read_text(encoding="utf-8").splitlines() if "==" in line}
    assert sorted(name for name in project["dependencies"] if name_of(name) not in locked) == []


def test_make_test_and_ci_run_every_check() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for tool in ("ruff format --check", "ruff check", "mypy", "lint-imports", "-m pytest"):
        assert tool in makefile
    assert re.search(r"^test: .*\bcheck\b", makefile, re.MULTILINE)
    assert "make test" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_target_that_is_not_a_file_is_declared_phony() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    phony = set(re.search(r"^\.PHONY: (.*)$", makefile, re.MULTILINE)[1].split())  # type: ignore[index]
    assert _targets() == phony


def test_tables_read_block_by_block_are_what_the_whole_parse_gives() -> None:
    import tomllib

    whole: dict[str, object] = {}
    for path in (reader.FOLDER / "sources").glob("*.toml"):
        whole |= tomllib.loads(path.read_text(encoding="utf-8"))
    assert dict(reader.sources()) == whole
    assert dict(reader.blocks("findings.toml")) == reader.toml("findings.toml")


def test_every_outside_check_stands_where_the_validation_page_looks_for_it() -> None:
    """A row made elsewhere comes into the page of a whole session and is missing from the one that `make validation` writes."""
    homes = tuple(str(ROOT / folder) for folder in FOLDERS)
    callers = [path for path in (ROOT / "tests").rglob("test_*.py") if "tests.checks import" in path.read_text(encoding="utf-8")]
    assert callers
    assert [path.name for path in callers if not str(path).startswith(homes) and path != Path(__file__)] == []
