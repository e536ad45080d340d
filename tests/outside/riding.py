"""Has the program ride a tune of one adjuster with answers given beforehand, for the scripts beside it."""

import os
import subprocess
import tempfile
import tomllib
from pathlib import Path


def folder():
    """A folder of its own, in memory where the machine has such a place: the program writes every answer through
    to the disk, and a thousand rides wait long for that."""
    memory = "/dev/shm"
    return tempfile.TemporaryDirectory(dir=memory if os.access(memory, os.W_OK) else None)


def ridden(program, folder, adjuster, tune, answers, case, plan=""):
    """What the settings say of fork rebound after the ride."""
    folder = Path(folder)
    (folder / "set.tune").write_text(
        f'{plan}bike "B"\npart fork\n  rebound {adjuster}\nsteps\n  tune fork rebound{tune}\n'
    )
    (folder / "answers.txt").write_text("\n".join(answers) + "\n")
    (folder / "j.ride.toml").unlink(missing_ok=True)
    ran = subprocess.run(
        [program, "ride", "set.tune", "--answers", "answers.txt", "--journal", "j.ride.toml", "--settings", "-"],
        cwd=folder, capture_output=True, text=True, stdin=subprocess.DEVNULL,
    )
    assert ran.returncode == 0, f"{case}\nstatus {ran.returncode}\n{ran.stderr}"
    return tomllib.loads(ran.stdout)["fork"]["rebound"]
