"""The part of mutation.py that runs inside pytest: learns which test runs which line, tries each mutant in a fork.

The tests are imported and collected once. A mutant that lies in a function is put into the function that is there
already, by its code object, so that a fork runs nothing but the tests that reach the changed line. What runs at import
is put in place before bayapp is imported, in a process of its own.
"""

from __future__ import annotations

import gc
import json
import os
import resource
import signal
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from importlib import import_module
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import coverage
import pytest
from hypothesis import settings

PLAIN = ["-q", "-s", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:xdist"]
COMMON = ["PySide6.QtWidgets", "numpy", "psychrolib", "pydantic", "sqlalchemy"]
"""What takes long to import and is not ours."""
CAUGHT, SURVIVED, TIMED_OUT, NOT_PLACED = "caught", "survived", "timed out", "not placed"
NOT_PLACED_CODE = 97
EXAMPLES = 25
"""So many examples a property test looks at, always the same ones, unless it states its own number."""
TIMES_LONGER, SPARE_S = 10, 10
"""A mutant may take so many times the processor time of its tests, and so much more."""
WALL_S = 300
CACHED = type(lru_cache(lambda: None))
Key = tuple[str, str, int]
"""What a function is known by: file, qualified name, first line."""


class Reach:
    """Learns which tests run which lines, and what processor time each takes."""

    def __init__(self, root: Path, out: Path) -> None:
        self.out = out
        self.seconds: dict[str, float] = {}
        self.failed: list[str] = []
        self.caches: list[Any] = []
        self.coverage = coverage.Coverage(data_file=None, source=[str(root / "bayapp")], config_file=False)
        self.coverage.start()

    def pytest_runtestloop(self) -> None:
        """Find the caches of our functions: what one test has kept, another must be seen to run, too."""
        gc.unfreeze()
        self.caches = [each for each in gc.get_objects() if isinstance(each, CACHED) and _is_ours(each)]

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        for cache in self.caches:
            cache.cache_clear()
        began = time.process_time()
        self.coverage.switch_context(item.nodeid)
        result = yield
        self.coverage.switch_context("")
        self.seconds[item.nodeid] = time.process_time() - began
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        self.coverage.stop()
        data = self.coverage.get_data()
        lines = {file: data.contexts_by_lineno(file) for file in data.measured_files()}
        reach = {"seconds": self.seconds, "failed": self.failed, "lines": lines}
        self.out.write_text(json.dumps(reach), encoding="utf-8")


class Forks:
    """Tries every mutant of a list in a fork of its own, some at a time, and writes one line of JSON for each."""

    def __init__(self, todo: str, out: str, jobs: str) -> None:
        self.todo: list[dict[str, Any]] = json.loads(Path(todo).read_text(encoding="utf-8"))
        self.out = Path(out)
        self.jobs = int(jobs)
        self.running: dict[int, tuple[int, float]] = {}

    def run(self, passes: Callable[[dict[str, Any]], bool]) -> None:
        """Try them all; ``passes`` says whether a mutant passes its tests."""
        for trial in self.todo:
            while len(self.running) >= self.jobs:
                self._wait()
            self._start(trial, passes)
        while self.running:
            self._wait()

    def _start(self, trial: dict[str, Any], passes: Callable[[dict[str, Any]], bool]) -> None:
        child = os.fork()
        if child:
            self.running[child] = (trial["number"], time.perf_counter() + WALL_S)
            return
        limit = int(trial["seconds"] * TIMES_LONGER + SPARE_S)
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
        code = 1
        try:
            silence = os.open(os.devnull, os.O_RDWR)
            for channel in (1, 2):
                os.dup2(silence, channel)
            code = 0 if passes(trial) else 1
        finally:
            os._exit(code)  # whatever the mutant did, it goes no further

    def _wait(self) -> None:
        time.sleep(0.01)
        for child, (number, deadline) in list(self.running.items()):
            if time.perf_counter() > deadline:
                os.kill(child, signal.SIGKILL)
            ended, status = os.waitpid(child, os.WNOHANG)
            if ended:
                del self.running[child]
                self._note(number, _outcome(status))

    def _note(self, number: int, outcome: str) -> None:
        with self.out.open("a", encoding="utf-8") as file:
            file.write(json.dumps({"number": number, "outcome": outcome}) + "\n")


class Collected:
    """Runs mutants of functions with the tests that pytest has collected, in place of pytest's own loop."""

    def __init__(self, forks: Forks) -> None:
        self.forks = forks

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        gc.unfreeze()
        functions = defaultdict(list)
        for function in _functions():
            functions[_key(function.__code__)].append(function)
        gc.freeze()
        items = {item.nodeid: item for item in session.items}

        def passes(trial: dict[str, Any]) -> bool:
            try:
                _put_in_place(functions, session.config.rootpath / trial["path"], trial["source"])
            except ValueError:
                os._exit(NOT_PLACED_CODE)
            return _all_pass(session, [items[name] for name in trial["tests"]])

        self.forks.run(passes)
        return True


class AtImport(SourceFileLoader):
    """Gives one module its changed source."""

    def __init__(self, name: str, path: str, source: str) -> None:
        super().__init__(name, path)
        self.source = source

    def get_code(self, fullname: str) -> CodeType:
        """Return the changed module; nothing is read from, or written to, a cache."""
        return compile(self.source, self.path, "exec", dont_inherit=True)


class Finder:
    """Finds the changed module before anybody else does."""

    def __init__(self, root: Path, path: str, source: str) -> None:
        self.name = path.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
        self.loader = AtImport(self.name, str(root / path), source)

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        """Return the changed module's spec, or None for any other."""
        return spec_from_file_location(name, self.loader.path, loader=self.loader) if name == self.name else None


def _is_ours(function: object) -> bool:
    return str(getattr(function, "__module__", "")).startswith("bayapp")


def _functions() -> Iterator[FunctionType]:
    return (each for each in gc.get_objects() if isinstance(each, FunctionType))


def _put_in_place(functions: Mapping[Key, list[FunctionType]], file: Path, source: str) -> None:
    """Give the functions of a module, those made inside others at import, too, the code of its changed source.

    Raises:
        ValueError: one takes other variables from around it than before, and cannot be changed in place.
    """
    before = _codes(compile(file.read_text(encoding="utf-8"), str(file), "exec", dont_inherit=True))
    after = _codes(compile(source, str(file), "exec", dont_inherit=True))
    for old, new in zip(before, after, strict=False):
        if old.co_qualname != new.co_qualname:
            return  # a function inside the changed one is gone; what follows is as it was
        if old != new:
            for function in functions.get(_key(old), ()):
                function.__code__ = new


def _key(code: CodeType) -> Key:
    return code.co_filename, code.co_qualname, code.co_firstlineno


def _codes(code: CodeType) -> Iterator[CodeType]:
    """Yield the code of a module or function and, in the order of the source, of all that is defined inside."""
    yield code
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from _codes(inner)


def _all_pass(session: pytest.Session, items: list[pytest.Item]) -> bool:
    """Run the tests until one fails."""
    for item, following in zip(items, [*items[1:], None], strict=True):
        session.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            return False
    return True


def _passes_anew(trial: dict[str, Any]) -> bool:
    """Import bayapp with the mutant in it, and run its tests until one fails."""
    sys.meta_path.insert(0, Finder(Path.cwd(), trial["path"], trial["source"]))
    return pytest.main([*PLAIN, "-x", *trial["tests"]]) == 0


def _outcome(status: int) -> str:
    if os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL):
        return TIMED_OUT
    if os.waitstatus_to_exitcode(status) == NOT_PLACED_CODE:
        return NOT_PLACED
    return SURVIVED if status == 0 else CAUGHT


def main(words: list[str]) -> int:
    """Do what the first word says, with pytest's own words after ``--``."""
    cut = words.index("--")
    (what, *rest), tests = words[:cut], words[cut + 1 :]
    settings.register_profile("mutation", max_examples=EXAMPLES, derandomize=True, database=None, deadline=None)
    settings.load_profile("mutation")
    if what == "anew":
        for name in COMMON:
            import_module(name)
        Forks(*rest).run(_passes_anew)
        return 0
    plugin = Reach(Path.cwd(), Path(*rest)) if what == "reach" else Collected(Forks(*rest))
    return int(pytest.main([*PLAIN, *tests], plugins=[plugin]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
