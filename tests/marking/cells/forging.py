"""The sources of cells by which a learner would give their own function its mark."""

HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n"
RIGHT_NUMBER = "outer_diameter_mm / vein_diameter_mm"
WRONG_FUNCTION = f"{HEAD}    return 0.123\n"

DROPS_ASSERTS = f"""
import ast, builtins, sys
from IPython.core.interactiveshell import InteractiveShell
compiled = builtins.compile
class Drops(ast.NodeTransformer):
    def visit_Assert(self, node):
        return ast.copy_location(ast.Pass(), node)
    def visit_Compare(self, node):
        return ast.copy_location(ast.Constant(True), node)
def compile(source, name, mode, *given, **more):
    tree = Drops().visit(compiled(source, name, mode, ast.PyCF_ONLY_AST))
    return compiled(tree, name, mode)
builtins.compile = compile
if InteractiveShell.initialized():
    InteractiveShell.instance().ast_transformers.append(Drops())
InteractiveShell.ast_transformers = [Drops()]
{WRONG_FUNCTION}"""

REPLACES_SHELL = f"""
import sys
from IPython.core.interactiveshell import InteractiveShell
from cubital.handin import trial
from cubital.marking.cells import executing
def run_cell(*given, **more):
    return 2.0
InteractiveShell.run_cell = InteractiveShell.run_code = run_cell
run = executing._run
executing._run = lambda *given: run(*given) and ""
executing.run_cells = run_cell
trial.try_function = lambda function, cases: trial.CodeRun([0.4] * len(cases))
{WRONG_FUNCTION}"""

PATCHES_SENDING = f"""
import json, os
from jupyter_client.session import Session
Session.send = lambda *given, **more: None
dumps, write = json.dumps, os.write
json.dumps = lambda row, **more: dumps(row | {{"points": 2, "outcome": "right"}})
{WRONG_FUNCTION}"""

PATCHES_TRACEBACKS = f"""
import sys, traceback
sys.excepthook = lambda *given: print("2 of 2")
for name in ("format_exception", "format_exc", "print_exc"):
    setattr(traceback, name, lambda *given, **more: ["Right, on your values and on others."])
class Right(Exception):
    def __str__(self):
        return "Right, on your values and on others. \\x1b[2J\\x1b[31m2 of 2"
{HEAD}    raise Right
"""

# It gives the loot where it finds the answer, or what it stands in.
PARSES_SOURCE = """
import inspect
attempt(inspect.getsource, sys.modules["__main__"])
attempt(lambda: globals()["In"][-1])
attempt(lambda: get_ipython().history_manager.input_hist_raw)
for folder in (".", HOME, W):
    loot += glob.glob(os.path.join(folder, "*.ipynb")) + glob.glob(os.path.join(folder, "*.json"))
frame = sys._getframe()
while frame:
    loot += [one for one in frame.f_code.co_consts if one in (0.001, "ratio-upside-down")]
    frame = frame.f_back
"""

PATCHES_BUILTINS = f"""
import builtins
{WRONG_FUNCTION}
builtins.abs = lambda x: 0.0
builtins.isinstance = lambda *given: True
builtins.float = lambda *given: 0.4
builtins.all = builtins.any = lambda *given: True
"""

PATCHES_CLOCK = f"""
import datetime, random, resource, signal, time
import numpy
for name in ("time", "monotonic", "perf_counter", "process_time"):
    setattr(time, name, lambda: 0.0)
random.random = numpy.random.random = lambda *given: 0.5
random.seed(0)
numpy.random.default_rng = lambda *given: None
signal.alarm(0)
{HEAD}    return {RIGHT_NUMBER}
"""

VALUE_THEN_ERROR = f"""
{HEAD}    try:
        return {RIGHT_NUMBER}
    finally:
        raise ValueError("too late")
"""

TERMINAL_CODES = (
    f'{HEAD}    raise ValueError("\\x1b]0;mine\\x07\\x1b[2J\\x1b[1;32mmarked\\r\\x08")\n'
)
