"""The page for a telephone in Firefox, driven by the WebDriver BiDi protocol (W3C) over its own socket: a card is ticked, the browser is closed and
opened, and the text that is given back is the same. One argument: the page's file."""

import json
import pathlib
import subprocess
import sys
import tempfile
import time

import websocket

page = pathlib.Path(sys.argv[1]).resolve().as_uri()
profile = tempfile.mkdtemp()
PORT = 9333


class Firefox:
    def __enter__(self):
        words = ["firefox-esr", "--headless", "--profile", profile, "--remote-debugging-port", str(PORT), "--width", "360", "--height", "740"]
        self.program = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(120):
            try:
                self.socket = websocket.create_connection(f"ws://127.0.0.1:{PORT}/session", timeout=60, suppress_origin=True)
                break
            except (ConnectionRefusedError, websocket.WebSocketException, OSError):
                time.sleep(0.5)
        self.number = 0
        self.say("session.new", capabilities={})
        self.tab = self.say("browsingContext.getTree")["contexts"][0]["context"]
        self.say("browsingContext.navigate", context=self.tab, url=page, wait="complete")
        time.sleep(1)
        return self

    def __exit__(self, *_):
        try:
            self.say("browser.close")
        except (RuntimeError, OSError, websocket.WebSocketException):
            pass
        self.socket.close()
        self.program.wait(30)

    def say(self, method, **params):
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": params}))
        while True:
            answer = json.loads(self.socket.recv())
            if answer.get("id") == self.number:
                if answer["type"] == "error":
                    raise RuntimeError(f"{method}: {answer['message']}")
                return answer["result"]

    def run(self, script):
        result = self.say(
            "script.evaluate", expression=f"JSON.stringify((() => {{ {script} }})())", target={"context": self.tab}, awaitPromise=True
        )
        if result["type"] != "success":
            raise RuntimeError(result)
        return json.loads(result["result"]["value"])


GIVEN = "document.getElementById('give').click(); const text = document.getElementById('given-text').value; document.querySelector('#given [data-close]').click(); return text;"

with Firefox() as firefox:
    told = firefox.run("const told = document.getElementById('told'); return told.hidden ? '' : told.textContent;")
    assert told == "", told
    firefox.run(
        """document.getElementById('find').click(); document.getElementById('sought').value = '1.3';
           document.getElementById('sought').dispatchEvent(new Event('input')); document.querySelector('#found-list button').click(); return 1;"""
    )
    acts = firefox.run(
        """const here = document.querySelector('.screen.here'); const boxes = [...here.querySelectorAll('[data-act]')];
           here.querySelectorAll('.marks button, [data-loose], .before input').forEach((one) => one.click());
           here.querySelectorAll('.blank input').forEach((input) => { input.value = '12.5'; input.dispatchEvent(new Event('input')); });
           boxes.forEach((box) => box.click()); here.querySelector('[data-done]').click(); return boxes.length;"""
    )
    assert acts > 2, acts
    text = firefox.run(GIVEN)
    assert "\n  done " in text, text
    time.sleep(1)
with Firefox() as firefox:
    again = firefox.run(GIVEN)
    assert again == text, again
    wide = firefox.run("return [document.documentElement.scrollWidth, innerWidth];")
    assert wide[0] <= wide[1], wide
print(f"ok      Firefox: {acts} acts ticked, closed, opened, and given back the same")
