"""The page in a real browser: filtering, searching, opening, and who can use it."""

from dataclasses import replace
from io import BytesIO

import pytest
from axe_playwright_python.sync_playwright import Axe
from pypdf import PdfReader

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.change import Change, ChangeKind, Changes
from modelcheck.model.element import NotUnderstood
from modelcheck.model.finding import BOX_CHECKS, Outcome
from modelcheck.model.whereabouts import Whereabouts
from tests.browser.conftest import launched
from tests.browser.large_report import large_report
from tests.unit.write.reports import (
    BOX,
    bends_finding,
    box_row,
    entry_row,
    finding,
    ref,
    report,
    run,
    run_row,
)

SIZES = [(390, 844), (1024, 768), (1366, 768), (1920, 1080)]
VIEWS = ("working", "plan", "space")
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}${alert(3)}"


def rows_of(page):
    return page.locator("#rows tbody tr").evaluate_all("rows => rows.map(row => row.dataset.id)")


def chosen_id(page):
    return page.locator("#rows tr.chosen").get_attribute("data-id")


def wait_for_row(page, row):
    page.wait_for_selector(f"#rows tr.chosen[data-id='{row}']", timeout=5000)


def focused(page):
    return page.evaluate("document.activeElement.id || document.activeElement.textContent")


def ids(findings):
    return {each.id for each in findings}


def first(the_report, check, outcome=Outcome.FAIL):
    return next(
        each for each in the_report.findings if (each.check, each.outcome) == (check, outcome)
    )


def test_filters_leave_the_rows_that_they_name(look, sample, sample_report):
    page = look(sample)
    page.uncheck("[name=outcome][value=pass]")
    page.uncheck("[name=outcome][value='needs-input']")
    fails = [each for each in sample_report.findings if each.outcome is Outcome.FAIL]
    assert set(rows_of(page)) == ids(fails)
    page.select_option("[name=model]", "dome.ifc")
    in_dome = [each for each in fails if each.subject.model == "dome.ifc"]
    assert 0 < len(in_dome) < len(fails)
    assert set(rows_of(page)) == ids(in_dome)
    page.select_option("[name=check]", label="Bends between pull points")
    bends = [each for each in in_dome if each.check == "bends-between-pull-points"]
    assert set(rows_of(page)) == ids(bends)
    page.click("text=Clear filters")
    assert f"{len(sample_report.findings)} of" in page.inner_text("#shown")


def test_the_size_filter_leaves_rows_about_raceways_of_that_size(look, sample, sample_report):
    page = look(sample)
    page.select_option("[name=size]", "78 (3)")
    page.click("#more") if page.locator("#more").count() else None
    sizes = {
        (entry.entry.box.key, entry.entry.conduit.key): entry.entry.size.trade_size_in
        for entry in sample_report.entries
    }
    about = [
        each
        for each in sample_report.findings
        if each.check in BOX_CHECKS
        and "3" in {sizes.get((each.subject.key, part.key)) for part in each.elements}
    ]
    assert about
    of_boxes = {each for each in rows_of(page) if each.startswith(BOX_CHECKS)}
    assert of_boxes == ids(about)


@pytest.mark.parametrize("kind", ["name", "guid"])
def test_search_finds_a_row_by_any_of_its_elements(look, sample, sample_report, kind):
    page = look(sample)
    wanted = getattr(first(sample_report, "bends-between-pull-points").elements[1], kind)
    page.fill("[name=search]", wanted.lower())
    found = set(rows_of(page))
    holding = [
        each
        for each in sample_report.findings
        if wanted in {getattr(part, kind) for part in (each.subject, *each.elements)}
    ]
    assert ids(holding) <= found
    assert len(found) < len(sample_report.findings) / 2


def test_search_finds_a_tag_and_says_when_nothing_is_found(look, written):
    tagged = replace(BOX, tag="T-4711")
    page = look(written(report(findings=(finding(subject=tagged), bends_finding()))))
    page.fill("[name=search]", "t-4711")
    assert rows_of(page) == [finding(subject=tagged).id]
    page.fill("[name=search]", "no such thing")
    assert page.inner_text("#shown") == "No row fits these filters."


def test_rows_are_sorted_by_what_is_short(look, sample):
    page = look(sample)
    page.click("th[data-key=short] button")
    page.click("th[data-key=short] button")
    assert page.get_attribute("th[data-key=short]", "aria-sort") == "descending"
    cells = page.locator("#rows td.col-short").all_inner_texts()
    shown = [float(text.split()[0]) for text in cells if text]
    assert len(shown) > 3
    assert shown == sorted(shown, reverse=True)


