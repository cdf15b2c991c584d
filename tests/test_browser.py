# SPDX-License-Identifier: MIT
"""The page of an issued set in a real browser, opened from disk: headless Chromium, driven with selenium.

`.ci/run` installs the browser and sets SLD_TEST_BROWSER, so that nothing is skipped there. With SLD_SCREENSHOTS set to a folder,
pictures of what was tested are left in it, to be looked at.
"""
from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from math import hypot
from pathlib import Path
from typing import Any

import pytest
import sites
from sld.cli import main

NEEDED = bool(os.environ.get("SLD_TEST_BROWSER"))
if not NEEDED:
    pytest.importorskip("selenium")
from selenium import webdriver  # noqa: E402
from selenium.webdriver import ActionChains, Keys  # noqa: E402
from selenium.webdriver.common.by import By  # noqa: E402
from selenium.webdriver.remote.webelement import WebElement  # noqa: E402

BROWSER, DRIVER = (shutil.which(name) for name in ("chromium", "chromedriver"))
if not (BROWSER and DRIVER) and not NEEDED:
    pytest.skip("no chromium here", allow_module_level=True)
ROOT = Path(__file__).parents[1]
HOSTILE = "</script><script>window.hacked=1</script><img src=x onerror=window.hacked=1>"


@pytest.fixture(scope="module")
def driver() -> Iterator[Any]:
    assert BROWSER and DRIVER, "chromium and chromium-driver are not installed"
    options = webdriver.ChromeOptions()
    options.binary_location = BROWSER
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--window-size=1500,1100",
                 "--disable-background-networking", "--disable-component-update", "--no-first-run"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    made = webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))
    yield made
    made.quit()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The boathouse, issued, with a finding that names objects."""
    where = tmp_path_factory.mktemp("set")
    text = (ROOT / "gallery/boathouse/site.yaml").read_text(encoding="utf-8")
    (where / "site.yaml").write_text(text.replace("terminators: [BA1, BAT2]", "terminators: [BA1, BAT1]"), encoding="utf-8")
    assert main(["issue", str(where / "site.yaml"), "-o", str(where)]) == 0
    return where / "HPB-E-001_A"


@pytest.fixture
def page(driver: Any, folder: Path) -> Iterator[Any]:
    """The page, freshly opened; afterwards: no error on its console, no request but for itself."""
    driver.get_log("performance"), driver.get_log("browser")
    driver.get((folder / "index.html").as_uri())
    yield driver
    check_silence(driver)


def check_silence(driver: Any) -> None:
    assert [line for line in driver.get_log("browser") if line["level"] in ("SEVERE", "WARNING")] == []
    events = [json.loads(line["message"])["message"] for line in driver.get_log("performance")]
    asked = [e["params"]["request"]["url"] for e in events if e["method"] == "Network.requestWillBeSent"]
    assert asked and [url for url in asked if not url.startswith("data:") and not (url.startswith("file:") and url.endswith("/index.html"))] == []


def one(page: Any, selector: str) -> WebElement:
    return page.find_element(By.CSS_SELECTOR, selector)


def all_of(page: Any, selector: str) -> list[WebElement]:
    return page.find_elements(By.CSS_SELECTOR, selector)


def tab(page: Any, name: str) -> None:
    next(t for t in all_of(page, "[role=tab]") if t.text == name).click()


def row(page: Any, panel: str, id_: str) -> WebElement:
    return one(page, f'#list-{panel} tr[data-ids="{id_}"]')


def symbol(page: Any, id_: str, sheet: int = 1) -> WebElement:
    return one(page, f'#sheet-{sheet} .symbol[data-id="{id_}"]')


def lit(page: Any, element: WebElement) -> bool:
    return "lit" in (element.get_attribute("class") or "").split()


def view_box(page: Any, sheet: int = 1) -> list[float]:
    return [float(v) for v in one(page, f"#sheet-{sheet} svg").get_dom_attribute("viewBox").split()]


def point_at(page: Any, element: WebElement) -> None:
    ActionChains(page).move_to_element(element).perform()


def picture(page: Any, name: str) -> None:
    if where := os.environ.get("SLD_SCREENSHOTS"):
        page.save_screenshot(str(Path(where) / f"{name}.png"))


def test_the_cautions_head_the_page(page: Any) -> None:
    box = one(page, ".caution")
    assert box.is_displayed() and "several sources" in box.text and "licensed person" in box.text and "NOT FOR ENERGISING" in box.text
    assert box.location["y"] + box.size["height"] < one(page, "#drawings").location["y"]
    assert not any("complies" in page.page_source.lower() for _ in "x")
    picture(page, "start")


def test_a_drawing_pans_and_zooms_with_pointer_wheel_and_buttons(page: Any) -> None:
    whole = view_box(page)
    one(page, "#zoom-in").click()
    near = view_box(page)
    assert near[2] == pytest.approx(whole[2] / 1.25, rel=1e-3) and near[3] / near[2] == pytest.approx(whole[3] / whole[2], rel=1e-3)
    view = one(page, "#sheet-1 .view")
    ActionChains(page).drag_and_drop_by_offset(view, -100, -40).perform()
    moved = view_box(page)
    assert moved[0] > near[0] and moved[1] > near[1] and moved[2:] == near[2:]
    ActionChains(page).scroll_from_origin(ScrollFrom(view), 0, -300).perform()
    assert view_box(page)[2] < moved[2]
    one(page, "#zoom-all").click()
    assert view_box(page) == whole


def ScrollFrom(view: WebElement) -> Any:  # noqa: N802
    from selenium.webdriver.common.actions.wheel_input import ScrollOrigin

    return ScrollOrigin.from_element(view)


def test_a_drawing_pans_and_zooms_with_the_keyboard(page: Any) -> None:
    view, whole = one(page, "#sheet-1 .view"), view_box(page)
    view.send_keys("+")
    assert view_box(page)[2] < whole[2]
    near = view_box(page)
    view.send_keys(Keys.ARROW_RIGHT)
    assert view_box(page)[0] > near[0]
    view.send_keys("0")
    assert view_box(page) == whole


def test_pointing_at_a_row_lights_the_object_and_clicking_goes_to_it(page: Any) -> None:
    tab(page, "Sensor schedule")
    line = row(page, "sensors", "CT2")
    point_at(page, line)
    assert lit(page, line) and lit(page, symbol(page, "CT2")) and not lit(page, symbol(page, "CT1"))
    picture(page, "row")
    line.click()
    assert view_box(page)[2] < 300
    point_at(page, one(page, "#search"))
    assert lit(page, symbol(page, "CT2"))  # it stays lit until something else is chosen
    picture(page, "chosen")
    page.switch_to.active_element.send_keys(Keys.ESCAPE)
    assert not lit(page, symbol(page, "CT2"))


def test_pointing_at_an_object_lights_its_rows_and_clicking_goes_to_them(page: Any) -> None:
    tab(page, "Circuit schedule")
    point_at(page, symbol(page, "CT3"))
    assert lit(page, row(page, "sensors", "CT3")) and not lit(page, row(page, "sensors", "CT2"))
    symbol(page, "CT3").click()
    assert row_of(page, "circuits", "SB.3").is_displayed()  # the list that is open speaks of it too
    assert one(page, "#said b").text == "CT3"
    next(b for b in all_of(page, "#said button") if b.text == "Sensor schedule").click()
    assert row(page, "sensors", "CT3").is_displayed()
    tab(page, "Bus schedule")
    symbol(page, "SB.7.breaker").click()
    assert row_of(page, "circuits", "SB.7").is_displayed()
    picture(page, "object")


def test_a_wire_is_lit_with_its_cable(page: Any) -> None:
    tab(page, "Cable schedule")
    point_at(page, row(page, "cables", "W2"))
    wire = one(page, '#sheet-1 .wire[data-id="W2"] polyline')
    assert lit(page, one(page, '#sheet-1 .wire[data-id="W2"]'))
    assert page.execute_script("return getComputedStyle(arguments[0]).stroke", wire) == "rgb(11, 79, 158)"


def test_a_finding_lights_all_objects_that_it_names(page: Any) -> None:
    tab(page, "Findings")
    line = one(page, "#list-findings .scroll tbody tr")
    ids = line.get_attribute("data-ids").split()
    point_at(page, line)
    drawn = [group for id_ in ids for group in all_of(page, f'svg [data-id="{id_}"]')]
    assert len(drawn) > 1 and all(lit(page, group) for group in drawn)


def test_a_circuit_is_lit_as_its_devices_and_cable(page: Any) -> None:
    tab(page, "Circuit schedule")
    line = row_of(page, "circuits", "MSB.7")
    point_at(page, line)
    assert lit(page, symbol(page, "MSB.7.rcbo")) and lit(page, one(page, 'svg .wire[data-id="MSB.7.cable"]'))
    point_at(page, symbol(page, "MSB.5.rcbo"))
    assert lit(page, row_of(page, "circuits", "MSB.5")) and not lit(page, line)


def row_of(page: Any, panel: str, id_: str) -> WebElement:
    """The row whose first id it is."""
    return one(page, f'#list-{panel} tr[data-ids^="{id_} "]')


def test_lists_filter_and_sort(page: Any) -> None:
    tab(page, "Cable schedule")
    rows = all_of(page, "#list-cables .scroll tbody tr")
    box = one(page, "#list-cables .filter")
    box.send_keys("xlpe new")
    seen = [r for r in rows if r.is_displayed()]
    assert 0 < len(seen) < len(rows) and all("XLPE" in r.text and "new" in r.text for r in seen)
    assert one(page, "#list-cables .count").text == f"{len(seen)} of {len(rows)}"
    picture(page, "filtered")
    box.send_keys(Keys.CONTROL + "a" + Keys.NULL, Keys.DELETE)
    heads = [h.text for h in all_of(page, "#list-cables th")]
    column = heads.index("length [m]")
    for direction in ("ascending", "descending"):
        all_of(page, "#list-cables th button")[column].click()
        numbers = [float(r.find_elements(By.TAG_NAME, "td")[column].text) for r in all_of(page, "#list-cables .scroll tbody tr")]
        assert numbers == sorted(numbers, reverse=direction == "descending")
        assert all_of(page, "#list-cables th")[column].get_attribute("aria-sort") == direction
    all_of(page, "#list-cables th button")[column].click()
    assert [r.id for r in all_of(page, "#list-cables .scroll tbody tr")] == [r.id for r in rows]


def test_search_finds_an_id_and_shows_where_it_is(page: Any) -> None:
    one(page, "body").send_keys("/")
    page.switch_to.active_element.send_keys("bat")
    assert [i.find_element(By.TAG_NAME, "b").text for i in all_of(page, "#found li")][:2] == ["BAT1", "BAT2"]
    picture(page, "search")
    page.switch_to.active_element.send_keys(Keys.ARROW_DOWN, Keys.ENTER)
    assert lit(page, symbol(page, "BAT2")) and "BAT2" in one(page, "#said").text
    box, place = view_box(page), page.execute_script("const b=arguments[0].getBBox();return [b.x,b.y]", symbol(page, "BAT2"))
    assert box[0] < place[0] < box[0] + box[2] and box[1] < place[1] < box[1] + box[3]
    one(page, "#search").send_keys(Keys.CONTROL + "a" + Keys.NULL, "nothing of this name")
    assert "no id" in one(page, "#found").text


def test_everything_can_be_reached_and_done_with_the_keyboard(page: Any) -> None:
    seen = []
    for _ in range(60):
        page.switch_to.active_element.send_keys(Keys.TAB)
        active = page.switch_to.active_element
        seen.append((active.tag_name, active.get_attribute("id") or active.get_attribute("class") or active.text))
        if active.tag_name == "g":
            first = active.get_attribute("data-id")
            assert lit(page, active)
            active.send_keys(Keys.ARROW_RIGHT)
            assert page.switch_to.active_element.get_attribute("data-id") != first
            page.switch_to.active_element.send_keys(Keys.ENTER)
        if active.tag_name == "tr":
            active.send_keys(Keys.ARROW_DOWN)
            below = page.switch_to.active_element
            assert below != active and lit(page, below)
            break
    kinds = [kind for kind, _ in seen]
    assert ("input", "search") in seen and {"button", "div", "g", "input", "tr"} <= set(kinds)


def test_any_column_is_sorted_with_the_keyboard(page: Any) -> None:
    tab(page, "Cable schedule")
    first = one(page, "#list-cables .scroll th button")
    page.execute_script("arguments[0].focus()", first)
    page.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
    page.switch_to.active_element.send_keys(Keys.END)
    assert page.switch_to.active_element == all_of(page, "#list-cables .scroll th button")[-1]
    page.switch_to.active_element.send_keys(Keys.ENTER)
    assert all_of(page, "#list-cables .scroll th")[-1].get_attribute("aria-sort") == "ascending"
    assert [b.get_attribute("tabindex") for b in all_of(page, "#list-cables .scroll th button")].count("0") == 1


def test_a_printed_page_has_every_drawing_and_every_list(page: Any, tmp_path: Path) -> None:
    """Chromium's own print-out, read by pdftotext's library of choice here: pypdf."""
    import base64
    import io

    from pypdf import PdfReader

    one(page, "#zoom-in").click()
    box = one(page, "#list-circuits .filter")
    box.send_keys("nothing")
    data = base64.b64decode(page.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"])
    (tmp_path / "p.pdf").write_bytes(data)
    if where := os.environ.get("SLD_SCREENSHOTS"):
        (Path(where) / "print.pdf").write_bytes(data)
    text = "\n".join(p.extract_text() for p in PdfReader(io.BytesIO(data)).pages)
    for words in ("several sources", "Circuit schedule", "MSB.7", "Sensor schedule", "CT3", "INV1.trunk", "Findings", "Single-line diagram", "Bus diagram"):
        assert words in text
    assert "Whole sheet" not in text


def height(cm: list[float], tm: list[float]) -> float:
    """Of letters set upright or sideways: the length of what their matrices make of the unit upwards (ISO 32000-1, 8.3)."""
    return hypot(tm[2] * cm[0] + tm[3] * cm[2], tm[2] * cm[1] + tm[3] * cm[3])


def print_out(page: Any) -> list[list[tuple[str, float]]]:
    """Chromium's own print-out: for each page its pieces of text with their height in points."""
    import base64
    import io

    from pypdf import PdfReader

    data = base64.b64decode(page.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"])
    found = []
    for one_page in PdfReader(io.BytesIO(data)).pages:
        pieces: list[tuple[str, float]] = []
        one_page.extract_text(visitor_text=lambda text, cm, tm, _font, size, into=pieces: into.append((text, height(cm, tm) * size)))
        found.append(pieces)
    return found


def test_the_first_printed_page_says_what_follows_and_what_was_found(page: Any) -> None:
    first = "".join(text for text, _ in print_out(page)[0])
    for words in ("several sources", "prove dead", "Single-line diagram", "Circuit schedule", "error", "Profile: au of", "a licensed person must verify"):
        assert words in first


def test_a_list_that_goes_on_over_printed_pages_has_its_heading_on_each(page: Any) -> None:
    pages = ["".join(text for text, _ in pieces) for pieces in print_out(page)]
    starts = [n for n, text in enumerate(pages) if "Inspection and test record" in text and n]
    going_on = [text for text in pages[starts[0] + 1:] if "live:" in text]
    assert going_on and all("instrument" in text and "expected" in text for text in going_on)


def test_wide_schedules_print_in_parts_that_can_be_read(page: Any) -> None:
    """7 points is the least that common practice prints a table in (no source); paper is A3."""
    pieces = [piece for piece in (piece for pieces in print_out(page)[1:] for piece in pieces) if piece[0].strip()]
    words = "".join(text for text, _ in pieces)
    assert "Circuit schedule: computed values" in words and "Cable schedule: computed values" in words
    listed = [size for text, size in pieces if "MSB.7" in text or "disconnection" in text]
    assert listed and min(listed) >= 7.0 - 0.05


def test_what_a_list_has_to_say_first_leaves_the_table_in_sight(page: Any) -> None:
    tab(page, "Cable schedule")
    notes = one(page, "#list-cables details")
    lines = notes.find_elements(By.TAG_NAME, "p")
    assert len(lines) > 2 and not any(line.is_displayed() for line in lines) and notes.text
    notes.find_element(By.TAG_NAME, "summary").send_keys(Keys.ENTER)
    assert all(line.is_displayed() for line in lines)
    page.refresh()
    text = printed(page)
    assert all(line.get_attribute("textContent").split()[0] in text for line in all_of(page, "#list-cables details p"))


def printed(page: Any) -> str:
    """Text of Chromium's own print-out, without the white space."""
    import base64
    import io

    from pypdf import PdfReader

    data = base64.b64decode(page.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"])
    return "".join("".join(p.extract_text().split()) for p in PdfReader(io.BytesIO(data)).pages)


@pytest.mark.parametrize(("width", "height"), [(390, 800), (1280, 800)])
def test_many_sheets_leave_room_for_the_drawing_on_a_small_screen(driver: Any, tmp_path: Path, width: int, height: int) -> None:
    text = sites.site(5, 400, 3) + "drawing: {number: R-1, status: for tender, revisions: [{rev: A, date: 2026-01-01}]}\n"
    (tmp_path / "site.yaml").write_text(text, encoding="utf-8")
    assert main(["issue", str(tmp_path / "site.yaml"), "-o", str(tmp_path)]) == 0
    driver.get_log("performance"), driver.get_log("browser")
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500})
    try:
        driver.get((tmp_path / "R-1_A/index.html").as_uri())
        sheets = all_of(driver, "figure")
        assert len(sheets) > 10 and driver.execute_script("return document.documentElement.scrollWidth") <= width
        last = len(sheets)
        driver.execute_script("arguments[0].click()", all_of(driver, "#drawings [role=tab]")[-1])
        view = one(driver, f"#sheet-{last} .view")
        driver.execute_script("document.querySelector('main').scrollIntoView()")
        assert view.size["height"] >= height * 0.35 and view.size["width"] > width * 0.9
        chosen = one(driver, "#drawings [role=tab][aria-selected=true]")
        assert chosen.accessible_name == sheets[-1].get_attribute("data-name") and 0 <= chosen.location["x"] <= width - chosen.size["width"]
        assert any(r.is_displayed() and r.location["y"] < one(driver, "main").location["y"] + height for r in all_of(driver, "#list-circuits .scroll tbody tr")[:3])
        picture(driver, f"many-{width}")
    finally:
        driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    check_silence(driver)


