// The page's own script. Everything works without it. With it, what was typed where there is no Wi-Fi stays on this
// device until the book names its entry; open pages notice when the book changes; a sheet keeps its ticks.
"use strict";
(() => {
  const root = document.documentElement;
  const house = root.dataset.book;
  const OUTBOX = `draff-outbox-${house}`;
  const BOOKED = `draff-booked-${house}`;
  const LEASE = `draff-lease-${house}`;
  const me = [...crypto.getRandomValues(new Uint32Array(2))].join("-");
  const RETRY = 3000, HELD = 30000, SEND_TAKES = 10000, LEASE_LASTS = 15000;
  // By how much this device's clock is ahead of the book's, in milliseconds.
  const ahead = Date.now() - Number(root.dataset.now || Date.now());
  let busy = false, isTyped = false, next = 0;

  // --- small parts
  const make = (tag, text, more) => Object.assign(document.createElement(tag), { textContent: text || "" }, more);
  const pause = (time) => new Promise((done) => setTimeout(done, time));
  const stored = (key) => {
    try { return JSON.parse(localStorage.getItem(key)) || []; } catch { return []; }
  };
  const store = (key, value) => {
    try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; }
  };
  const waiting = () => stored(OUTBOX);
  const change = (id, to) => store(OUTBOX, waiting().map((item) => item.id === id ? { ...item, ...to } : item));
  const drop = (id) => store(OUTBOX, waiting().filter((item) => item.id !== id));
  const idOnPage = () => document.querySelector("form[method=post] input[name=act_id]")?.value;

  // --- the outbox: one line on every page, in words
  function show() {
    let line = document.getElementById("outbox");
    if (!line) {
      line = make("div", "", { id: "outbox", className: "outbox" });
      line.setAttribute("role", "status");
      document.body.prepend(line);
    }
    const items = waiting(), first = items[0];
    line.replaceChildren();
    line.hidden = items.length === 0;
    if (!first) return;
    if (first.refused) {
      if (first.id === idOnPage()) { line.hidden = true; return; }
      line.append(make("p", `Not booked: ${first.what}. ${first.refused}`));
      line.append(key("Look at it", () => look(first)), give_up(first));
      if (items.length > 1) line.append(make("p", `Waiting behind it: ${items.length - 1}`));
    } else {
      line.append(make("p", `Waiting: ${items.length}. Kept on this device and sent when the book answers: ${first.what}`));
      if (first.held) line.append(make("p", `Not sent yet: ${first.held}`));
      line.append(key("Send now", flush));
      if (first.held) line.append(give_up(first));
    }
  }
  const give_up = (item) => key("Do not book it", () => {
    drop(item.id);
    if (item.id === idOnPage()) { location.reload(); return; }
    show();
    flush();
  });
  const key = (words, act) => make("button", words, { type: "button", className: "small", onclick: act });

  // --- sending: in order, one at a time, by one tab
  function lease() {
    const held = stored(LEASE);
    if (held.until > Date.now() && held.by !== me) return false;
    return store(LEASE, { by: me, until: Date.now() + LEASE_LASTS });
  }
  // What became of an act: the address of its entry; a page that says why not, with its form; or why it goes on waiting,
  // in no words while the book is not reached.
  async function send(item) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), SEND_TAKES);
    // A device that was paired anew has another token than the form that waits.
    const body = new URLSearchParams(item.body);
    body.set("form_token", root.dataset.token);
    try {
      const answer = await fetch(item.to, {
        method: "POST", body, signal: stop.signal, cache: "no-store",
        headers: { "Draff-Typed": `${item.typed} ${Date.now()} ${Math.round(item.ahead)}` },
      });
      if (answer.status === 201) return { entry: answer.headers.get("Location") };
      const page = await answer.text();
      // A refusal of the device, or of a server that cannot book now, is no answer about the act.
      const isAboutDevice = [401, 403, 408, 429, 503].includes(answer.status);
      return isAboutDevice || !read(page).querySelector("input[name=act_id]") ? { held: why(page) } : { page };
    } catch {
      return { held: "" };
    } finally {
      clearTimeout(timer);
    }
  }
  async function flush() {
    if (busy || !lease()) { own(); return; }
    busy = true;
    try {
      for (let item; (item = waiting()[0]) && !item.refused && lease();) {
        const answer = await send(item);
        const isHere = item.id === idOnPage();
        if ("held" in answer) { hold(item, answer.held); break; }
        if (answer.entry) {
          keepEntry(item, answer.entry);
          // The page of its entry sends what still waits.
          if (isHere) return;
          booked(item, answer.entry);
        } else if (isHere) {
          drop(item.id);
          put(answer.page, item.to);
        } else {
          change(item.id, { refused: why(answer.page) });
        }
      }
    } finally {
      store(LEASE, {});
      busy = false;
      show();
      own();
    }
  }
  function keepEntry(item, entry) {
    store(BOOKED, [{ id: item.id, entry }, ...stored(BOOKED)].slice(0, 20));
    drop(item.id);
  }
  // What became of the act of this page's form, whichever tab sent it.
  function own() {
    const id = idOnPage(), note = document.getElementById("kept");
    const entry = stored(BOOKED).find((one) => one.id === id)?.entry;
    const item = waiting().find((one) => one.id === id);
    if (entry) location.assign(entry);
    else if (!item && note) location.reload();
    else if (item?.refused && note) { note.remove(); look(item); }
    else if (item && !item.refused && !busy) kept(item);
  }
  const read = (page) => new DOMParser().parseFromString(page, "text/html");
  // What a page says first: the box of a refusal or a question, or the whole of a page without a form.
  function why(page) {
    const got = read(page), box = got.querySelector("main > [tabindex='-1']") || got;
    const words = [...box.querySelectorAll("h1, h2, li, .lead")].slice(0, 3).map((one) => one.textContent.trim());
    return words.map((one) => /[.?]$/.test(one) ? one : `${one}.`).join(" ") || "The book refused it.";
  }
  function hold(item, held) {
    change(item.id, { refused: "", held });
    next = held ? Date.now() + HELD : 0;
  }
  const retry = () => { if (waiting().length > 0 && Date.now() >= next) flush(); };
  function booked(item, entry) {
    const line = make("p", `Booked: ${item.what}. `, { className: "booked" });
    line.append(make("a", "Look at it", { href: entry }));
    document.getElementById("main")?.prepend(line);
  }
  // The form makes room: typed over, it would change what waits.
  function kept(item) {
    document.querySelector("form[method=post]").hidden = true;
    if (document.getElementById("kept")) return;
    document.getElementById("main").append(make("p", `${item.what}: kept on this device. It is sent by itself when the book takes it, with the time at which you typed it. You can leave this page.`, { id: "kept", className: "notice" }));
  }
  async function look(item) {
    const answer = await send(item);
    if ("held" in answer) { hold(item, answer.held); show(); own(); return; }
    if (answer.entry) { keepEntry(item, answer.entry); location.assign(answer.entry); return; }
    put(answer.page, item.to);
  }
  // Shows the page that a form was answered with.
  function put(page, address) {
    const got = read(page);
    document.title = got.title;
    document.body.replaceWith(document.importNode(got.body, true));
    history.replaceState(null, "", address);
    delete root.dataset.version;
    isTyped = true;
    begin();
    (document.querySelector(".trouble") || document.querySelector("h1"))?.focus();
    scrollTo(0, 0);
  }

  // --- forms
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.querySelector("[data-books]") || form.enctype === "multipart/form-data") return;
    const id = form.elements.act_id.value;
    if (busy && waiting()[0]?.id === id) { event.preventDefault(); return; }
    const before = waiting().find((item) => item.id === id);
    const item = {
      id, to: form.getAttribute("action"), body: new URLSearchParams(new FormData(form)).toString(),
      what: document.querySelector("h1").textContent, typed: before?.typed || Date.now(), ahead: before?.ahead ?? ahead,
    };
    const items = before ? waiting().map((one) => one.id === id ? item : one) : [...waiting(), item];
    // Where nothing can be kept the form goes as it would without script.
    if (!store(OUTBOX, items)) return;
    event.preventDefault();
    show();
    flush();
  });
  document.addEventListener("input", (event) => { isTyped = true; understand(event.target); });
  document.addEventListener("change", (event) => understand(event.target));

  // What a number with a comma or in another unit comes to, shown while it is typed. The book asks where it is not.
  const GRAMS = { g: 1, kg: 1000, oz: 28.349523125, lb: 453.59237 };
  const round = (number, digits) => +number.toFixed(digits);
  function come_to(number, unit, usual) {
    if (!(unit in GRAMS)) return `${round(unit === usual ? number : usual === "C" ? (number - 32) / 1.8 : number * 1.8 + 32, 1)} °${usual}`;
    const grams = number * GRAMS[unit];
    if (usual === "lb") return `${round(grams / GRAMS.lb, 3)} lb`;
    return Math.abs(grams) < 1000 ? `${round(grams, 1)} g` : `${round(grams / 1000, 3)} kg`;
  }
  function understand(at) {
    const measure = at.closest?.(".measure"), field = measure?.querySelector("input[inputmode=decimal]");
    const unit = measure?.querySelector("select")?.value, usual = measure?.dataset.usual;
    if (!unit || !usual) return;
    const typed = field.value.trim(), plain = typed.replace(",", ".");
    const isAsUsual = !typed.includes(",") && ({ g: "g kg", lb: "lb oz" }[usual] || usual).split(" ").includes(unit);
    const isBelow = measure.querySelector(".below input")?.checked && !plain.startsWith("-");
    // A comma before three digits may set thousands apart: the book asks which it is.
    const isDoubtful = /^(?!0,)-?0*\d{0,3},\d{3}$/.test(typed);
    const isShown = !isAsUsual && !isDoubtful && /^-?\d+(\.\d+)?$/.test(plain);
    let line = measure.querySelector("output");
    if (!line) measure.append(line = make("output"));
    line.textContent = isShown ? `= ${come_to(Number(plain) * (isBelow ? -1 : 1), unit, usual)}` : "";
    measure.dataset.shown = isShown ? `${field.name}:${typed}:${unit}` : "";
    const all = [...document.querySelectorAll(".measure[data-shown]")].map((one) => one.dataset.shown).filter(Boolean);
    if (field.form.elements.understood) field.form.elements.understood.value = all.join("|");
  }

  // --- open pages notice that the book changed
  function changed() {
    const isAtField = document.activeElement?.matches("input, select, textarea");
    if (!isTyped && !isAtField && !busy && waiting().length === 0) { location.reload(); return; }
    if (document.getElementById("changed")) return;
    const line = make("div", "", { id: "changed", className: "outbox" });
    line.setAttribute("role", "status");
    line.append(make("p", "The book changed since this page was opened."), key("Look again", () => location.reload()));
    document.body.prepend(line);
  }
  // Only the page that is looked at waits: a browser has six connections to one machine, and those of pages that were
  // left would hold up the next.
  let waits = new AbortController();
  const leave = () => waits.abort();
  addEventListener("pagehide", leave);
  document.addEventListener("visibilitychange", () => { if (document.hidden) leave(); else own(); });
  const seen = () => new Promise((done) => {
    if (!document.hidden) { done(); return; }
    document.addEventListener("visibilitychange", done, { once: true });
  });
  async function watch() {
    for (let version = root.dataset.version; version && root.dataset.version;) {
      await seen();
      waits = new AbortController();
      try {
        const answer = await fetch(`/changes?since=${version}`, { cache: "no-store", signal: waits.signal });
        if (answer.status === 401 || answer.status === 403) return;
        if (!answer.ok) throw new Error(answer.status);
        const now = await answer.text();
        if (now !== version && root.dataset.version) { version = now; changed(); }
        retry();
      } catch {
        await pause(RETRY);
      }
    }
  }

  // --- a sheet keeps its ticks on this device, each with the words of its row
  function ticks() {
    const boxes = [...document.querySelectorAll(".sheet .tick")];
    if (boxes.length === 0) return;
    const place = `draff-ticks-${house}-${location.pathname}`;
    const ticked = new Set(stored(place)), seen = {};
    for (const box of boxes) {
      const line = box.closest("tr, li, p") || box.parentElement;
      const row = line.textContent.replace(/\s+/g, " ").trim();
      const name = `${row} ${seen[row] = (seen[row] || 0) + 1}`;
      const input = make("input", "", { type: "checkbox", className: "tick", checked: ticked.has(name) });
      input.setAttribute("aria-label", row || "done");
      input.addEventListener("change", () => {
        if (input.checked) ticked.add(name); else ticked.delete(name);
        store(place, [...ticked]);
      });
      box.replaceWith(input);
      // A wet thumb hits the row: all of it ticks.
      line.classList.add("ticks");
      line.addEventListener("click", (event) => { if (!event.target.closest("a, input")) input.click(); });
    }
  }

  function begin() {
    ticks();
    show();
    for (const field of document.querySelectorAll(".measure input[inputmode=decimal]")) if (field.value) understand(field);
  }
  begin();
  flush();
  watch();
  addEventListener("online", flush);
  addEventListener("storage", (event) => { if (event.key === OUTBOX || event.key === BOOKED) { show(); own(); } });
  setInterval(retry, RETRY);
})();
