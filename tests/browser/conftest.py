"""A browser without a screen and without a network, and pages of real and of made-up reports."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from modelcheck.pipeline.check import check
from modelcheck.pipeline.request import Request
from modelcheck.write.review.page import review_html

CHROMIUM = Path("/usr/bin/chromium")
SAMPLES = Path(__file__).parents[2] / "sample_models"
QUIET = ("--no-sandbox", "--disable-background-networking", "--disable-component-update")
IN_SPACE = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")


def launched(driver, *more):
    return driver.chromium.launch(executable_path=str(CHROMIUM), args=[*QUIET, *more])


@pytest.fixture(scope="session")
def driver():
    if not CHROMIUM.exists():
        if os.environ.get("MODELCHECK_NEED_BROWSER"):
            pytest.fail(f"there is no {CHROMIUM}: apt-get install chromium")
        pytest.skip(f"there is no {CHROMIUM}: apt-get install chromium to run these tests")
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(driver):
    opened = launched(driver, *IN_SPACE)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def sample_report():
    return check(Request(models=[SAMPLES / "dome.ifc", SAMPLES / "control-house.ifc"]))


@pytest.fixture(scope="session")
def sample(sample_report, tmp_path_factory):
    """Page of two sample models."""
    path = tmp_path_factory.mktemp("review") / "review.html"
    path.write_text(review_html(sample_report), encoding="utf-8")
    return path


class Watched:
    """A page, what it said on its console and what it asked for."""

    def __init__(self, page):
        self.page, self.said, self.asked = page, [], []
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("dialog", lambda dialog: (self.said.append(dialog.message), dialog.dismiss()))
        page.on("request", lambda request: self.asked.append(request.url))

    def assert_quiet(self):
        assert self.said == []
        assert {url.partition("#")[0] for url in self.asked} <= {self.page.url.partition("#")[0]}


@pytest.fixture
def look(browser):
    """Open a page at an address, in a theme and a size; whatever it says or asks for is a fault."""
    contexts, watched = [], []

    def opened(path, row="", *, theme="light", size=(1366, 768)):
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, color_scheme=theme, offline=True
        )
        contexts.append(context)
        watched.append(Watched(context.new_page()))
        page = watched[-1].page
        page.goto(path.as_uri() + (f"#{row}" if row else ""))
        return page

    yield opened
    for each in watched:
        each.assert_quiet()
    for context in contexts:
        context.close()


@pytest.fixture
def written(tmp_path):
    """Write the page of a report made by hand."""

    def path_of(report):
        path = tmp_path / "review.html"
        path.write_text(review_html(report), encoding="utf-8")
        return path

    return path_of