def test_every_list_fits_the_printed_page(page: Any) -> None:
    """A list wider than the page would make the browser print everything smaller: 396 mm of A3 at 96 dots per inch (CSS, absolute lengths)."""
    page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    page.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": round(396 / 25.4 * 96), "height": 1000, "deviceScaleFactor": 1, "mobile": False})
    try:
        assert page.execute_script("return document.documentElement.scrollWidth") <= round(396 / 25.4 * 96)
    finally:
        page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
        page.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


def test_names_of_the_site_stay_text(driver: Any, tmp_path: Path) -> None:
    text = (ROOT / "gallery/boathouse/site.yaml").read_text(encoding="utf-8")
    for old in ("Heron Point Boathouse", "Hot water", "Issued for application", "Solar board", "Control bus", "Main switchboard"):
        text = text.replace(f"name: {old}", f"name: \"{HOSTILE}\"").replace(f"note: {old}", f"note: \"{HOSTILE}\"")
    (tmp_path / "site.yaml").write_text(text, encoding="utf-8")
    assert main(["issue", str(tmp_path / "site.yaml"), "-o", str(tmp_path)]) == 0
    driver.get_log("performance"), driver.get_log("browser")
    driver.get((tmp_path / "HPB-E-001_A/index.html").as_uri())
    assert driver.execute_script("return window.hacked") is None
    assert HOSTILE in one(driver, "h1").text and all_of(driver, "img") == []
    one(driver, "#search").send_keys("solar")
    point_at(driver, row_of(driver, "circuits", "MSB.7"))
    assert driver.execute_script("return window.hacked") is None
    check_silence(driver)