def test_a_link_opens_its_row_with_working_and_drawing(look, sample, sample_report):
    wanted = first(sample_report, "straight-pull-length")
    page = look(sample, wanted.id)
    assert chosen_id(page) == wanted.id
    assert page.inner_text(".arithmetic") == wanted.working
    drawing = page.locator("svg.drawing")
    assert f"required {wanted.required:g} mm" in drawing.text_content()
    assert f"provided {wanted.provided:g} mm" in drawing.text_content()
    assert all(text in page.inner_text("#working") for text in wanted.assumptions)
    assert wanted.element_guids[0] in page.inner_text("#working")
    assert page.evaluate("document.activeElement.id") == "chosen-title"


def test_the_drawn_dimensions_are_to_scale(look, sample, sample_report):
    wanted = first(sample_report, "straight-pull-length")
    page = look(sample, wanted.id)
    lengths = page.evaluate(
        """() => Object.fromEntries(["has", "needs"].map((kind) => {
            const line = document.querySelector(`.dimension polyline.${kind}:not(.stroke)`);
            return [kind, line.getTotalLength()];
        }))"""
    )
    assert lengths["needs"] / lengths["has"] == pytest.approx(
        wanted.required / wanted.provided, rel=0.01
    )


def test_a_run_is_drawn_with_each_bend_and_the_running_total(look, sample, sample_report):
    wanted = first(sample_report, "bends-between-pull-points")
    page = look(sample, wanted.id)
    drawn = page.locator("svg.drawing").text_content()
    assert f"Σ {wanted.provided:g}°" in drawn
    assert page.locator("svg.drawing circle.bend").count() == 5
    assert "5 x 90 = 450 deg" in page.inner_text("#working")
    assert "P1" in drawn


def test_a_link_to_a_row_that_is_not_there_says_so(look, sample):
    page = look(sample, "entry-spacing-000000000000")
    assert "entry-spacing-000000000000" in page.inner_text("#chosen")


def test_everything_can_be_reached_by_keys_and_focus_comes_back(look, sample):
    page = look(sample)
    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the findings"
    page.keyboard.press("Enter")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("Boolean(document.activeElement.closest('#rows tbody'))"):
            break
    order = rows_of(page)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    wait_for_row(page, order[2])
    assert page.evaluate("document.activeElement.id") == "chosen-title"
    ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert ring == "solid"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.closest('tr').dataset.id") == order[2]
    page.keyboard.press("End")
    assert page.evaluate("document.activeElement.closest('tr').dataset.id") == order[-1]


def test_the_views_are_tabs_for_the_arrow_keys(look, sample):
    page = look(sample)
    page.focus("#tab-working")
    page.keyboard.press("ArrowRight")
    assert page.is_visible("#plan canvas")
    assert focused(page) == "tab-plan"
    page.keyboard.press("ArrowRight")
    assert page.is_visible("#space canvas.scene")
    assert page.get_attribute("#tab-space", "aria-selected") == "true"


@pytest.mark.parametrize("view", ["plan", "space"])
def test_a_click_in_a_view_selects_the_row_of_the_box(look, sample, sample_report, view):
    wanted, other = (
        first(sample_report, check) for check in ("straight-pull-length", "run-continuity")
    )
    page = look(sample, wanted.id)
    page.click(f"#tab-{view}")
    page.click(f"#{view} >> text=Show selected")
    page.click(f"#rows tr[data-id='{other.id}'] a")
    wait_for_row(page, other.id)
    page.wait_for_timeout(100)
    page.click(f"#{view} canvas.scene")
    page.wait_for_selector(f"#rows tr.chosen:not([data-id='{other.id}'])")
    chosen = next(each for each in sample_report.findings if each.id == chosen_id(page))
    assert chosen.subject == wanted.subject
    assert page.is_visible(f"#{view}")


@pytest.mark.parametrize("view", ["plan", "space"])
def test_a_view_is_drawn_and_follows_keys(look, sample, view):
    page = look(sample)
    page.click(f"#tab-{view}")
    page.evaluate("document.querySelector('.overlay')?.remove()")  # shapes over what is drawn
    canvas = page.locator(f"#{view} canvas.scene")
    pictures = []
    for key in ("0", "+", "ArrowLeft"):
        canvas.press(key)
        page.wait_for_timeout(200)
        pictures.append(canvas.screenshot())
    assert len(set(pictures)) == len(pictures)


def test_without_drawing_in_space_the_page_says_so_and_does_the_rest(driver, sample):
    browser = launched(driver, "--disable-gpu", "--disable-3d-apis")
    page = browser.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(sample.as_uri())
    page.click("#tab-space")
    assert "can't draw in space" in page.inner_text("#space")
    page.click("#tab-plan")
    page.click("#rows tbody tr:nth-child(3) a")
    assert page.locator("#rows tr.chosen").count() == 1
    assert said == []
    browser.close()


