"""Plays the page for a telephone in a browser that is not ours: ticks the first stage by taps, closes, opens, goes on, changes the plan, gives
back, enters. Two arguments: the program, and a copy of the demonstration's folder that may be changed (with its workshop beside it). A third one
is axe-core's file, where there is one. Phone-sized windows of desktop engines: no telephone was tried."""

import os
import pathlib
import subprocess
import sys
import tempfile
import time

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By

program, plan = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
axe = pathlib.Path(sys.argv[3]).read_text() if len(sys.argv) > 3 else None
work = tempfile.mkdtemp()
profile = os.path.join(work, "profile")
failed = []


def check(what, good, seen=""):
    print(("ok      " if good else "FAILED  ") + what + (f": {seen}" if seen != "" and not good else ""), flush=True)
    if not good:
        failed.append(what)


def run(*words):
    done = subprocess.run([program, *words], capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def printed():
    code, said = run("print", plan, "--form", "page", "--to", os.path.join(work, "out"))
    assert code == 0, said
    return next(pathlib.Path(work, "out").glob("*.html"))


def browser(script=True, slow=1):
    options = Options()
    for word in ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={profile if script else profile + '-bare'}"]:
        options.add_argument(word)
    options.add_experimental_option("mobileEmulation", {"deviceMetrics": {"width": 360, "height": 740, "pixelRatio": 2, "touch": True}})
    if not script:
        options.add_experimental_option("prefs", {"profile.managed_default_content_settings.javascript": 2})
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service("/usr/bin/chromedriver"))
    if slow > 1:
        driver.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": slow})
    return driver


def screens(driver, stage):
    """Cards of a stage that can still be done."""
    return driver.execute_script(
        """return [...document.querySelectorAll('.screen[data-card]')].filter((s) => s.querySelector('.section').textContent.startsWith(arguments[0])
           && s.querySelector('fieldset.end')).map((s) => s.getAttribute('aria-label'))""",
        stage,
    )


def go(driver, name):
    driver.find_element(By.ID, "find").click()
    driver.find_element(By.ID, "sought").send_keys(name)
    driver.find_element(By.CSS_SELECTOR, "#found-list button").click()
    return driver.find_element(By.CSS_SELECTOR, ".screen.here")


def touch(driver, element):
    driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", element)
    element.click()


def play(driver, name):
    here = go(driver, name)
    check(f"{name} is found by its number", here.get_attribute("aria-label") == name, here.get_attribute("aria-label"))
    for mark in here.find_elements(By.CSS_SELECTOR, ".marks button"):
        touch(driver, mark)
    for blank in here.find_elements(By.CSS_SELECTOR, ".blank"):
        low, high = blank.get_attribute("data-low"), blank.get_attribute("data-high")
        value = (float(low) + float(high)) / 2 if low else 12.5
        blank.find_element(By.CSS_SELECTOR, "input").send_keys(f"{value:.1f}".replace(".", ","))
        check("no doubt of what is expected", blank.find_element(By.CSS_SELECTOR, ".doubt").text == "")
    for box in here.find_elements(By.CSS_SELECTOR, "[data-act]"):
        touch(driver, box)
    return here


def given(driver):
    driver.find_element(By.ID, "give").click()
    text = driver.find_element(By.ID, "given-text").get_property("value")
    driver.find_element(By.CSS_SELECTOR, "#given [data-close]").click()
    return text


page = printed()
driver = browser()
driver.get(page.as_uri())
time.sleep(0.5)
check("nothing is told against the page", driver.get_log("browser") == [])
check("storage works", not driver.find_element(By.ID, "told").is_displayed(), driver.find_element(By.ID, "told").text)
stage = screens(driver, "Stage 1")
check("the first stage has cards to do", len(stage) >= 3, stage)
for name in stage:
    here = play(driver, name)
    if name != stage[-1]:
        here.find_element(By.CSS_SELECTOR, "[data-found]").send_keys('A "loose" clip; ß 漢 </script>')
        here.find_element(By.CSS_SELECTOR, "[data-took]").send_keys("35")
        touch(driver, here.find_element(By.CSS_SELECTOR, "[data-done]"))
        check(f"{name} says that it is done", here.find_element(By.CSS_SELECTOR, ".stands").text.startswith("Done "))
