"""What our marking writes serves nbgrader: its form grader, its feedback page and its export.

Everything is done as the README tells an educator, from an empty folder. Pictures: screenshots/.
"""

import csv
import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import threading
from contextlib import contextmanager
from types import SimpleNamespace

import pytest
from playwright.sync_api import expect

from cubital import cli, items
from cubital.handin.answers import read_answers
from cubital.marking.cohort.course import Course

from ..marking.rows import with_ids
from .conftest import SCREENSHOTS, picture

pytestmark = pytest.mark.browser

WORKSHEET, TEXT, FRENCH = "catheter-sizing", "sizing-reasons", "sizing-french"
LISTED = items.WORKSHEETS[WORKSHEET]
MOST = sum(item.points for item in LISTED)
# ann has no answer to what is optional, and a point less for the text
ALL_BUT_ONE = sum(item.points for item in LISTED if not item.optional) - 1
SAID = "It is only a blurred shadow; I would ask for ultrasound."
COMMENT = "Say what blurs it, too."
PATIENT_MS = 60_000
ROSTER = "id,first_name,last_name\nann,Ann,Alder\nbob,Bob,Beech\ncal,Cal,Cedar\n"
STOCK = 'c = get_config()\nc.CourseDirectory.course_id = "peripheral-access"\n'


def command(workspace, step, *more):
    """Give a step of `cubital cohort`, and return its exit status."""
    return cli.main(["cohort", step, *more, "--workspace", str(workspace)])


@contextmanager
def jupyter_lab(workspace, state):
    """Start `jupyter lab` in a folder as it comes, and give its address and token."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    token = secrets.token_hex(16)
    own = {f"JUPYTER_{name}_DIR": str(state / name) for name in ("CONFIG", "DATA", "RUNTIME")}
    own |= {"JUPYTER_TOKEN": token, "JUPYTERLAB_SETTINGS_DIR": str(state / "settings")}
    own |= {"JUPYTERLAB_WORKSPACES_DIR": str(state / "workspaces")}
    asked = ["--no-browser", "--allow-root", f"--ServerApp.port={port}"]
    asked += ["--ServerApp.port_retries=0", "--LabApp.news_url=None"]
    log = []
    with subprocess.Popen(
        [sys.executable, "-m", "jupyterlab", *asked],
        cwd=workspace,
        env=os.environ | own,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    ) as server:
        try:
            for line in server.stderr:
                log.append(line)
                if f":{port}/lab" in line:
                    break
            assert server.poll() is None, "".join(log)
            threading.Thread(target=server.stderr.read, daemon=True).start()
            yield f"http://localhost:{port}", token
        finally:
            server.terminate()


@pytest.fixture(scope="module")
def marked(desk, tmp_path_factory):
    """A cohort of three, two of whom handed in, marked by the course's own command."""
    where = tmp_path_factory.mktemp("form-grader")
    workspace = where / "spring"
    (where / "roster.csv").write_text(ROSTER, encoding="utf-8")
    assert command(workspace, "create", "--roster", str(where / "roster.csv")) == 0
    assert command(workspace, "release", WORKSHEET, "--name", "spring-2027") == 0
    course = Course(workspace)
    at = desk(course, "ann", where / "homes")
    wrong = f"{at.question(FRENCH).key.slips[0].number:.3f} Fr"
    at.answer({FRENCH: wrong, TEXT: SAID}).hand_in()
    saved = read_answers(at.folder)
    listed = items.WORKSHEETS[WORKSHEET]
    desk(course, "bob", where / "homes").hand_in()
    assert command(workspace, "collect", WORKSHEET) == 0
    assert command(workspace, "mark", WORKSHEET) == 0
    with jupyter_lab(workspace, where / "jupyter") as (address, token):
        yield SimpleNamespace(
            course=course,
            workspace=workspace,
            address=address,
            token=token,
            questions={item.id: at.question(item.id).form.question for item in listed},
            typed={
                item.id: saved.last(item.id).answer["typed"]
                for item in listed
                if item.kind == "number"
            },
            scheme=items.find(TEXT).mark_scheme,
        )


def test_a_text_is_marked_in_the_form_grader_and_the_mark_is_found_everywhere(
    marked, open_page, nbgrader, tmp_path
):
    page = open_page("about:blank")
    page.set_default_timeout(PATIENT_MS)
    page.route("**/MathJax.js*", lambda route: route.abort())  # as where there is no internet
    page.route("**/mathjax/**", lambda route: route.abort())
    frame = opened_from_lab(page, marked)
    shows_the_answers(frame, marked)
    gives(page, frame, TEXT, "2")
    comments(page, frame, TEXT, COMMENT)
    picture(page, "form-grader-text-marked")

    assert booked(marked.course)[TEXT] == (None, 2.0, False)
    before = with_ids(marked.course.workspace / "gradebook.db")
    assert COMMENT in {row["manual_comment"] for row in before["comment"]}
    told_by_the_course(marked)
    assert command(marked.workspace, "mark", WORKSHEET) == 0
    assert with_ids(marked.course.workspace / "gradebook.db") == before
    told_by_the_course(marked)

    page.goto(frame.locator("#statusmessage").evaluate("() => location.href"))
    expect(page.locator(f"#{TEXT}")).to_have_value("2")
    expect(page.locator(f"#{TEXT}")).not_to_have_class(re.compile("needs_manual_grade"))
    expect(page.locator(f"#{TEXT}-comment")).to_have_value(COMMENT)
    page.screenshot(path=SCREENSHOTS / "form-grader-page.png", full_page=True)
    without_mathjax(page)

    stock = shutil.copytree(marked.workspace, tmp_path / "stock")
    (stock / "nbgrader_config.py").write_text(STOCK, encoding="utf-8")
    nbgrader(stock, "generate_feedback", WORKSHEET, "--force")
    nbgrader(stock, "export")
    page.goto((stock / "feedback" / "ann" / WORKSHEET / f"{WORKSHEET}.html").as_uri())
    expect(page.get_by_text(f"(Score: {ALL_BUT_ONE:.1f} / {MOST:.1f})")).to_be_visible()
    expect(page.locator("body")).to_contain_text(f"Comments: {COMMENT}")
    page.screenshot(path=SCREENSHOTS / "nbgrader-feedback.png", full_page=True)
    without_mathjax(page)
    with (stock / "grades.csv").open(encoding="utf-8", newline="") as file:
        scores = {row["student_id"]: float(row["score"]) for row in csv.DictReader(file)}
    assert scores == {"ann": ALL_BUT_ONE, "bob": 0}