# ---- links, long lists, one half alone, fingers ----

@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a generated site whose lists are long."""
    where = tmp_path_factory.mktemp("large")
    text = sites.site(5, 400, 3) + "drawing: {number: R-2, status: for tender, revisions: [{rev: A, date: 2026-01-01}]}\n"
    (where / "site.yaml").write_text(text, encoding="utf-8")
    assert main(["issue", str(where / "site.yaml"), "-o", str(where)]) == 0
    return where / "R-2_A/index.html"


@pytest.fixture
def large_page(driver: Any, large: Path) -> Iterator[Any]:
    driver.get_log("performance"), driver.get_log("browser")
    driver.get(large.as_uri())
    yield driver
    check_silence(driver)


def test_a_link_to_an_object_opens_it_and_choosing_one_makes_a_link(driver: Any, folder: Path) -> None:
    driver.get_log("performance"), driver.get_log("browser")
    address = (folder / "index.html").as_uri()
    driver.get("about:blank")
    driver.get(f"{address}#msb.7")
    assert lit(driver, symbol(driver, "MSB.7.rcbo")) and row_of(driver, "circuits", "MSB.7").is_displayed()
    assert driver.current_url == f"{address}#MSB.7"
    symbol(driver, "MSB.5.rcbo").click()
    assert driver.current_url == f"{address}#MSB.5.rcbo"
    follow(driver, "BAT2")
    assert lit(driver, symbol(driver, "BAT2"))
    one(driver, "body").send_keys(Keys.ESCAPE)
    assert driver.current_url == address
    follow(driver, "no-such")
    assert "no-such" in one(driver, "#said").text
    follow(driver, "list-findings")
    assert one(driver, "#list-findings").is_displayed()
    check_silence(driver)


def follow(page: Any, id_: str) -> None:
    """As a click on a link to #id does; the page hears of it a moment later."""
    page.execute_async_script("const [id, done] = arguments; addEventListener('hashchange', () => setTimeout(done), {once: true}); location.hash = id", id_)


