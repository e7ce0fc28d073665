"""Pages of packets, opened by a browser.

Playwright 1.65 drives a Chromium of the machine over its debugging pipe; axe-core
4.12 (through axe-playwright-python) checks contrast, landmarks, names and structure
against WCAG 2.1 A and AA and its own best practices. The words of pictures are measured
where the browser put them. Every page is opened from its
file at three widths, and as printed at the width that paper leaves.
"""
import json
import pathlib
import sys
import tempfile

import axe_playwright_python
from playwright.sync_api import sync_playwright

AXE = pathlib.Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text()
CHECK = """async rules => (await axe.run(document, {
    resultTypes: ['violations'], ...(rules ? {runOnly: rules} : {})})).violations.map(
    one => `${one.id}: ${one.help}: ${one.nodes.slice(0, 2).map(node => node.html.slice(0, 160)).join(' and ')}`)"""
# What sticks out to the right of the window, where nothing around it scrolls.
WIDE = """() => {
    const wide = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= wide) return null;
    const out = [...document.body.querySelectorAll('*')].filter(one => one.getBoundingClientRect().right > wide + 1);
    return `${document.documentElement.scrollWidth} px: ` + out.slice(-1).map(one => one.outerHTML.slice(0, 160));
}"""
# Words in pictures: none too small to read, over each other, or outside their picture.
# A text's own box is as tall as its font's line; a fifth of it, at both ends, is air.
WORDS = """least => [...document.querySelectorAll('figure.picture svg')].flatMap(svg => {
    const frame = svg.getBoundingClientRect();
    if (!frame.width) return [];
    const scale = frame.width / svg.viewBox.baseVal.width;
    const all = [...svg.querySelectorAll('text')].map(one => {
        const box = one.getBoundingClientRect(), air = box.height / 5;
        return {words: one.textContent, size: one.getAttribute('font-size') * scale,
            left: box.left + .5, right: box.right - .5, top: box.top + air, low: box.bottom - air};
    });
    const out = all.filter(one => one.size < least).map(one => `'${one.words}' is ${one.size.toFixed(1)} px`);
    out.push(...all.filter(one => one.left < frame.left - 1 || one.right > frame.right + 1 || one.top < frame.top - 1
        || one.low > frame.bottom + 1).map(one => `'${one.words}' is outside its picture`));
    all.forEach((one, at) => all.slice(at + 1).forEach(two => {
        if (one.left < two.right && two.left < one.right && one.top < two.low && two.top < one.low)
            out.push(`'${one.words}' is over '${two.words}'`);
    }));
    return out.slice(0, 5);
})"""
# Pixels of the smallest words: 11 px on a screen, 7.5 pt on paper.
SMALLEST = {"screen": 11 - 0.05, "print": 10}
WIDTHS = [360, 768, 1280]
# A4 less its margins of 13 mm, in CSS pixels of 1/96 in; Letter is wider.
PRINTED = {"portrait": round(184 / 25.4 * 96), "landscape": round(271 / 25.4 * 96)}


def browser_of(play, browser):
    # A sandbox of the system is not to be had in most containers; the pages are our own.
    return play.chromium.launch(executable_path=browser, chromium_sandbox=False)


def check(page, url, complain):
    page.set_viewport_size({"width": WIDTHS[0], "height": 900})
    page.emulate_media(media="screen", color_scheme="light")
    page.goto(url)
    page.evaluate(AXE)
    for scheme, rules in [("light", None), ("dark", ["color-contrast"])]:
        page.emulate_media(color_scheme=scheme)
        for one in page.evaluate(CHECK, rules):
            complain(f"{scheme}: {one}")
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        wide = page.evaluate(WIDE)
        if wide:
            complain(f"overflow at {width} px: {wide}")
        for one in page.evaluate(WORDS, SMALLEST["screen"]):
            complain(f"picture at {width} px: {one}")
    text = page.content()
    sheet = "landscape" if "size: landscape" in text else "portrait"
    page.emulate_media(media="print", color_scheme="light")
    page.set_viewport_size({"width": PRINTED[sheet], "height": 900})
    wide = page.evaluate(WIDE)
    if wide:
        complain(f"overflow printed: {wide}")
    for one in page.evaluate(WORDS, SMALLEST["print"]):
        complain(f"picture printed: {one}")


def main(browser):
    packets = json.load(sys.stdin)
    found, opened = [], 0
    with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
        chromium = browser_of(play, browser)
        for packet in packets:
            root = pathlib.Path(folder, packet["name"])
            for path, text in packet["documents"].items():
                (root / path).parent.mkdir(parents=True, exist_ok=True)
                (root / path).write_text(text)
            context = chromium.new_context()
            page = context.new_page()
            for path in sorted(packet["documents"]):
                url = (root / path).as_uri()
                told = []
                watch = {
                    "console": lambda one: one.type in ("error", "warning") and told.append(f"console: {one.text}"),
                    "pageerror": lambda one: told.append(f"script: {one}"),
                    "request": lambda one: one.url.split("#")[0] != url and told.append(f"request: {one.url}"),
                }
                for event, what in watch.items():
                    page.on(event, what)
                check(page, url, told.append)
                for event, what in watch.items():
                    page.remove_listener(event, what)
                found += [f"{packet['name']}/{path}: {one}" for one in told]
                opened += 1
            context.close()
        chromium.close()
    json.dump({"opened": opened, "found": found}, sys.stdout)


if __name__ == "__main__":
    main(sys.argv[1])