def opened_from_lab(page, marked):
    """Go from JupyterLab's menu to the grading view of the first hand-in, and return its frame."""
    page.goto(f"{marked.address}/lab?token={marked.token}")
    page.get_by_role("menuitem", name="Nbgrader").click()
    page.get_by_role("menuitem", name="Formgrader", exact=True).click()
    frame = page.frame_locator("iframe")
    row = frame.get_by_role("row").filter(has_text=WORKSHEET)
    expect(row.locator("td.num-submissions")).to_have_text("2")
    picture(page, "form-grader-worksheets")
    frame.get_by_role("link", name="Manual Grading").click()
    frame.get_by_role("link", name=WORKSHEET).click()
    frame.get_by_role("link", name=WORKSHEET).last.click()
    expect(frame.get_by_role("row")).to_have_count(3)
    listed = frame.get_by_role("row").filter(has_text="Submission #1")
    expect(listed).to_contain_text("28 / 33")
    picture(page, "form-grader-hand-ins")
    listed.get_by_role("link").click()
    return frame


def shows_the_answers(frame, marked):
    """Each question, answer and mark is there in words, and each field has its computed points."""
    for item in items.WORKSHEETS[WORKSHEET]:
        field = frame.locator(f"#{item.id}")
        if item.id == TEXT:
            expect(field).to_have_class(re.compile("needs_manual_grade"))
            continue
        points = 0 if item.id == FRENCH else 2
        expect(field).to_have_attribute("placeholder", str(points))
        told = frame.locator(".cell").filter(has=field).locator(".output_area dl")
        labels, words = (told.locator(tag).all_text_contents() for tag in ("dt", "dd"))
        rows = dict(zip(labels, words, strict=True))
        assert rows["Question"] == marked.questions[item.id]
        assert rows["Mark"].startswith(f"{points} of 2")
        if item.id in marked.typed:
            typed = pytest.approx(number_in(marked.typed[item.id]), rel=0.01)
            assert number_in(rows["Your answer"]) == typed
        assert rows["Your answer"] not in {"", "none saved"}
    expect(frame.get_by_text(SAID)).to_be_visible()
    for line in marked.scheme:
        expect(frame.get_by_text(line)).to_be_visible()


def number_in(words):
    """The first number in words."""
    return float(re.search(r"[\d.]+", words).group())


def gives(page, frame, item, points):
    """Type the points of an item, and leave their field."""
    field = frame.locator(f"#{item}")
    field.fill(points)
    with page.expect_response(lambda answer: "/api/grade/" in answer.url) as saved:
        field.press("Tab")
    assert saved.value.ok


def comments(page, frame, cell, words):
    """Write a comment, and leave its field."""
    field = frame.locator(f"#{cell}-comment")
    field.fill(words)
    with page.expect_response(lambda answer: "/api/comment/" in answer.url) as saved:
        field.press("Tab")
    assert saved.value.ok


def booked(course):
    """What the gradebook has of ann: points computed and given, and whether a person is asked."""
    with course.gradebook() as book:
        found = book.find_submission_notebook(WORKSHEET, WORKSHEET, "ann").grades
        return {
            row.name: (row.auto_score, row.manual_score, row.needs_manual_grade) for row in found
        }


def told_by_the_course(marked):
    """The course's own marks and feedback have the mark and the comment."""
    assert command(marked.workspace, "report", WORKSHEET) == 0
    assert command(marked.workspace, "feedback", WORKSHEET) == 0
    table = marked.workspace / "report" / WORKSHEET / "marks.csv"
    with table.open(encoding="utf-8-sig", newline="") as file:
        (ann,) = (row for row in csv.DictReader(file) if row["learner"] == "ann")
    assert (ann[TEXT], ann["total"], ann[f"{TEXT} state"]) == (
        "2",
        f"{ALL_BUT_ONE:g}",
        "marked by hand",
    )
    told = marked.course.feedback("ann", WORKSHEET).read_text(encoding="utf-8")
    assert f"{ALL_BUT_ONE:g} of {MOST:g} points" in told
    assert COMMENT in told


def without_mathjax(page):
    """Pass over what nbgrader's pages say where MathJax cannot be loaded, and what any JupyterLab
    says where the parts are installed that sites are built of."""
    page.errors[:] = [
        error
        for error in page.errors
        if error not in {"MathJax is not defined", "Failed to load resource: net::ERR_FAILED"}
        and "Shared module @jupyterlite/" not in error
    ]