def test_one_half_can_stand_alone_and_choosing_from_the_other_brings_it_back(page: Any) -> None:
    drawings, lists = one(page, "#drawings"), one(page, "#lists")
    before = one(page, "#sheet-1 .view").size["height"]
    one(page, "#drawing-alone").click()
    assert not lists.is_displayed() and one(page, "#sheet-1 .view").size["height"] > before * 1.5
    one(page, "#zoom-across").click()
    box, view = view_box(page), one(page, "#sheet-1 .view").size
    assert box[2] / box[3] == pytest.approx(view["width"] / view["height"], rel=0.02)
    symbol(page, "CT3").click()
    next(b for b in all_of(page, "#said button") if b.text == "Sensor schedule").click()
    assert lists.is_displayed() and row(page, "sensors", "CT3").is_displayed()
    one(page, "#list-alone").click()
    assert not drawings.is_displayed() and one(page, "#list-alone").get_attribute("aria-pressed") == "true"
    row(page, "sensors", "CT3").click()
    assert drawings.is_displayed() and lit(page, symbol(page, "CT3"))


def test_numbers_sort_with_ranges_by_value_and_blanks_stand_last_either_way(page: Any) -> None:
    tab(page, "Circuit schedule")
    heads = [h.text for h in all_of(page, "#list-circuits .scroll th")]
    for name in ("way", "rating [A]", "load [kW]"):
        column = heads.index(name)
        for turn in (1, -1):
            all_of(page, "#list-circuits .scroll th button")[column].click()
            texts = [r.find_elements(By.TAG_NAME, "td")[column].text for r in all_of(page, "#list-circuits .scroll tbody tr")]
            said = [t for t in texts if t]
            numbers = [float(t.split()[0]) for t in said]
            assert texts == said + [""] * (len(texts) - len(said)) and numbers == sorted(numbers, reverse=turn < 0)
        all_of(page, "#list-circuits .scroll th button")[column].click()


