"""A kernel that is timed: ours or the one of Python."""

import json
import socket
import subprocess
import tempfile
import time
from pathlib import Path

from jupyter_client import BlockingKernelClient
from jupyter_client.connect import write_connection_file


class Kernel:
    """A kernel process and its client. `start` is the time in s from the start of the process to the first reply."""

    def __init__(self, command, folder):
        self.place = tempfile.TemporaryDirectory()
        file = Path(self.place.name) / "connection.json"
        _, ports = write_connection_file(str(file), key=b"a key for this run", kernel_name="timed")
        command = [str(word).replace("{connection_file}", str(file)) for word in command]
        begun = time.perf_counter()
        self.process = subprocess.Popen(command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        # A socket of the client that finds nobody waits 100 ms before it tries again, which would be counted.
        while True:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", ports["shell_port"])) == 0:
                    break
            if self.process.poll() is not None:
                raise SystemExit(f"bench: {command[0]} ended at once")
            time.sleep(0.001)
        self.client = BlockingKernelClient(connection_file=str(file))
        self.client.load_connection_file()
        self.client.start_channels(hb=False)
        self.reply(self.client.kernel_info())
        self.start = time.perf_counter() - begun
        # Until what is published arrives too.
        self.client.wait_for_ready(timeout=60)

    def reply(self, message, within=600):
        while True:
            one = self.client.get_shell_msg(timeout=within)
            if one["parent_header"].get("msg_id") == message:
                return one["content"]

    def run(self, code, **options):
        """Seconds from the request to idle, and the reply."""
        begun = time.perf_counter()
        message = self.client.execute(code, **options)
        while True:
            one = self.client.get_iopub_msg(timeout=600)
            is_idle = one["msg_type"] == "status" and one["content"]["execution_state"] == "idle"
            if is_idle and one["parent_header"].get("msg_id") == message:
                break
        seconds = time.perf_counter() - begun
        reply = self.reply(message)
        if reply["status"] != "ok":
            raise SystemExit(f"bench: {code}: {reply}")
        return seconds

    def complete(self, code, expected):
        begun = time.perf_counter()
        reply = self.reply(self.client.complete(code))
        seconds = time.perf_counter() - begun
        if not any(expected in match for match in reply["matches"]):
            raise SystemExit(f"bench: {code} is completed by {reply['matches'][:5]}")
        return seconds

    def interrupted(self, code, by):
        """Seconds from the interrupt to the reply of a cell that would run on."""
        message = self.client.execute(code)
        time.sleep(1.5)
        begun = time.perf_counter()
        if by == "message":
            self.client.control_channel.send(self.client.session.msg("interrupt_request"))
        else:
            self.process.send_signal(by)
        if self.reply(message)["status"] != "error":
            raise SystemExit(f"bench: {code} was over before it was interrupted")
        return time.perf_counter() - begun

    def memory_mb(self):
        """What the process holds, resident."""
        status = Path(f"/proc/{self.process.pid}/status").read_text(encoding="utf-8")
        return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS")) / 1024

    def end(self):
        self.client.shutdown()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
        self.client.stop_channels()
        self.place.cleanup()


def installed(program, folder):
    """The command that our kernel is started with, as `kernel install` writes it."""
    subprocess.run([program, "kernel", "install", "--prefix", folder], check=True, stdout=subprocess.DEVNULL)
    spec = Path(folder) / "share/jupyter/kernels/woodstate/kernel.json"
    return json.loads(spec.read_text(encoding="utf-8"))["argv"]
