"""Installs the libraries of requirements.txt into a virtual environment below the folder that is named,
cargo's target folder, and prints the path of its Python. Does nothing where it is done already; does it
again when requirements.txt or the Python has changed. Several may call it at once: one installs, the others
wait.

    python3 tests/outside/install.py TARGET
"""

import fcntl
import shutil
import subprocess
import sys
import venv
from pathlib import Path


def main():
    target = Path(sys.argv[1]).resolve()
    target.mkdir(parents=True, exist_ok=True)
    requirements = Path(__file__).with_name("requirements.txt")
    folder = target / "outside-python"
    python, stamp = folder / "bin" / "python", folder / "installed"
    wanted = f"{sys.version}\n{requirements.read_text()}"
    with open(target / "outside-python.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (stamp.exists() and stamp.read_text() == wanted and python.exists()):
            install(folder, python, requirements)
            stamp.write_text(wanted)
    print(python)


def install(folder, python, requirements):
    try:
        import ensurepip  # noqa: F401 - Debian ships it apart
    except ImportError:
        sys.exit("Python's ensurepip is missing: on Debian, `apt-get install python3-venv` brings it")
    shutil.rmtree(folder, ignore_errors=True)
    venv.create(folder, with_pip=True)
    pip = [python, "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]
    ended = subprocess.run([*pip, "--requirement", requirements], stdout=sys.stderr)
    if ended.returncode != 0:
        sys.exit("the libraries of tests/outside/requirements.txt cannot be installed; see above")


main()