def test_every_row_of_a_long_list_is_reached_by_scrolling_keys_filter_and_search(large_page: Any) -> None:
    page = large_page
    tab(page, "Inspection and test record")
    panel, rows = one(page, "#list-tests"), "#list-tests .scroll tbody tr"
    total = len(all_of(page, rows))
    shown = lambda: page.execute_script(f"return [...document.querySelectorAll('{rows}')].filter(r => r.offsetHeight).length")  # noqa: E731
    assert 300 < total and shown() < 200
    last = all_of(page, rows)[-1]
    for _ in range(total):
        if page.execute_script("arguments[0].scrollTop += 2000; return arguments[1].offsetHeight", panel, last):
            break
        page.execute_async_script("requestAnimationFrame(() => requestAnimationFrame(arguments[0]))")
    assert shown() == total
    box = one(page, "#list-tests .filter")
    box.send_keys("polarity")
    words = [r.text for r in all_of(page, rows) if r.is_displayed()]
    assert words and all("polarity" in word for word in words)
    box.send_keys(Keys.CONTROL + "a" + Keys.NULL, Keys.DELETE)
    assert shown() < 200
    first = all_of(page, rows)[0]
    page.execute_script("arguments[0].focus()", first)
    page.switch_to.active_element.send_keys(Keys.END)
    assert page.switch_to.active_element == last and last.is_displayed()
    page.switch_to.active_element.send_keys(Keys.ARROW_UP)
    assert page.switch_to.active_element == all_of(page, rows)[-2]
    page.switch_to.active_element.send_keys(Keys.HOME)
    assert page.switch_to.active_element == first
    box.send_keys("nothing of this kind")
    one(page, "#search").send_keys(last.get_attribute("data-ids").split()[0], Keys.ENTER)
    assert lit(page, last) and any(r.is_displayed() and lit(page, r) for r in all_of(page, rows))


