"""Make .venv and install the locked requirements, once; later runs find in a moment that all is there."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from build_tools.faults import Fault
from build_tools.setting_up.environment import READY, UNDER_WAY, Environment, Mark
from build_tools.setting_up.one_at_a_time import one_at_a_time
from build_tools.setting_up.pip import IN_VENV, clean_surroundings, run_module
from build_tools.setting_up.pip_faults import disk_full, no_right_to_write

Say = Callable[[str], None]
OWN = ("build_tools", "calculators")
"""The folders of our modules."""


def set_up(level: str, environment: Environment, say: Say) -> None:
    """Bring .venv to `level` ("book" or "tests"), or return at once where it is there.

    Raises Fault with the way out where it cannot be done; a later run then goes on from there.
    """
    if environment.is_ready(level):
        return
    refuse_a_link(environment)
    if environment.is_running() and has_to_go(environment):
        restart_outside(environment)
    try:
        with one_at_a_time(environment.project / ".venv.lock", say):
            if not environment.is_ready(level):
                install(level, environment, say)
    except OSError as error:
        raise explain_system(error, environment) from error


def install(level: str, environment: Environment, say: Say) -> None:
    """Do the steps of the set-up that are still to be done, saying each one."""
    begun = time.monotonic()
    found = usable_mark(environment, say)
    if found and "tests" in found.locks:
        level = "tests"
    log = environment.folder / "half-turn-set-up.log"
    log.unlink(missing_ok=True)
    if environment.python.exists():
        say("[1/3] .venv is there")
    else:
        say("[1/3] Making .venv")
        make(environment, log)
    mark = Mark(UNDER_WAY, str(environment.project), os.path.realpath(environment.python))
    if environment.mark() is not None:  # a cut-off set-up is thrown away, but never somebody's own .venv
        environment.write_mark(mark)
    install_packages(level, environment, log, say, before=found.packages if found else ())
    say("[3/3] Adding this project to .venv")
    run_module(environment.python, ["pip", *own_arguments(environment)], log=log)
    compile_own(environment.project)
    locks = {each: environment.lock_key(each) for each in dict.fromkeys(("book", level))}
    environment.write_mark(replace(mark, state=READY, locks=locks, packages=environment.packages(level)))
    took, size = time.monotonic() - begun, megabytes(environment.folder)
    say(f"Set-up done in {took:.0f} s; .venv takes {size:.0f} MB.")


def install_packages(
    level: str, environment: Environment, log: Path, say: Say, *, before: Sequence[str]
) -> None:
    """Install what the lock of `level` names, and take away what only the lock before it named."""
    packages = environment.packages(level)
    say(f"[2/3] Installing {len(packages)} packages, each checked against its locked hash")
    locked = ["--require-hashes", "-r", str(environment.requirements(level))]
    command = ["pip", "install", "--progress-bar", "off", *locked]
    run_module(environment.python, command, log=log, say=say, expected=len(packages))
    if left_over := sorted(set(before) - set(packages)):
        run_module(environment.python, ["pip", "uninstall", "--yes", *left_over], log=log)


def own_arguments(environment: Environment) -> list[str]:
    """Return pip's arguments that make .venv find this project's packages and its MkDocs plugin."""
    alone = ["--no-deps", "--no-build-isolation", "--no-index"]
    return ["install", *alone, "--editable", str(environment.project)]


def compile_own(project: Path) -> None:
    """Compile our modules, as pip does with those it installs: else, where Python is told to write none
    (PYTHONDONTWRITEBYTECODE), each build would. Where they cannot be written, Python compiles as it goes."""
    import compileall

    for name in OWN:
        compileall.compile_dir(project / name, quiet=2)


def usable_mark(environment: Environment, say: Say) -> Mark | None:
    """Return the note of the .venv that stands, after taking away one that was cut off or no longer fits."""
    mark = environment.mark()
    if mark is None:
        refuse_a_strange_one(environment)
        return None
    if not has_to_go(environment):
        return mark
    if mark.state == READY:
        say(".venv was made for another folder or another Python. Making it again.")
    else:
        say("An earlier set-up was cut off. Making .venv again; what pip has fetched is kept.")
    take_away(environment)
    return None


def has_to_go(environment: Environment) -> bool:
    """Tell whether a .venv that this command made was cut off, or no longer fits."""
    mark = environment.mark()
    return mark is not None and not (mark.state == READY and environment.fits(mark))


def take_away(environment: Environment) -> None:
    """Delete .venv, its mark last: cut off in between, it is still known as ours."""
    for path in environment.folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path != environment.mark_file:
            path.unlink()
    environment.mark_file.unlink()
    environment.folder.rmdir()


def refuse_a_link(environment: Environment) -> None:
    """Raise Fault where .venv is a link: what it leads to may be the environment of another project."""
    if environment.folder.is_symlink():
        raise Fault(
            f"{environment.folder} is a link, and does not fit this project as it is now.",
            "remove the link, and run the same command again.",
        )


def refuse_a_strange_one(environment: Environment) -> None:
    """Raise Fault where a .venv stands that this command did not make and that cannot be used."""
    if not environment.folder.exists():
        return
    question = [
        str(environment.python),
        "-I",
        "-c",
        "import sys, pip; sys.exit(sys.version_info[:2] < (3, 11))",
    ]
    try:
        works = subprocess.run(question, capture_output=True, check=False).returncode == 0
    except OSError:
        works = False
    if not works:
        raise Fault(
            f"{environment.folder} was not made by this command, and has no Python 3.11 with pip in it.",
            "move or delete that folder, and run the same command again.",
        )


def restart_outside(environment: Environment) -> None:
    """Begin this command again with the Python that .venv was made from, because .venv has to go."""
    base = getattr(sys, "_base_executable", "")
    if not base or Path(base).resolve().is_relative_to(environment.folder.resolve()):
        raise Fault(
            ".venv has to be made again, but this command runs inside it.",
            "leave it (deactivate), and run the same command with python3.",
        )
    go_on_with(base, {})


def go_on_inside(environment: Environment) -> None:
    """Replace this process by the same command under the Python of .venv. Raises Fault where that fails."""
    if IN_VENV in os.environ:
        raise Fault(
            f"{environment.python} does not run as the Python of .venv.",
            f"delete {environment.folder} and run the same command again.",
        )
    go_on_with(str(environment.python), {IN_VENV: "1"})


def go_on_with(python: str, mark: Mapping[str, str]) -> None:
    """Replace this process by the same command under another interpreter."""
    command = [python, "-m", "build_tools", *sys.argv[1:]]
    surroundings = {**clean_surroundings(), **mark}
    sys.stdout.flush()
    sys.stderr.flush()
    if sys.platform == "win32":  # exec there gives the prompt back before the command has ended
        sys.exit(subprocess.run(command, env=surroundings, check=False).returncode)
    os.execve(python, command, surroundings)


def make(environment: Environment, log: Path) -> None:
    """Make the bare .venv with pip in it. Raises Fault where this Python cannot."""
    try:
        import ensurepip  # noqa: F401 - only asked whether it is there
        import venv
    except ImportError as error:
        raise no_venv() from error
    environment.folder.mkdir(exist_ok=True)
    environment.write_mark(Mark(UNDER_WAY, str(environment.project), ""))
    venv.create(environment.folder, symlinks=sys.platform != "win32")
    run_module(environment.python, ["ensurepip", "--default-pip"], log=log)


def no_venv() -> Fault:
    """Say which part of Python is missing and how this kind of system provides it."""
    version = f"{sys.version_info[0]}.{sys.version_info[1]}"
    if shutil.which("apt-get"):
        fix = f"sudo apt-get install python3-venv   (or python{version}-venv), and run this again."
    else:
        fix = "install Python's venv and ensurepip with your package manager, and run this again."
    return Fault(f"Python {version} here has no venv or ensurepip module, so it cannot make .venv.", fix)


def explain_system(error: OSError, environment: Environment) -> Fault:
    """Turn what the operating system refused into one line and the way out."""
    where = error.filename or environment.folder
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return disk_full(environment.folder)
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return no_right_to_write(where)
    return Fault(
        f"The set-up could not go on: {error.strerror or error} ({where}).",
        "put that right, and run the same command again.",
    )


def megabytes(folder: Path) -> float:
    """Return the size of all files in `folder` in MB (10^6 bytes)."""
    files = (path for path in folder.rglob("*") if path.is_file() and not path.is_symlink())
    return sum(path.stat().st_size for path in files) / 1e6
