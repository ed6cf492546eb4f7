"""Orders under way: one for each board and kind, begun, asked about, stopped; and what a job's folder holds."""

import json
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Final

from pearlkerf.bench.orders import (
    FOLDERS,
    Order,
    check_command,
    command,
    machine_path,
    machines_of,
    order_of,
    phone_command,
    plan_order,
    template_command,
)
from pearlkerf.bench.shelf import Shelf, made_of
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import as_written
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import JOB_FILE, is_unfinished, recorded
from pearlkerf.files.whole import read_file

PATIENCE_S: Final = 3.0  # for an order that is asked to stop, before it is made to
MOST_FILE_BYTES: Final = 64 << 20
# an interrupt stops an order from its first moment on, even where whoever began the bench has them ignored
BEGIN: Final = """
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from pearlkerf.bench.work import main
main()
"""


@dataclass
class _Running:
    """An order under way: its process, what it has begun, and what became of it."""

    process: "subprocess.Popen[str]"
    doing: list[str] = field(default_factory=list)
    became: dict[str, Any] = field(default_factory=dict)
    stopped: bool = False

    def read(self) -> None:
        """Take all that the process says, until it ends."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            told = json.loads(line)
            if "doing" in told:
                self.doing.append(told["doing"])
            else:
                self.became = told
        self.process.wait()

    def data(self) -> dict[str, Any]:
        """Give how it stands."""
        if self.became:
            return {"state": "ended", "doing": self.doing, **self.became}
        if self.process.poll() is None:
            return {"state": "running", "doing": self.doing}
        if self.stopped:
            return {"state": "stopped", "doing": self.doing}
        return {"state": "ended", "doing": self.doing, "fault": "It ended by itself, and has not said why."}


class Jobs:
    """The orders of a bench."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._running: dict[str, _Running] = {}
        self._lock = threading.Lock()

    def machines(self) -> dict[str, Any]:
        """Give the machines that there are: names as a command takes them, titles, and which are the maker's own."""
        return {"machines": [self._machine(name, path) for name, path in machines_of(self._shelf).items()]}

    def _machine(self, name: str, path: Path | None) -> dict[str, Any]:
        from pearlkerf.machine.reader import read_machine

        try:
            machine = read_machine(name if path is None else str(path))
        except (Refusal, OSError):
            return {"name": name, "title": name, "own": path is not None, "wrong": True, "carrier": False,
                    "travel": "", "cutters": []}  # fmt: skip
        travel = machine.travel
        cutters = [f"{each.number} · {each.kind} {as_written(each.diameter_mm)}, reach {as_written(each.reach_mm, 1)}"
                   for each in machine.cutters]  # fmt: skip
        return {"name": name, "title": machine.title, "own": path is not None, "wrong": False,
                "carrier": machine.carrier is not None, "cutters": cutters,
                "travel": f"{travel.x_mm:g} × {travel.y_mm:g} × {travel.z_mm:g} mm"}  # fmt: skip

    def plan(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Say what an order would be: its setups, its cutters, what is doubtful; or what is wrong with it."""
        from pearlkerf.bench.planned import planned_data, to_choose_from

        order = order_of(asked, self._shelf)
        try:
            look, job = plan_order(self._shelf.folder, order)
        except Refusal as refusal:
            refused = [asdict(each) for each in refusal.problems]
            whole = to_choose_from(self._shelf.folder, order)
            return {"command": command(order), "refused": refused, **whole}
        return {"command": command(order), **planned_data(look, job)}

    def ways(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Say of an order how long each way takes that the machine has, and how wide its cutters really cut."""
        from pearlkerf.bench.planned import ways_data

        order = order_of(asked, self._shelf)
        try:
            _, job = plan_order(self._shelf.folder, order)
            return {"command": check_command(order), **ways_data(job)}
        except Refusal as refusal:
            return {"refused": [asdict(each) for each in refusal.problems]}

    def begin(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Begin an order; raises CannotBe where one for this board and kind is under way."""
        order = order_of(asked, self._shelf)
        with self._lock:
            running = self._running.get(order.folder)
            if running is not None and running.data()["state"] == "running":
                raise CannotBe("It is being made already.", 409)
            running = _Running(_started(self._shelf.folder, order, asked.get("force") is True))
            self._running[order.folder] = running
        threading.Thread(target=running.read, daemon=True).start()
        return running.data()

    def state(self, folder: str) -> dict[str, Any]:
        """Say how an order stands; nothing where none was given."""
        running = self._running.get(folder)
        return {"state": "none"} if running is None else running.data()

    def stop(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Stop an order: its folder stays as it was, or holds the whole new job."""
        running = self._running.get(str(asked.get("folder", "")))
        if running is not None:
            _stop(running)
        return {"state": "none"} if running is None else running.data()

    def end(self) -> None:
        """Stop all of them."""
        for running in self._running.values():
            _stop(running)

    def held(self, name: str, kind: str) -> dict[str, Any]:
        """Say what a job's folder holds, and whether it is of the board as it is now."""
        from pearlkerf.bench.planned import programs_data

        folder = self.folder(name, kind)
        record = recorded(folder)
        if record is None:
            return {"made": "", "files": [], "programs": [], "unfinished": is_unfinished(folder), "folder": folder.name}
        machine, files = self._machine_of(record.machine_sha256), list(record.files)
        return {
            "made": made_of(record, self._shelf.bytes_of(name)),
            "folder": folder.name,
            "machine": machine,
            "files": files,
            "programs": programs_data(folder, files, machine and machine_path(self._shelf.folder, machine)),
            "unfinished": is_unfinished(folder),
            "tried": self._tried(name),
            "commands": {"phone": phone_command(folder.name, machine), "template": template_command(name)},
        }  # fmt: skip

    def _machine_of(self, sha256: str) -> str:
        """Give the machine whose profile has this hash, "" where it is there no more."""
        from pearlkerf.machine.reader import read_profile_bytes

        found = (
            (name, read_profile_bytes(machine_path(self._shelf.folder, name))) for name in machines_of(self._shelf)
        )
        return next((name for name, data in found if digest(data) == sha256), "")

    def _tried(self, name: str) -> bool:
        """Say whether a coupon was ever made for this board."""
        return any((self.folder(name, kind) / JOB_FILE).is_file() for kind in ("coupon", "inlay"))

    def folder(self, name: str, kind: str) -> Path:
        """Give the folder of a board's job of a kind; raises CannotBe."""
        if kind not in FOLDERS:
            raise CannotBe("That is nothing that can be made.")
        return self._shelf.folder_of(name, dict(FOLDERS)[kind])  # type: ignore[index]

    def phone(self, name: str, kind: str) -> bytes:
        """Give a job as one file for the phone; raises CannotBe where there is none, or it was changed by hand."""
        from pearlkerf import way
        from pearlkerf.machine.reader import read_machine

        folder = self.folder(name, kind)
        record = recorded(folder)
        if record is None:
            raise CannotBe("There is no job yet: make it first.", 404)
        machine = self._machine_of(record.machine_sha256)
        try:
            on = read_machine(machine_path(self._shelf.folder, machine)) if machine else None
            return way.phone(folder, on)
        except Refusal as refusal:
            raise CannotBe(f"{refusal.problems[0].found}: {refusal.problems[0].hint}", 409) from None

    def file(self, name: str, kind: str, file: str) -> bytes:
        """Give a file that a job's record lists; raises CannotBe for any other, OSError."""
        folder = self.folder(name, kind)
        record = recorded(folder)
        if record is None or file not in record.files or (folder / file).resolve().parent != folder.resolve():
            raise CannotBe("The job has no such file.", 404)
        return read_file(folder / file, MOST_FILE_BYTES)


def _started(folder: Path, order: Order, force: bool) -> "subprocess.Popen[str]":
    """Start the process of an order, and tell it what it is."""
    process = subprocess.Popen(
        [sys.executable, "-c", BEGIN],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
    )  # fmt: skip
    assert process.stdin is not None
    json.dump({"folder": str(folder), "order": asdict(order), "force": force}, process.stdin)
    process.stdin.close()
    return process


def _stop(running: _Running) -> None:
    """Interrupt a process, and end it where it does not end by itself."""
    process = running.process
    if process.poll() is not None:
        return
    running.stopped = True
    process.send_signal(signal.SIGINT if sys.platform != "win32" else signal.SIGTERM)
    try:
        process.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