def test_the_columns_of_a_long_list_keep_their_width_while_it_is_scrolled(large_page: Any) -> None:
    page = large_page
    tab(page, "Inspection and test record")
    widths = "return [...document.querySelectorAll('#list-tests .scroll th')].map(h => Math.round(h.offsetWidth))"
    before = page.execute_script(widths)
    one(page, "#list-tests .filter").send_keys("polarity")
    assert page.execute_script(widths) == before
    one(page, "#list-tests .filter").send_keys(Keys.CONTROL + "a" + Keys.NULL, Keys.DELETE)
    for row_shown in all_of(page, "#list-tests .scroll tbody tr"):
        page.execute_script("arguments[0].classList.remove('later')", row_shown)
    after = page.execute_script(widths)
    assert max(abs(a - b) for a, b in zip(before, after, strict=True)) <= 40  # the longest text by letters is not always the widest


def touch(page: Any, kind: str, *points: tuple[float, float]) -> None:
    places = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
    page.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})


def test_fingers_drag_pinch_and_hit_a_thin_wire(page: Any) -> None:
    page.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True, "maxTouchPoints": 2})
    try:
        page.execute_script("document.querySelector('main').scrollIntoView({block: 'end'})")
        left, top, width, height = page.execute_script("const r=document.querySelector('#sheet-1 .view').getBoundingClientRect();return [r.x,r.y,r.width,r.height]")
        x, y, whole = left + width / 2, top + height / 2, view_box(page)
        touch(page, "touchStart", (x - 20, y), (x + 20, y))
        touch(page, "touchMove", (x - 40, y), (x + 40, y))
        touch(page, "touchMove", (x - 60, y), (x + 60, y))
        touch(page, "touchEnd")
        near = view_box(page)
        assert near[2] < whole[2] / 2
        touch(page, "touchStart", (x, y))
        touch(page, "touchMove", (x - 30, y - 10))
        touch(page, "touchMove", (x - 60, y - 20))
        touch(page, "touchEnd")
        assert view_box(page)[0] > near[0] and view_box(page)[1] > near[1] and view_box(page)[2:] == near[2:]
        one(page, "#zoom-all").click()
        line = one(page, '#sheet-1 .wire[data-id="W2"] polyline')
        spot = page.execute_script("const l=arguments[0],n=l.getTotalLength()/2,p=l.getPointAtLength(n).matrixTransform(l.getScreenCTM());return [p.x,p.y]", line)
        beside = next((spot[0] + d, spot[1]) for d in (9, -9) if not page.execute_script(
            "const e=document.elementFromPoint(arguments[0],arguments[1]);return !!e.closest('[data-id]')", spot[0] + d, spot[1]))
        touch(page, "touchStart", beside)
        touch(page, "touchEnd")
        assert one(page, "#said b").text  # something is hit, where a mouse would hit nothing
    finally:
        page.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": False})