def hostile_report():
    box, conduit = (replace(each, name=HOSTILE, guid=HOSTILE) for each in (BOX, ref("1CON", 20)))
    where = Whereabouts(storey=HOSTILE, space=HOSTILE, grid=HOSTILE, system=HOSTILE, trade=HOSTILE)
    accepted = Acceptance(by=HOSTILE, on=HOSTILE, why=HOSTILE)
    told = {"message": HOSTILE, "working": HOSTILE, "clause": HOSTILE, "where": where}
    line = ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    return report(
        inputs=(replace(report().inputs[0], model=HOSTILE, project=HOSTILE, dated=HOSTILE),),
        findings=(
            finding(subject=box, elements=(conduit,), assumptions=(HOSTILE,), **told),
            finding(subject=box, serial=2, accepted=accepted),
            bends_finding(subject=conduit, elements=(conduit,), **told),
        ),
        runs=(run_row(run=run(name=HOSTILE, elements=(conduit,), centreline=line)),),
        boxes=(box_row(enclosure=replace(box_row().enclosure, ref=box)),),
        entries=(entry_row(),),
        not_understood=(NotUnderstood(ref=box, reason=HOSTILE, remedy=HOSTILE),),
        notes=(HOSTILE,),
        unchecked_figures=(HOSTILE,),
    )


def test_names_that_are_programs_are_shown_and_not_run(look, written):
    page = look(written(hostile_report()))
    for fold in page.locator("#head summary").all():
        fold.click()
    for view in VIEWS:
        page.click(f"#tab-{view}")
        for row in page.locator("#rows tbody tr").all():
            row.click()
    page.fill("[name=search]", HOSTILE)
    page.click("#tab-working")
    assert HOSTILE in page.inner_text("#rows")
    assert page.locator("#rows img, #sheet img, #head img").count() == 0
    assert page.locator("script").count() == 4


@pytest.mark.parametrize(
    ("theme", "size"), [("light", (1366, 768)), ("dark", (390, 844))], ids=["light", "dark"]
)
def test_axe_finds_nothing_in_any_view(look, sample, sample_report, theme, size):
    page = look(sample, first(sample_report, "entry-spacing").id, theme=theme, size=size)
    for fold in page.locator("#head summary").all():
        fold.click()
    page.uncheck("[name=outcome][value=pass]")
    bends = first(sample_report, "bends-between-pull-points").id
    assert_accessible(page)
    for view in ("plan", "space"):
        page.click(f"#tab-{view}")
        assert_accessible(page, "#sheet")
    page.click("#tab-working")
    page.click(f"#rows a[href='#{bends}']")
    wait_for_row(page, bends)
    assert_accessible(page, "#sheet")


def assert_accessible(page, part=None):
    found = Axe().run(page, context=part)
    assert found.violations_count == 0, found.generate_report()


def test_the_theme_is_the_systems_until_one_is_chosen(look, sample):
    page = look(sample, theme="dark")
    paper = "getComputedStyle(document.body).backgroundColor"
    dark = page.evaluate(paper)
    page.select_option("#theme", "light")
    light = page.evaluate(paper)
    assert light != dark
    page.reload()
    assert page.evaluate(paper) == light


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_no_word_of_a_check_is_broken(look, sample, size):
    page = look(sample, size=size)
    lines = page.locator("#rows td.col-check").evaluate_all(
        """cells => cells.flatMap(cell => [...cell.textContent.matchAll(/\\S+/g)].map(word => {
            const range = document.createRange();
            range.setStart(cell.firstChild, word.index);
            range.setEnd(cell.firstChild, word.index + word[0].length);
            return [word[0], range.getClientRects().length];
        }))"""
    )
    assert "Continuity" in {word for word, _ in lines}
    assert [word for word, count in lines if count > 1] == []