small = driver.execute_script(
    """document.querySelectorAll('.screen').forEach((s) => s.classList.add('here'));
       const low = [...document.querySelectorAll('main button, main summary, main label.tick, main input[type=text], main select, nav button')]
         .filter((e) => e.getClientRects().length && (e.getBoundingClientRect().height < 75.5)).map((e) => e.outerHTML.slice(0, 80));
       const wide = document.documentElement.scrollWidth > innerWidth;
       return [low, wide]"""
)
check("what is touched is 76 px high", small[0] == [], small[0][:3])
check("nothing goes over the glass's edge", not small[1])
if axe:
    driver.execute_script(axe)
    bad = driver.execute_async_script(
        "const done = arguments[0]; axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}).then((r) => done(r.violations.map((v) => v.id + ' ' + v.nodes.length + ' ' + v.nodes[0].html.slice(0, 100))))"
    )
    check("axe-core finds nothing", bad == [], bad)
before = given(driver)
time.sleep(0.3)
driver.quit()

driver = browser()
driver.get(page.as_uri())
time.sleep(0.5)
check("what was ticked is there after closing", given(driver) == before, given(driver))
check("it opens where it was left", driver.find_element(By.CSS_SELECTOR, ".screen.here").get_attribute("aria-label") == stage[-1])
# A wrong tick is asked about, and what is out of order too.
here = driver.find_element(By.CSS_SELECTOR, ".screen.here")
last = here.find_elements(By.CSS_SELECTOR, "[data-act]")[-1]
touch(driver, last)
check("taking a tick back is asked", driver.find_element(By.ID, "asked").is_displayed())
driver.find_element(By.ID, "no").click()
time.sleep(0.2)
check("and no leaves it", last.is_selected())
text = given(driver)
check("one step is stopped at", text.count("stopped ") <= 1, text)
driver.quit()

# The plan changes: one card's acts, and no other's.
changed_name = stage[1]
step_number = changed_name.split(" ")[0]
target = None
for file in sorted(pathlib.Path(plan).rglob("*.boltplan")):
    words = file.read_text()
    title = changed_name.split(" ", 1)[1]
    if f'"{title}"' in words:
        head = words.index(f'"{title}"')
        end = words.index("\n", head)
        file.write_text(words[:end] + '\n  look "for a third time"' + words[end:] if words[end - 1] != ";" else words)
        target = file
check("the card's step is found in the plan", target is not None)
page = printed()
driver = browser()
driver.get(page.as_uri())
time.sleep(0.5)
here = go(driver, step_number)
check("a changed card says so", here.find_element(By.CSS_SELECTOR, ".changed").is_displayed())
check("and its ticks are to do again", not any(box.is_selected() for box in here.find_elements(By.CSS_SELECTOR, "[data-act]")))
here = go(driver, stage[0].split(" ")[0])
check("another card kept its ticks", all(box.is_selected() for box in here.find_elements(By.CSS_SELECTOR, "[data-act]")))
play(driver, changed_name)
here = driver.find_element(By.CSS_SELECTOR, ".screen.here")
touch(driver, here.find_element(By.CSS_SELECTOR, "[data-done]"))
text = given(driver)
driver.quit()

back = pathlib.Path(work, "given.boltplan")
# The plan's own spring: a log of today would end its work too late.
text = text.replace(time.strftime("%Y-%m-%d"), "2026-03-07")
back.write_text(text)
had = "".join(file.read_text() for file in pathlib.Path(plan).rglob("*.boltplan")).count("took 35 min")
_, lint_before = run("lint", plan)
code, said = run("enter", plan, "--from", str(back), "--binder", os.path.join(work, "out"), "--yes")
check("enter takes it", code in (0, 1) and "refused" not in said, said)
code, again = run("enter", plan, "--from", str(back), "--binder", os.path.join(work, "out"), "--dry-run")
check("entering it twice changes nothing", "+" not in [line[:1] for line in again.splitlines()], again)
_, lint_after = run("lint", plan)
check("lint finds no new fault", "fault" not in lint_after.splitlines()[-1] or "0 fault" in lint_after, lint_after[-600:])
log = "".join(file.read_text() for file in pathlib.Path(plan).rglob("*.boltplan"))
check("the log says what was tapped", log.count("took 35 min") - had == len(stage) - 1 and "”loose” clip; ß U+6F22" in log, text)

