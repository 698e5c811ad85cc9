"""The tool that changes the program for the worse: the same list each time, and each change is one."""

import ast
from pathlib import Path

import pytest
from tools.mutants import run, wanted
from tools.mutants_made import SRC, counted, mutants_of, mutated, table_text

FILES = ("procedures/rounds/judge.py", "records/verify.py", "data/regions/uk.toml")


@pytest.mark.parametrize("name", FILES)
def test_the_same_source_gives_the_same_list_and_each_its_own_name(name: str) -> None:
    first = mutants_of(SRC / name)
    assert first == mutants_of(SRC / name)
    assert len({mutant.id for mutant in first}) == len(first) > 20
    assert wanted([name], 10) == wanted([name], 10)
    assert len(wanted([name], 10)) == 10


def test_each_change_is_one_and_can_be_compiled() -> None:
    path = SRC / "records" / "rules_station.py"
    whole = ast.dump(ast.parse(path.read_text(encoding="utf-8")))
    for mutant in mutants_of(path):
        tree = mutated(path, mutant.number)
        assert ast.dump(tree) != whole, mutant.id
        compile(tree, str(path), "exec")


def test_a_table_has_one_figure_changed() -> None:
    path = SRC / "data" / "regions" / "uk.toml"
    before = path.read_text(encoding="utf-8").splitlines()
    for mutant in mutants_of(path)[:20]:
        after = table_text(path, mutant.number).splitlines()
        assert [at for at, (old, new) in enumerate(zip(before, after, strict=True), 1) if old != new] == [mutant.line]
    assert '"1.65 bar"' in table_text(path, 0)


@pytest.mark.parametrize(
    ("source", "changes"),
    [
        ("def f(a, b):\n    return a < b", {"a <= b", "a >= b"}),
        ("def f(a, b):\n    return a - b / 2.0", {"a", "a + b / 2.0", "b", "b * 2.0", "2.2", "1.8"}),
        ("def f(a):\n    if a:\n        return 'stop'", {"if False", "'caution'"}),
        ("def f(a, b):\n    return min(a.low, b)", {"max", "a.high"}),
        ("def f(a, b):\n    return a and not b", {"a or not b", "a", "not b", "b"}),
        ("def f(a) -> bool:\n    return a", {"return True", "return False"}),
    ],
)
def test_what_is_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, source: str, changes: set[str]) -> None:
    monkeypatch.setattr("tools.mutants_made.SRC", tmp_path)
    (tmp_path / "f.py").write_text(source, encoding="utf-8")
    assert {mutant.after for mutant in mutants_of(tmp_path / "f.py")} == changes


def test_what_counts_the_blocks_changes_no_answer() -> None:
    tree, names = counted(SRC / "stamps.py", 0)
    assert len(set(names)) == len(names) > 5
    compile(tree, "stamps.py", "exec")


def test_a_mutant_that_no_test_runs_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("tools.mutants.KEPT", tmp_path)
    (row,) = run(mutants_of(SRC / "stamps.py")[:1], 1.0, 1)
    assert row["outcome"] == "no test"
