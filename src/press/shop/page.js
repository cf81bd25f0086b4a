"use strict";
// What is ticked on this page is kept in the browser's database, a record a step, and given back as a log in the plan's own language.
// Texts are set as text and never as markup; nothing leaves the page by itself.
(() => {
  const facts = JSON.parse(document.getElementById("facts").textContent);
  const $ = (id) => document.getElementById(id);
  const screens = [...document.querySelectorAll(".screen")];
  const stepOf = new Map(facts.steps.map((step) => [step.card, step]));
  const kept = new Map();
  const shared = { name: "*", ticks: {}, here: 0 };
  let store = null;
  let mayWrite = true;

  const say = (text) => { const told = $("told"); told.textContent = text; told.hidden = text === ""; };
  // The day where the telephone is, and not in Greenwich.
  const today = () => {
    const now = new Date();
    const two = (n) => String(n).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  };
  const blank = (step) => ({ name: step.name, acts: step.acts, ticks: {}, reads: {}, noted: {}, found: "", took: "", by: null, done: null,
    broke: {}, lost: {}, damaged: {}, skipped: "", differently: "", waiting: "", signed: "", order: [], clocks: {}, taken: [], touched: null });
  const of = (step) => {
    if (!kept.has(step.name)) kept.set(step.name, blank(step));
    return kept.get(step.name);
  };

  // The log, as text. No quotation mark and no line end stands inside quotes there, and no letter that paper does not have.
  const lacks = (c) => { const code = c.codePointAt(0); return c !== " " && !facts.letters.some(([first, last]) => first <= code && code <= last); };
  const unseen = /[\p{Cc}\p{Cf}\u2028\u2029\ufe00-\ufe0f]/u;
  const words = (text) => [...String(text)].filter((c) => !unseen.test(c)).map((c) => (c === '"' ? "\u201d" : lacks(c) ? "U+" + c.codePointAt(0).toString(16).toUpperCase().padStart(4, "0") : c)).join("").trim();
  const quoted = (text) => '"' + words(text) + '"';
  const figure = (text) => String(text).trim().replace(",", ".");
  const isFigure = (text) => /^-?[0-9]+(\.[0-9]+)?$/.test(figure(text));
  const count = (text) => (/^[1-9][0-9]{0,3}$/.test(String(text).trim()) ? String(text).trim() : null);
  const unticked = (step, state) => step.rows.filter((row) => !state.ticks[row.letter]);
  // How far it came: the last act in a row without a gap.
  const reached = (step, state) => {
    let last = null;
    for (const row of step.rows) {
      if (!state.ticks[row.letter]) break;
      if (row.words) last = row;
    }
    return last;
  };
  const logOf = (step, state) => {
    const lines = [];
    const people = state.by || step.by;
    if (state.done) lines.push("done " + state.done + (people.length ? " by " + people.join(", ") : ""));
    if (state.done && isFigure(state.took)) lines.push("took " + figure(state.took) + " min");
    for (const [writes, read] of Object.entries(state.reads)) if (isFigure(read.text)) lines.push(writes + " " + figure(read.text) + " " + read.unit);
    for (const [joint, n] of Object.entries(state.broke)) if (count(n)) lines.push("broke " + count(n) + " of " + joint);
    for (const [joint, n] of Object.entries(state.lost)) if (count(n)) lines.push("lost " + count(n) + " of " + joint);
    for (const [part, what] of Object.entries(state.damaged)) if (words(what)) lines.push("damaged " + part + " " + quoted(what));
    if (words(state.skipped)) lines.push("skipped " + quoted(state.skipped));
    const ways = [...state.order, state.differently].map(words).filter((text) => text);
    if (ways.length) lines.push("done differently " + quoted(ways.join("; ")));
    const noted = Object.entries(state.noted).filter(([, one]) => words(one.text)).map(([key, one]) => key.split("/")[0] + ", " + one.caption + ": " + one.text + (one.unit ? " " + one.unit : ""));
    const signed = words(state.signed) ? ["second check by " + state.signed] : [];
    for (const text of [...String(state.found).split("\n"), ...noted, ...signed]) if (words(text)) lines.push("found " + quoted(text));
    const last = reached(step, state);
    if (!state.done && !words(state.skipped) && last && state.touched)
      lines.push("stopped " + state.touched + " at " + last.words + (words(state.waiting) ? " waiting for " + quoted(state.waiting) : ""));
    return lines.length ? "log " + step.name + "\n" + lines.map((line) => "  " + line + "\n").join("") : "";
  };
  // A job has one place where it stopped: of steps that are in work the last one of the order.
  const givenBack = () => {
    const texts = facts.steps.map((step) => (kept.has(step.name) && !step.logged ? logOf(step, kept.get(step.name)) : ""));
    const last = texts.findLastIndex((text) => /^  stopped /m.test(text));
    const body = texts.map((text, at) => (at === last ? text : text.replace(/^  stopped .*\n/m, "").replace(/^log [^\n]*\n$/, ""))).join("");
    return "# " + facts.plan + ", " + facts.revision + ", given back " + today() + "\n" + body;
  };

  // Kept in the browser.
  const open = () => new Promise((good, bad) => {
    let request;
    try { request = indexedDB.open("boltfolio", 1); } catch (error) { bad(error); return; }
    request.onupgradeneeded = () => request.result.createObjectStore("kept");
    request.onsuccess = () => good(request.result);
    request.onerror = request.onblocked = () => bad(request.error);
  });
  const key = (name) => facts.plan + "/" + name;
  const put = (record) => {
    if (!mayWrite) return;
    if (!store) return;
    try {
      const write = store.transaction("kept", "readwrite", { durability: "strict" });
      write.objectStore("kept").put(record, key(record.name));
      write.onabort = write.onerror = () => say("This browser refuses to keep more. Give back now, before you close the page.");
    } catch (error) {
      say("This browser no longer keeps what you tick. Give back now, before you close the page.");
    }
  };
  const readAll = () => new Promise((good, bad) => {
    const all = store.transaction("kept").objectStore("kept");
    const found = [];
    const request = all.openCursor(IDBKeyRange.bound(facts.plan + "/", facts.plan + "/\uffff"));
    request.onsuccess = () => {
      const cursor = request.result;
      if (!cursor) { good(found); return; }
      found.push(cursor.value);
      cursor.continue();
    };
    request.onerror = () => bad(request.error);
  });

  // What a record must be before anything of it is believed.
  const sound = (step, old) => {
    const text = (one) => (typeof one === "string" ? one : "");
    const map = (one, fits) => Object.fromEntries(Object.entries(one && typeof one === "object" ? one : {}).filter(([, value]) => fits(value)));
    const fresh = blank(step);
    fresh.ticks = map(old.ticks, (value) => typeof value === "string");
    fresh.reads = map(old.reads, (value) => value && typeof value.text === "string" && typeof value.unit === "string");
    fresh.noted = map(old.noted, (value) => value && typeof value.text === "string" && typeof value.caption === "string");
    for (const name of ["broke", "lost", "damaged"]) fresh[name] = map(old[name], (value) => typeof value === "string");
    for (const name of ["found", "took", "skipped", "differently", "waiting", "signed"]) fresh[name] = text(old[name]);
    for (const name of ["order", "taken"]) fresh[name] = (Array.isArray(old[name]) ? old[name] : []).filter((one) => typeof one === "string");
    fresh.clocks = map(old.clocks, (value) => Number.isFinite(value));
    const day = (one) => (/^\d{4}-\d\d-\d\d$/.test(one) ? one : null);
    fresh.done = day(text(old.done));
    fresh.touched = day(text(old.touched));
    fresh.by = Array.isArray(old.by) ? old.by.filter((name) => facts.people.some(([known]) => known === name)) : null;
    return fresh;
  };

  // Questions.
  let answer = null;
  const ask = (question, needsWhy) => new Promise((good) => {
    $("asked-title").textContent = question;
    const why = $("why");
    why.value = "";
    why.hidden = !needsWhy;
    why.previousElementSibling.hidden = !needsWhy;
    answer = good;
    $("asked").showModal();
  });
  $("yes").onclick = () => {
    const why = $("why");
    if (!why.hidden && !words(why.value)) { why.setCustomValidity("Write why first."); why.reportValidity(); why.setCustomValidity(""); return; }
    $("asked").close("yes");
  };
  $("no").onclick = () => $("asked").close("no");
  $("asked").onclose = () => { if (answer) answer($("asked").returnValue === "yes" ? $("why").value || "yes" : null); answer = null; $("asked").returnValue = "no"; };
  for (const button of document.querySelectorAll("[data-close]")) button.onclick = () => button.closest("dialog").close();

  // Screens.
  const show = (at) => {
    const to = Math.min(Math.max(at, 0), screens.length - 1);
    screens.forEach((screen, n) => screen.classList.toggle("here", n === to));
    shared.here = to;
    $("back").disabled = to === 0;
    $("next").disabled = to === screens.length - 1;
    window.scrollTo(0, 0);
    const head = screens[to].querySelector("h2, h3");
    if (head) { head.tabIndex = -1; head.focus({ preventScroll: true }); }
  };
  const turn = (at) => { show(at); put({ ...shared }); };
  $("back").onclick = () => turn(shared.here - 1);
  $("next").onclick = () => turn(shared.here + 1);
  const seek = () => {
    const wanted = $("sought").value.trim().toLowerCase();
    const list = $("found-list");
    list.replaceChildren();
    // "bag 44" is said on a card as "bags 43 and 44" too.
    const bag = /^bags?\s*([0-9]+[a-z]?)$/.exec(wanted);
    const inText = (screen) => bag ? new RegExp("\\bbags?\\b[^.\\n]{0,60}\\b" + bag[1] + "\\b", "i").test(screen.textContent) : screen.textContent.toLowerCase().includes(wanted);
    const rank = new Map();
    screens.forEach((screen, at) => {
      const name = screen.getAttribute("aria-label");
      const low = name.toLowerCase();
      if (wanted && !low.startsWith(wanted) && !inText(screen)) return;
      const button = document.createElement("button");
      button.type = "button";
      const step = stepOf.get(screen.dataset.card);
      const state = step && kept.get(step.name);
      button.textContent = (step && (step.logged || (state && state.done)) ? "\u2713 " : "") + name;
      button.onclick = () => { $("finder").close(); turn(at); };
      const item = document.createElement("li");
      item.append(button);
      list.append(item);
      // The very number first, then what begins with it, then cards, then other pages.
      rank.set(item, low.split(" ")[0] === wanted ? 0 : wanted && low.startsWith(wanted) ? 1 : screen.dataset.card ? 2 : 3);
    });
    if (wanted) [...list.children].sort((a, b) => rank.get(a) - rank.get(b)).forEach((item) => list.append(item));
    if (!list.children.length) { const item = document.createElement("li"); item.textContent = "Nothing found."; list.append(item); }
  };
  $("find").onclick = () => { $("sought").value = ""; seek(); $("finder").showModal(); };
  $("sought").oninput = seek;

  // Giving back.
  $("give").onclick = () => {
    $("given-text").value = givenBack();
    const left = [];
    for (const state of kept.values()) {
      for (const [writes, read] of Object.entries(state.reads)) if (read.text.trim() && !isFigure(read.text)) left.push(writes + " " + read.text);
      if (state.took.trim() && !isFigure(state.took)) left.push("minutes: " + state.took);
      for (const n of [...Object.values(state.broke), ...Object.values(state.lost)]) if (n.trim() && !count(n)) left.push("number: " + n);
    }
    $("given-told").textContent = left.length ? "No figures, and left out: " + left.join("; ") + "." : "";
    $("given").showModal();
  };
  $("copy").onclick = async () => {
    const text = $("given-text");
    text.focus();
    text.select();
    try { await navigator.clipboard.writeText(text.value); $("given-told").textContent = "Copied."; }
    catch (error) { $("given-told").textContent = "The text is marked: copy it by hand."; }
  };
  $("save").onclick = () => {
    const link = document.createElement("a");
    const url = URL.createObjectURL(new Blob([$("given-text").value], { type: "text/plain" }));
    link.href = url;
    link.download = facts.plan + "-log.boltplan";
    link.click();
    setTimeout(() => URL.revokeObjectURL(url), 1000);
    $("given-told").textContent = "Saved, where this browser saves files.";
  };
  if (navigator.share) {
    $("share").hidden = false;
    $("share").onclick = () => navigator.share({ title: facts.plan, text: $("given-text").value }).catch(() => {});
  }

  // Cards.
  const readDoubt = (box, text) => {
    const told = box.querySelector(".doubt");
    const unit = box.querySelector("select");
    told.textContent = "";
    if (!text.trim()) return;
    if (!isFigure(text)) { told.textContent = "Digits only, such as 14.2"; return; }
    const [low, high] = [Number(box.dataset.low), Number(box.dataset.high)];
    if (box.dataset.low === undefined || unit.selectedIndex !== 0) return;
    const value = Number(figure(text));
    if (value < low || value > high) told.textContent = "Expected " + low.toFixed(1) + " to " + high.toFixed(1) + " " + unit.value + ". Read it again; if it stands, it stands.";
  };
  const lettered = (input) => {
    const bad = [...new Set([...input.value].filter((c) => !unseen.test(c) && lacks(c)))];
    input.setCustomValidity(bad.length ? "Paper has no letter for " + bad.join(" ") + ": it is given back by its number." : "");
    if (bad.length) input.reportValidity();
  };
  const setUp = (screen) => {
    const step = stepOf.get(screen.dataset.card);
    const keep = () => { if (step) { const state = of(step); state.touched = today(); put(state); stands(); } };
    const stands = () => {
      const state = of(step);
      const last = reached(step, state);
      const open = unticked(step, state);
      screen.querySelector(".stands").textContent = state.done ? "Done " + state.done + "." : open.length === 0 ? "All acts are ticked." : last ? "It stands after act " + last.letter + "." : "";
      const done = screen.querySelector("[data-done]");
      done.textContent = state.done ? "Not done after all" : "Card done";
    };
    // Ticks and marks that are in no log: kept, each under its own key.
    for (const box of screen.querySelectorAll("input[type=checkbox][data-k]:not([data-act])")) {
      box.checked = box.checked || shared.ticks[box.dataset.k] !== undefined;
      box.onchange = () => { if (box.checked) shared.ticks[box.dataset.k] = today(); else delete shared.ticks[box.dataset.k]; put({ ...shared }); };
    }
    for (const mark of screen.querySelectorAll(".marks button")) {
      mark.setAttribute("aria-pressed", String(shared.ticks[mark.dataset.k] !== undefined));
      mark.onclick = () => {
        const on = mark.getAttribute("aria-pressed") !== "true";
        mark.setAttribute("aria-pressed", String(on));
        if (on) shared.ticks[mark.dataset.k] = today(); else delete shared.ticks[mark.dataset.k];
        put({ ...shared });
      };
    }
    if (!step || step.logged) return;
    const state = of(step);
    screen.querySelector("fieldset.end").hidden = false;
    for (const row of screen.querySelectorAll(".row")) {
      const letter = row.dataset.letter;
      const box = row.querySelector("[data-act]");
      const paint = () => { box.checked = state.ticks[letter] !== undefined; row.classList.toggle("ticked", box.checked); };
      paint();
      box.onchange = async () => {
        if (!box.checked) {
          const sure = await ask("Take back the tick of " + letter + "?", false);
          if (sure) { state.taken.push(letter + " " + today()); delete state.ticks[letter]; keep(); }
          paint();
          return;
        }
        const before = step.rows.slice(0, step.rows.findIndex((one) => one.letter === letter)).filter((one) => !state.ticks[one.letter]);
        if (before.length) {
          const why = await ask(before[0].letter + " is still open. Is " + letter + " done all the same?", true);
          if (!why) { paint(); return; }
          state.order.push(letter + " before " + before.map((one) => one.letter).join(", ") + ": " + why);
        }
        const marks = [...row.querySelectorAll(".marks button")];
        const marked = marks.filter((mark) => mark.getAttribute("aria-pressed") === "true").length;
        const unread = [...row.querySelectorAll(".blank input")].filter((input) => !isFigure(input.value)).length;
        const open = [marked < marks.length ? marked + " of " + marks.length + " fixings are marked" : "", unread ? "nothing is read yet" : ""].filter((text) => text);
        if (open.length && !(await ask(open.join(", and ") + ". Is " + letter + " done all the same?", false))) { paint(); return; }
        state.ticks[letter] = today();
        paint();
        keep();
      };
      for (const blankBox of row.querySelectorAll(".blank")) {
        const input = blankBox.querySelector("input");
        const unit = blankBox.querySelector("select");
        const old = state.reads[blankBox.dataset.writes];
        if (old) { input.value = old.text; unit.value = old.unit; readDoubt(blankBox, old.text); }
        input.oninput = unit.onchange = () => {
          state.reads[blankBox.dataset.writes] = { text: input.value, unit: unit.value };
          readDoubt(blankBox, input.value);
          keep();
        };
      }
      row.querySelectorAll("[data-noted]").forEach((input, n) => {
        const name = letter + "/" + n;
        if (state.noted[name]) input.value = state.noted[name].text;
        input.oninput = () => { state.noted[name] = { text: input.value, caption: input.dataset.noted, unit: input.dataset.unit || "" }; keep(); };
      });
      const clock = row.querySelector(".clock");
      if (clock) {
        const told = clock.querySelector("p");
        const tell = () => {
          const from = state.clocks[letter];
          if (!from) return;
          const left = Math.ceil(Number(clock.dataset.minutes) - (Date.now() - from) / 60000);
          told.textContent = left > 0 ? "About " + left + " min to go." : "The time is over.";
        };
        clock.querySelector("button").onclick = () => { state.clocks[letter] = Date.now(); keep(); tell(); };
        tell();
        setInterval(tell, 10000);
      }
    }
    const plain = { took: "took", found: "found", skipped: "skipped", differently: "differently", waiting: "waiting", signed: "signed" };
    for (const [mark, field] of Object.entries(plain)) {
      const input = screen.querySelector("[data-" + mark + "]");
      if (!input) continue;
      input.value = state[field];
      input.oninput = () => { state[field] = input.value; lettered(input); keep(); };
    }
    for (const mark of ["broke", "lost", "damaged"]) {
      for (const input of screen.querySelectorAll("[data-" + mark + "]")) {
        input.value = state[mark][input.dataset[mark]] || "";
        input.oninput = () => { state[mark][input.dataset[mark]] = input.value; keep(); };
      }
    }
    for (const button of screen.querySelectorAll("[data-by]")) {
      const name = button.dataset.by;
      const paint = () => button.setAttribute("aria-pressed", String((state.by || step.by).includes(name)));
      paint();
      button.onclick = () => {
        const now = state.by || step.by;
        state.by = now.includes(name) ? now.filter((one) => one !== name) : facts.people.map(([one]) => one).filter((one) => one === name || now.includes(one));
        paint();
        keep();
      };
    }
    screen.querySelector("[data-done]").onclick = async () => {
      if (state.done) {
        if (await ask("Is it not done after all?", false)) { state.done = null; keep(); }
        return;
      }
      const list = [...screen.querySelectorAll(".before input[type=checkbox], .ticks input[data-loose]")].filter((box) => !box.checked).length;
      if (list && !(await ask(list + (list === 1 ? " row" : " rows") + " of what comes before it moves, or before this, is not ticked. Is the card done all the same?", false))) return;
      const open = unticked(step, state);
      if (open.length) {
        const why = await ask(open.map((row) => row.letter).join(", ") + (open.length === 1 ? " is" : " are") + " still open. Is the card done all the same?", true);
        if (!why) return;
        state.order.push(open.map((row) => row.letter).join(", ") + " not ticked: " + why);
      }
      state.done = today();
      keep();
    };
    stands();
  };

  const begin = async () => {
    document.body.classList.add("plays");
    document.querySelector("nav.thumb").hidden = false;
    let records = [];
    try {
      store = await open();
      // Whether it keeps anything is tried before work begins.
      await new Promise((good, bad) => {
        const probe = store.transaction("kept", "readwrite");
        probe.objectStore("kept").put({ name: "?" }, key("?"));
        probe.objectStore("kept").delete(key("?"));
        probe.oncomplete = good;
        probe.onabort = probe.onerror = () => bad(probe.error);
      });
      records = await readAll();
    } catch (error) {
      store = null;
      say("This browser keeps nothing of this page: what you tick is gone when you close it. Give back before you do.");
    }
    const changed = new Map();
    for (const record of records) {
      if (!record || typeof record.name !== "string") continue;
      if (record.name === "*") {
        if (record.ticks && typeof record.ticks === "object") shared.ticks = record.ticks;
        if (Number.isInteger(record.here)) shared.here = record.here;
        continue;
      }
      const step = facts.steps.find((one) => one.name === record.name);
      if (!step) continue;
      const old = sound(step, record);
      if (record.acts === step.acts) kept.set(step.name, old);
      else { changed.set(step.name, Object.keys(old.ticks)); old.ticks = {}; old.done = null; old.order = []; kept.set(step.name, old); }
    }
    for (const screen of screens) {
      setUp(screen);
      const step = stepOf.get(screen.dataset.card);
      const letters = step && changed.get(step.name);
      if (letters) {
        const told = screen.querySelector(".changed");
        told.textContent = "The plan of this card changed since it was ticked" + (letters.length ? " (" + letters.join(", ") + ")" : "") + ". Look, and tick again what is done.";
        told.hidden = false;
      }
    }
    const gone = records.filter((record) => record && typeof record.name === "string" && record.name !== "*" && !facts.steps.some((step) => step.name === record.name));
    if (gone.length) say("Kept from an older page, and no longer in the plan: " + gone.map((record) => record.name).join(", ") + ".");
    show(shared.here);
    if (navigator.locks) {
      navigator.locks.request("boltfolio/" + facts.plan, { ifAvailable: true }, (lock) => {
        if (lock) return new Promise(() => {});
        mayWrite = false;
        say("This job is open in another tab: here it can be read, and nothing is kept.");
        return undefined;
      }).catch(() => {});
    }
  };
  begin();
})();
