"""The conformance suite of Jupyter (jupyter_kernel_test 0.7.0)."""

import jupyter_kernel_test


class Conformance(jupyter_kernel_test.KernelTests):
    kernel_name = "woodstate"
    language_name = "starlark"
    file_extension = ".star"
    code_hello_world = "print('hello, world')"
    # Skipped: cells write to one stream, since a notebook mixes two in no fixed order.
    code_stderr = ""
    completion_samples = [
        {"text": "asse", "matches": {"assess"}},
        {"text": "fit(s, agai", "matches": {"against="}},
        {"text": "figure('dens", "matches": {"density-water"}},
    ]
    complete_code_samples = ["1", "x = [1, 2]", "def f(x):\n    return x\n"]
    incomplete_code_samples = ["print('a',", "for x in [1, 2]:", 't = """a', "def f(x):\n    y = x"]
    invalid_code_samples = ["x = = 1", "import 7q", "1 +"]
    # Skipped: help is a result of the cell, so that it stays in the notebook.
    code_page_something = ""
    code_generate_error = "x = foo + 1"
    code_execute_result = [
        {"code": "6 * 7", "result": "42"},
        {"code": "measured(3, 0.1, 'g') * 2", "result": "6.00 ± 0.20 g"},
    ]
    code_display_data = [
        {"code": "show(read('harbour.xlsx'))", "mime": "text/html"},
        {"code": "show(figure('density-water', assess(read('harbour.xlsx'))))", "mime": "image/svg+xml"},
    ]
    code_history_pattern = "6 ? 7*"
    supported_history_operations = ("tail", "range", "search")
    code_inspect_sample = "assess"
    code_clear_output = "clear()"


class Welcome(jupyter_kernel_test.IopubWelcomeTests):
    kernel_name = "woodstate"
    support_iopub_welcome = True


del jupyter_kernel_test
