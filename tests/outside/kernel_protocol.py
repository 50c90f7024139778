"""What the conformance suite leaves out, with the client library of Jupyter and with bare sockets."""

import hashlib
import hmac
import json
import os
import subprocess
import time
import unittest
from pathlib import Path
from queue import Empty

import zmq
from jupyter_client import BlockingKernelClient
from jupyter_client.manager import start_new_kernel

PROGRAM = Path()
HOME = Path()


class Kernel(unittest.TestCase):
    def setUp(self):
        self.manager, self.client = start_new_kernel(kernel_name="woodstate")

    def tearDown(self):
        self.client.stop_channels()
        self.manager.shutdown_kernel(now=True)

    def outputs(self, message, client=None, within=20):
        """Messages of a request up to idle."""
        found = []
        while True:
            one = (client or self.client).get_iopub_msg(timeout=within)
            if one["parent_header"].get("msg_id") != message:
                continue
            if one["msg_type"] == "status" and one["content"]["execution_state"] == "idle":
                return found
            found.append(one)

    def run_cell(self, code, **options):
        message = self.client.execute(code, **options)
        reply = self.reply(message)
        return reply["content"], self.outputs(message)

    def reply(self, message, within=20):
        while True:
            one = self.client.get_shell_msg(timeout=within)
            if one["parent_header"].get("msg_id") == message:
                return one

    def kinds(self, messages):
        return [one["msg_type"] for one in messages]

    def test_silence_history_and_counting(self):
        reply, heard = self.run_cell("x = 1\nprint(x)\nx", silent=True)
        self.assertEqual((reply["status"], self.kinds(heard)), ("ok", ["status"]))
        reply, heard = self.run_cell("x", store_history=False)
        self.assertEqual(self.kinds(heard), ["status", "execute_input", "execute_result"])
        before = reply["execution_count"]
        reply, heard = self.run_cell("x")
        self.assertEqual(reply["execution_count"], before + 1)
        reply, heard = self.run_cell("x;")
        self.assertEqual(self.kinds(heard), ["status", "execute_input"])

    def test_cells_behind_a_failed_one_are_not_run(self):
        first = self.client.execute("y = foo")
        second = self.client.execute("z = 3")
        asked = self.client.kernel_info()
        third = self.client.execute("w = 4", stop_on_error=False)
        states = {}
        while len(states) < 4:
            one = self.client.get_shell_msg(timeout=10)
            states[one["parent_header"]["msg_id"]] = one["content"]["status"]
        self.assertEqual([states[first], states[second], states[asked], states[third]], ["error", "aborted", "ok", "aborted"])
        reply, _ = self.run_cell("z")
        self.assertEqual(reply["ename"], "name")
        first = self.client.execute("y = foo", stop_on_error=False)
        second = self.client.execute("z = 3")
        self.assertEqual(self.reply(first)["content"]["status"], "error")
        self.assertEqual(self.reply(second)["content"]["status"], "ok")

    def test_expressions_beside_a_cell(self):
        reply, _ = self.run_cell("a = 2", user_expressions={"double": "a * 2", "wrong": "nothing"})
        values = reply["user_expressions"]
        self.assertEqual(values["double"]["data"]["text/plain"], "4")
        self.assertEqual((values["wrong"]["status"], values["wrong"]["ename"]), ("error", "name"))
        reply, heard = self.run_cell("_")
        self.assertEqual(reply["status"], "error", "an expression gives no last result")

    def test_an_interrupt_stops_the_language_and_the_library(self):
        cells = [
            "for n in range(2000000000): x = n",
            "s = assess(read('harbour.xlsx'))\nprofile(s, replicates=200000)",
        ]
        for cell in cells:
            message = self.client.execute(cell)
            time.sleep(2.0)
            begun = time.monotonic()
            self.manager.interrupt_kernel()
            reply = self.reply(message)["content"]
            self.assertEqual((reply["status"], reply["ename"]), ("error", "interrupted"))
            self.assertLess(time.monotonic() - begun, 2.0)
            self.outputs(message)
        reply, _ = self.run_cell("1 + 1")
        self.assertEqual(reply["status"], "ok")

    def test_control_never_waits_for_a_cell(self):
        message = self.client.execute("for n in range(2000000000): x = n")
        time.sleep(0.3)
        asked = self.client.session.msg("kernel_info_request")
        self.client.control_channel.send(asked)
        reply = self.client.get_control_msg(timeout=2)
        self.assertEqual(reply["msg_type"], "kernel_info_reply")
        self.manager.interrupt_kernel()
        self.reply(message)

    def test_a_signal_is_an_interrupt(self):
        message = self.client.execute("for n in range(2000000000): x = n")
        time.sleep(0.3)
        os.kill(self.manager.provisioner.pid, 2)
        self.assertEqual(self.reply(message)["content"]["ename"], "interrupted")

    def test_restart_forgets_names_and_keeps_history(self):
        self.run_cell("before = 11")
        self.manager.restart_kernel()
        self.client.wait_for_ready(timeout=20)
        reply, _ = self.run_cell("before")
        self.assertEqual((reply["ename"], reply["execution_count"]), ("name", 1))
        message = self.client.history(raw=True, hist_access_type="search", pattern="before = *", n=3)
        cells = [entry[2] for entry in self.reply(message)["content"]["history"]]
        self.assertIn("before = 11", cells)

    def test_a_shutdown_leaves_no_process(self):
        process = self.manager.provisioner.process
        begun = time.monotonic()
        self.client.shutdown()
        process.wait(timeout=5)
        self.assertLess(time.monotonic() - begun, 1.0)

    def test_an_unknown_comm_is_closed_at_once(self):
        message = self.client.session.msg("comm_open", {"comm_id": "c1", "target_name": "widget", "data": {}})
        self.client.shell_channel.send(message)
        heard = self.outputs(message["header"]["msg_id"])
        self.assertEqual([(one["msg_type"], one["content"].get("comm_id")) for one in heard[1:]], [("comm_close", "c1")])

    def test_offsets_count_characters(self):
        code = "print('é🪵', asse"
        message = self.client.complete(code, cursor_pos=len(code))
        content = self.reply(message)["content"]
        self.assertEqual(content["matches"], ["assess"])
        self.assertEqual((content["cursor_start"], content["cursor_end"]), (len(code) - 4, len(code)))
        self.assertTrue(content["metadata"]["_jupyter_types_experimental"][0]["signature"].startswith("assess("))

    def test_unknown_requests_are_heard_and_left(self):
        message = self.client.session.msg("future_request", {})
        self.client.shell_channel.send(message)
        self.assertEqual(self.kinds(self.outputs(message["header"]["msg_id"])), ["status"])

    def test_many_lines_and_many_cells(self):
        reply, heard = self.run_cell("for n in range(20000): print('line', n)")
        text = "".join(one["content"]["text"] for one in heard if one["msg_type"] == "stream")
        self.assertEqual(text.splitlines(), [f"line {n}" for n in range(20000)])
        self.assertLess(len(heard), 200)
        self.run_cell("t = read('harbour.xlsx')")
        for _ in range(300):
            self.run_cell("s = assess(t)", store_history=False)
        before = self.memory()
        for _ in range(300):
            self.run_cell("s = assess(t)", store_history=False)
        self.assertLess(self.memory() - before, 20e6)
        for _ in range(9000):
            self.run_cell("1 + 1", store_history=False)
        # What the language keeps of each cell is its text and its tree.
        self.assertLess(self.memory() - before, 60e6)

    def memory(self):
        pages = Path(f"/proc/{self.manager.provisioner.pid}/statm").read_text().split()[1]
        return int(pages) * os.sysconf("SC_PAGE_SIZE")

    def test_hostile_frames_change_nothing(self):
        connection = self.client.get_connection_info()
        key = self.client.session.key
        context = zmq.Context()

        def signed(parts, secret):
            digest = hmac.new(secret, digestmod=hashlib.sha256)
            for part in parts:
                digest.update(part)
            return digest.hexdigest().encode()

        header = json.dumps({"msg_id": "h", "session": "h", "username": "h", "msg_type": "execute_request", "version": "5.4"})
        parts = [header.encode(), b"{}", b"{}", json.dumps({"code": "hostile = 1"}).encode()]
        cases = [
            [b""],
            [b"x" * 100_000],
            [b"<IDS|MSG>"],
            [b"<IDS|MSG>", b"", *parts],
            [b"<IDS|MSG>", signed(parts, b"other key"), *parts],
            [b"<IDS|MSG>", signed(parts, key)[:-1] + b"g", *parts],
            [b"<IDS|MSG>", signed(parts, key), *parts[:3], b"{\"code\": \"hostile = 2\"}"],
            [b"<IDS|MSG>", signed([b"[]"] * 4, key), *[b"[]"] * 4],
        ]
        for port in ("shell_port", "control_port", "stdin_port"):
            socket = context.socket(zmq.DEALER)
            socket.linger = 0
            socket.connect(f"tcp://{connection['ip']}:{connection[port]}")
            for case in cases:
                socket.send_multipart(case)
            time.sleep(0.2)
            socket.close()
        raw = __import__("socket").create_connection((connection["ip"], connection["shell_port"]))
        raw.sendall(b"GET / HTTP/1.1\r\n\r\n" + b"\xff" * 1000)
        raw.close()
        reply, _ = self.run_cell("hostile")
        self.assertEqual(reply["ename"], "name")
        context.term()

    def test_listeners_come_go_and_stop_reading(self):
        connection = self.client.get_connection_info()
        context = zmq.Context()
        sleepers = []
        for _ in range(3):
            socket = context.socket(zmq.SUB)
            socket.setsockopt(zmq.RCVHWM, 1)
            socket.linger = 0
            socket.subscribe(b"")
            socket.connect(f"tcp://{connection['ip']}:{connection['iopub_port']}")
            sleepers.append(socket)
        time.sleep(0.3)
        cell = "for n in range(400): print('x' * 100000)"
        begun = time.monotonic()
        reply, heard = self.run_cell(cell)
        text = sum(len(one["content"]["text"]) for one in heard if one["msg_type"] == "stream")
        self.assertEqual((reply["status"], text), ("ok", 400 * 100_001))
        self.assertLess(time.monotonic() - begun, 20)
        for socket in sleepers:
            socket.close()
        context.term()
        reply, _ = self.run_cell("1 + 1")
        self.assertEqual(reply["status"], "ok")

    def test_each_subscription_is_welcomed_first(self):
        connection = self.client.get_connection_info()
        context = zmq.Context()
        socket = context.socket(zmq.SUB)
        socket.linger = 0
        for topic in (b"status", b"stream"):
            socket.subscribe(topic)
        socket.connect(f"tcp://{connection['ip']}:{connection['iopub_port']}")
        welcomes = []
        for topic in (b"status", b"stream"):
            self.assertTrue(socket.poll(5000))
            first, *rest = socket.recv_multipart()
            _, frames = self.client.session.feed_identities(rest)
            message = self.client.session.deserialize(frames)
            self.assertEqual((message["msg_type"], message["parent_header"]), ("iopub_welcome", {}))
            welcomes.append((first, message["content"]["subscription"]))
        self.assertEqual(sorted(welcomes), [(b"status", "status"), (b"stream", "stream")])
        self.run_cell("print('heard')\n6 * 7")
        topics = []
        while socket.poll(500):
            topics.append(socket.recv_multipart()[0])
        self.assertEqual(topics, [b"status", b"stream", b"status"], "a listener hears its topics and no other")
        socket.close()
        context.term()

    def test_sockets_of_a_folder(self):
        folder = HOME / "ipc"
        folder.mkdir()
        info = {"transport": "ipc", "ip": str(folder / "k"), "key": "k", "signature_scheme": "hmac-sha256"}
        info |= {name: place for place, name in enumerate(("shell_port", "iopub_port", "stdin_port", "control_port", "hb_port"), 1)}
        file = folder / "connection.json"
        file.write_text(json.dumps(info))
        process = subprocess.Popen([PROGRAM, "kernel", "start", "--connection-file", file])
        clients = [BlockingKernelClient(connection_file=str(file)) for _ in range(2)]
        for client in clients:
            client.load_connection_file()
            client.start_channels()
            client.wait_for_ready(timeout=20)
            message = client.execute("6 * 7")
            results = [one for one in self.outputs(message, client) if one["msg_type"] == "execute_result"]
            self.assertEqual(results[0]["content"]["data"]["text/plain"], "42")
        names = sorted(path.name for path in folder.iterdir())
        self.assertEqual(names, ["connection.json", *(f"k-{place}" for place in range(1, 6))], "nothing else is left there")
        clients[0].shutdown()
        for client in clients:
            client.stop_channels()
        process.wait(timeout=5)

    def test_two_clients_share_a_kernel(self):
        other = BlockingKernelClient(connection_file=self.manager.connection_file)
        other.load_connection_file()
        other.start_channels()
        other.wait_for_ready(timeout=20)
        self.run_cell("shared = 5")
        message = other.execute("shared + 1")
        results = [one for one in self.outputs(message, other) if one["msg_type"] == "execute_result"]
        self.assertEqual(results[0]["content"]["data"]["text/plain"], "6")
        other.stop_channels()

    def test_long_work_shows_progress_that_replaces_itself(self):
        message = self.client.execute("s = assess(read('harbour.xlsx'))\np = profile(s, replicates=60000)")
        time.sleep(6)
        self.manager.interrupt_kernel()
        self.reply(message)
        heard = self.outputs(message)
        bars = [one for one in heard if one["msg_type"] in ("display_data", "update_display_data")]
        if not bars:
            self.skipTest("this machine was done before progress is shown")
        identifiers = {one["content"]["transient"]["display_id"] for one in bars}
        self.assertEqual((len(identifiers), bars[0]["msg_type"]), (1, "display_data"))
        self.assertRegex(bars[0]["content"]["data"]["text/plain"], r"^[a-z ]+: \d+ of \d+$")
        kinds = [one["msg_type"] for one in heard]
        # Once the work is over its progress is cleared away, so that a saved notebook does not depend on the machine.
        self.assertGreater(kinds.index("clear_output"), kinds.index("display_data"))

    def test_an_empty_key_is_not_checked(self):
        file = HOME / "plain.json"
        info = dict(self.client.get_connection_info())
        info = {name: value for name, value in info.items() if name not in ("session",)}
        info.update(key="", signature_scheme="hmac-sha256")
        for place, name in enumerate(("shell_port", "iopub_port", "stdin_port", "control_port", "hb_port")):
            with __import__("socket").socket() as free:
                free.bind(("127.0.0.1", 0))
                info[name] = free.getsockname()[1]
        info = {name: value.decode() if isinstance(value, bytes) else value for name, value in info.items()}
        file.write_text(json.dumps(info))
        process = subprocess.Popen([PROGRAM, "kernel", "start", "--connection-file", file])
        client = BlockingKernelClient(connection_file=str(file))
        client.load_connection_file()
        client.start_channels()
        client.wait_for_ready(timeout=20)
        client.shutdown()
        client.stop_channels()
        process.wait(timeout=5)

    def test_an_orphan_ends_itself(self):
        file = HOME / "orphan.json"
        info = {"transport": "tcp", "ip": "127.0.0.1", "key": "k", "signature_scheme": "hmac-sha256"}
        for name in ("shell_port", "iopub_port", "stdin_port", "control_port", "hb_port"):
            with __import__("socket").socket() as free:
                free.bind(("127.0.0.1", 0))
                info[name] = free.getsockname()[1]
        file.write_text(json.dumps(info))
        script = f"'{PROGRAM}' kernel start --connection-file '{file}' >/dev/null 2>&1 & echo $!; sleep 0.5"
        said = subprocess.run(["sh", "-c", script], capture_output=True, text=True).stdout
        pid = int(said.split()[0])
        for _ in range(50):
            if not Path(f"/proc/{pid}").exists():
                return
            time.sleep(0.1)
        os.kill(pid, 9)
        self.fail("the kernel outlived whoever started it")

    def test_a_taken_port_ends_the_start_at_once(self):
        ended = subprocess.run(
            [PROGRAM, "kernel", "start", "--connection-file", self.manager.connection_file],
            capture_output=True,
            text=True,
            timeout=10,
        )
        self.assertEqual(ended.returncode, 5)
        self.assertIn("cannot listen at tcp:", ended.stderr)
        with self.assertRaises(Empty):
            self.client.get_shell_msg(timeout=0.2)