def test_the_selected_box_is_ringed_in_space(look, sample, sample_report):
    page = look(sample, first(sample_report, "entry-spacing").id)
    page.click("#tab-space")
    page.wait_for_timeout(300)
    ringed = """() => {
        const canvas = document.querySelector("canvas.overlay");
        const [r, g, b] = getComputedStyle(document.documentElement).getPropertyValue("--link")
            .trim().match(/[0-9a-f]{2}/gi).map(part => parseInt(part, 16));
        const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
        let count = 0;
        for (let at = 0; at < data.length; at += 4) {
            count += [r, g, b, 255].every((part, along) => data[at + along] === part);
        }
        return count;
    }"""
    assert page.evaluate(ringed) > 50
    bends = first(sample_report, "bends-between-pull-points").id
    page.evaluate("id => { location.hash = id }", bends)
    page.wait_for_timeout(300)
    assert page.evaluate(ringed) == 0


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_nothing_hangs_over_the_side_in_any_size(look, sample, sample_report, size):
    page = look(sample, first(sample_report, "entry-spacing").id, size=size)
    for view in VIEWS:
        page.click(f"#tab-{view}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_targets_are_large_enough_to_hit(look, sample):
    """24 by 24 pixels: WCAG 2.2, success criterion 2.5.8."""
    page = look(sample, size=(390, 844))
    sizes = page.locator("button:visible, select:visible, #rows a, summary:visible").evaluate_all(
        "all => all.map(each => [each.textContent, each.getBoundingClientRect().height])"
    )
    assert [each for each in sizes if each[1] < 24] == []


def test_all_rows_are_printed(look, written):
    boxes = [
        replace(BOX, name=f"Box {number}", guid=f"B{number}", step_id=1000 + number)
        for number in range(130)
    ]
    page = look(written(report(findings=tuple(finding(subject=box) for box in boxes))))
    assert page.locator("#rows tbody tr").count() < 130
    pages = PdfReader(BytesIO(page.pdf())).pages
    text = " ".join("\n".join(each.extract_text() for each in pages).split())
    assert all(box.name in text for box in boxes)
    assert "a licensed person decides" in text


def test_the_plan_of_a_storey_shows_what_is_on_it(look, written):
    boxes = [
        box_row(
            enclosure=replace(
                box_row().enclosure,
                ref=replace(BOX, step_id=number, guid=f"B{number}", name=f"Box {number}"),
                inside_m=(0.6, 0.4, 0.2),
                origin=(10.0 * number, 0.0, 4.0 * number),
            ),
            where=Whereabouts(storey=f"Level {number}", storey_elevation_m=4.0 * number),
        )
        for number in (1, 2)
    ]
    rows = tuple(finding(subject=box.enclosure.ref, where=box.where) for box in boxes)
    page = look(written(report(findings=rows, boxes=tuple(boxes), runs=())))
    page.click("#tab-plan")
    names = page.locator("#plan select.storey option").all_inner_texts()
    assert names == ["whole project", "Level 2", "Level 1"]
    for box, row in zip(boxes, rows, strict=True):
        page.select_option("#plan select.storey", box.where.storey)
        page.click("#plan canvas.scene")  # the only box of the storey stands in the middle
        wait_for_row(page, row.id)


def test_where_it_is_can_be_filtered_and_accepted_rows_stay_apart(look, written):
    where = Whereabouts(storey="Level 2", space="Plant room", grid="B/3", height_m=2.4)
    accepted = Acceptance(by="A. Engineer", on="2026-01-05", why="box is there since 1990")
    rows = (
        finding(where=where),
        finding(serial=2, accepted=accepted, where=Whereabouts(storey="Level 1")),
    )
    page = look(written(report(findings=rows)))
    page.select_option("[name=storey]", "Level 2")
    assert rows_of(page) == [rows[0].id]
    assert "Plant room" in page.inner_text("#working")
    page.click("text=Clear filters")
    page.uncheck("[name=outcome][value=fail]")
    assert rows_of(page) == [rows[1].id]
    page.click("#rows a")
    wait_for_row(page, rows[1].id)
    assert "A. Engineer" in page.inner_text("#working")
    assert "Failing rows that are accepted: 1" in page.inner_text("#head")


def test_a_large_project_makes_a_page_that_can_be_sent(look, written):
    path = written(large_report(elements=20_000, boxes=500))
    assert path.stat().st_size < 8_000_000
    page = look(path)
    page.fill("[name=search]", "pb-499")
    assert len(rows_of(page)) == 1
    page.click("#tab-space")
    assert page.is_visible("#space canvas.scene")


def test_what_changed_can_be_filtered_and_leads_to_its_row(look, written):
    rows = (finding(), finding(serial=2))
    change = Change(
        kind=ChangeKind.NEW,
        finding=rows[1].id,
        model="plant.ifc",
        check=rows[1].check,
        subject_guid=BOX.guid,
        subject_name=BOX.name,
        outcome="fail",
        why=("the box shrank",),
    )
    changes = Changes(since="last-week", rows=(change,), same=1)
    page = look(written(report(findings=rows, changes=changes)))
    page.select_option("[name=change]", "new")
    assert rows_of(page) == [rows[1].id]
    page.click("text=What changed since last-week")
    page.click("#head a")
    wait_for_row(page, rows[1].id)
    assert "the box shrank" in page.inner_text("#working")