def test_a_double_click_zooms_to_its_place(page: Any) -> None:
    whole = view_box(page)
    ActionChains(page).double_click(one(page, "#sheet-1 .view")).perform()
    assert view_box(page)[2] == pytest.approx(whole[2] / 2, rel=1e-3)


def test_each_printed_page_says_which_drawing_it_belongs_to(page: Any) -> None:
    pages = ["".join(text for text, _ in pieces) for pieces in print_out(page)]
    assert len(pages) > 10 and all("HPB-E-001 rev. A, for application: Heron Point Boathouse" in text and "prove dead" in text for text in pages)


@pytest.mark.parametrize("name", ["circuits", "cables", "tests"])
def test_a_single_schedule_prints_in_letters_that_can_be_read(driver: Any, folder: Path, name: str) -> None:
    """7 points is the least that common practice prints a table in (no source)."""
    driver.get((folder / f"schedules/{name}.html").as_uri())
    pages = print_out(driver)
    sizes = [size for pieces in pages for text, size in pieces if text.strip()]
    assert min(sizes) >= 7.0 and all("HPB-E-001 rev. A" in "".join(text for text, _ in pieces) for pieces in pages)


WAYS_TO_BREAK = {
    "an error is thrown": "<script>throw new Error('x')</script>",
    "a promise fails": "<script>Promise.reject(new Error('x'))</script>",
    "an error is logged": "<script>console.error('x')</script>",
    "a warning is logged": "<script>console.warn('x')</script>",
    "a picture of the network": "<img src='http://192.0.2.1/x.png'>",
    "a style of the network": "<link rel=stylesheet href='http://192.0.2.1/x.css'>",
    "a question to the network": "<script>fetch('http://192.0.2.1/').catch(() => 0)</script>",
    "a socket": "<script>new WebSocket('ws://192.0.2.1/')</script>",
    "a beacon": "<script>navigator.sendBeacon('http://192.0.2.1/')</script>",
    "a file beside it": "<script src='other.js'></script>",
    "a frame": "<iframe src='about:srcdoc' srcdoc='<img src=http://192.0.2.1/y.png>'></iframe>",
}


@pytest.mark.parametrize("guarded", [True, False])
@pytest.mark.parametrize("way", WAYS_TO_BREAK)
def test_the_watch_on_console_and_network_sees_each_way_to_break_the_page(driver: Any, folder: Path, tmp_path: Path, way: str, guarded: bool) -> None:
    """192.0.2.1 is an address of documentation that nobody has (RFC 5737). Guarded: with the policy of the page, which stops it; else without."""
    text = (folder / "index.html").read_text(encoding="utf-8")
    start, end = text.index("<meta http-equiv"), text.index("<meta name=\"viewport\"")
    text = text if guarded else text[:start] + text[end:]
    (tmp_path / "index.html").write_text(text.replace("</body>", WAYS_TO_BREAK[way] + "</body>"), encoding="utf-8")
    driver.get_log("performance"), driver.get_log("browser")
    driver.get((tmp_path / "index.html").as_uri())
    driver.execute_async_script("setTimeout(arguments[0], 50)")
    with pytest.raises(AssertionError):
        check_silence(driver)
    driver.get_log("performance"), driver.get_log("browser")
