"""The page for a phone, used as somebody uses it, in a Chromium driven by Playwright."""
import json
import pathlib
import sys
import tempfile

from playwright.sync_api import sync_playwright

REFUSE = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('denied'); }})"


def main(browser):
    packet = json.load(sys.stdin)
    with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder, "phone-1.html")
        file.write_text(packet["documents"]["phone-1.html"])
        chromium = play.chromium.launch(executable_path=browser, chromium_sandbox=False)
        page = chromium.new_page(viewport={"width": 360, "height": 800})
        page.goto(file.as_uri())
        plate = page.locator("[data-takes]").first.get_attribute("data-takes")
        field = lambda word: page.locator(f'[data-key="{plate} {word}"]')
        before = page.locator("#next h3").inner_text()
        page.locator("#next button").click()
        assert page.locator("#next h3").inner_text() != before, "the next step comes on top"
        page.locator(f'[data-more="{plate}"]').click()
        assert not field("1 clip").is_visible(), "nothing is asked of a take before it is ticked"
        field("1 shot").check()
        field("1 clip").fill('C"00\\31')
        field("1 clock").fill("06:41")
        field("1 worth").select_option("circled")
        field("1 note").fill("sun; { in } # lens")
        assert not field("height").is_visible(), "what is measured is folded away until it is asked for"
        page.locator("details.measured summary").first.click()
        field("height").fill("1,68")
        field("tilt").fill("steep")
        after = page.locator("#next h3").inner_text()
        page.reload()
        assert page.locator("#next h3").inner_text() == after, "what is done survives a reload"
        assert field("1 clip").is_visible() and field("height").is_visible(), "what is written stays in sight"
        assert not field("2 clip").is_visible()
        assert field("1 shot").is_checked() and page.locator("#kept").inner_text() == "Kept on this phone."
        takes = page.locator(f'[data-takes="{plate}"] > li').count()
        with page.expect_download() as saved:
            page.locator("#save").click()
        log = pathlib.Path(saved.value.path()).read_text()
        assert log == page.locator("#text").input_value() and saved.value.suggested_filename == "log-2027-05-14.seam"
        page.add_init_script(REFUSE)
        page.reload()
        json.dump({"log": log, "takes": takes, "refused": page.locator("#kept").inner_text()}, sys.stdout)
        chromium.close()


main(sys.argv[1])