driver = browser(script=False)
driver.get(page.as_uri())
body = driver.find_element(By.TAG_NAME, "body").text
check("without script it reads as a binder", stage[-1].split(" ", 1)[1] in body and "nothing that is ticked is kept" in body)
driver.quit()

# What the browser kept is damaged; the page is of another zone; the browser keeps nothing.
driver = browser()
driver.execute_cdp_cmd("Emulation.setTimezoneOverride", {"timezoneId": "Pacific/Kiritimati"})
driver.get(page.as_uri())
time.sleep(0.5)
driver.execute_async_script(
    """const done = arguments[0]; const open = indexedDB.open('boltfolio', 1); open.onsuccess = () => {
         const write = open.result.transaction('kept', 'readwrite'); const kept = write.objectStore('kept');
         kept.put({name: arguments[1], acts: 7, ticks: [null, {}], reads: {x: 3}, order: 'no', by: 5, done: '<b>'}, arguments[2]);
         kept.put('not a record', arguments[2] + 'x'); kept.put({name: '*', ticks: 4, here: 'no'}, arguments[3]); write.oncomplete = () => done(1); };""".replace("arguments[0]", "arguments[arguments.length - 1]").replace("arguments[1]", "arguments[0]").replace("arguments[2]", "arguments[1]").replace("arguments[3]", "arguments[2]"),
    "down-again", "ouzel-front/down-again", "ouzel-front/*",
)
driver.refresh()
time.sleep(0.5)
check("a damaged store does not stop the page", driver.get_log("browser") == [] and len(driver.find_elements(By.CSS_SELECTOR, ".screen.here")) == 1)
here = go(driver, stage[-1].split(" ")[0])
for box in here.find_elements(By.CSS_SELECTOR, "[data-act]"):
    touch(driver, box)
far = time.strftime("%Y-%m-%d", time.gmtime(time.time() + 14 * 3600))
check("the day is the telephone's own", f"stopped {far} at" in given(driver), given(driver))
driver.execute_script("window.open(location.href)")
driver.switch_to.window(driver.window_handles[-1])
time.sleep(1)
check("a second tab says that it keeps nothing", "another tab" in driver.find_element(By.ID, "told").text, driver.find_element(By.ID, "told").text)
driver.quit()
driver = browser()
driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": "Object.defineProperty(window, 'indexedDB', {get() { throw new DOMException('refused', 'SecurityError'); }});"})
driver.get(page.as_uri())
time.sleep(0.5)
check("a browser that keeps nothing says so before work begins", "keeps nothing" in driver.find_element(By.ID, "told").text)
here = go(driver, stage[-1].split(" ")[0])
touch(driver, here.find_element(By.CSS_SELECTOR, "[data-act]"))
check("and the text can be copied out all the same", "log " in given(driver))
driver.quit()

driver = browser(slow=4)
driver.get("about:blank")
driver.get(page.as_uri())
paint = driver.execute_script("return performance.getEntriesByName('first-contentful-paint').map((e) => e.startTime)[0]")
here = go(driver, stage[-1].split(" ")[0])
box = here.find_elements(By.CSS_SELECTOR, "[data-act]")[-1]
took = driver.execute_script("const from = performance.now(); arguments[0].click(); return performance.now() - from", box)
print(f"at a processor four times slower: first paint {paint and round(paint)} ms, a tap {took:.1f} ms; the file {page.stat().st_size} bytes")
driver.quit()

if os.environ.get("BOLTFOLIO_PICTURES"):
    driver = browser()
    driver.get(page.as_uri())
    time.sleep(0.5)
    to = os.environ["BOLTFOLIO_PICTURES"]
    here = go(driver, "3.20")
    driver.save_screenshot(f"{to}/telephone-card.png")
    for box in here.find_elements(By.CSS_SELECTOR, "[data-act]")[:2]:
        touch(driver, box)
    driver.execute_script("arguments[0].scrollIntoView({block: 'end'})", here.find_elements(By.CSS_SELECTOR, ".act")[3])
    time.sleep(0.3)
    driver.save_screenshot(f"{to}/telephone-acts.png")
    driver.find_element(By.ID, "give").click()
    time.sleep(0.3)
    driver.save_screenshot(f"{to}/telephone-given.png")
    driver.quit()

if failed:
    sys.exit("failed: " + "; ".join(failed))
