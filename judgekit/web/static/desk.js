"use strict";
// One desk's page. The terminal is textual-serve's; this adds what a heat needs: taps that
// count as the finger comes down, with the finger's own time; no soft keyboard; and a
// connection that says when it is gone and comes back to the same lane.
(() => {
  const CLOSED = 4000, ELSEWHERE = 4001, FAILED = 4002;
  // The clock of the server is asked for so often; so long without an answer is no line.
  const ASK_MS = 1000, SILENT_MS = 4000, AGAIN_MS = 700, ANSWERS_MS = 3000, STARTED_MS = 15000;
  // Letters are this wide and high, for each pixel of their size.
  const WIDE = 0.6002, HIGH = 1.3193;
  const LEAST_PX = 9, TOUCH_LEAST_PX = 12, PHONE_PX = 600;

  // How the page was opened: by a judge, to carry on from another desk, or by itself again.
  const HOW = { "?over=1": "/over", "?back=1": "/back" };

  const terminal = document.getElementById("terminal");
  const over = document.getElementById("over");
  const again = document.getElementById("over-again");
  const hasPads = terminal.dataset.pads === "1";
  let line = null, asked = 0, told = null, offsets = [], sizes = null, ended = false;

  function say(title, says, button, then) {
    document.getElementById("over-title").textContent = title;
    document.getElementById("over-says").textContent = says;
    again.textContent = button || "";
    again.hidden = !button;
    again.onclick = then || null;
    over.hidden = false;
  }

  // --- the line to the server ----------------------------------------------------------

  // textual-serve opens its socket by this name; here is how we get hold of it.
  class Line extends WebSocket {
    constructor(url) {
      super(url);
      line = this;
      this.addEventListener("open", ask);
      this.addEventListener("close", (event) => closed(event.code));
      this.addEventListener("message", (event) => {
        asked = 0;
        if (typeof event.data === "string") listen(JSON.parse(event.data));
      });
    }
    send(data) {
      // Nothing is kept for a line that is gone: it would count late, or twice.
      if (this.readyState !== WebSocket.OPEN) return;
      const size = /^\["resize",(.*)\]$/.exec(data);
      if (size) sizes = JSON.parse(size[1]);
      super.send(data);
    }
  }
  window.WebSocket = Line;

  function listen([kind, value]) {
    if (kind === "ended") told = value;
    if (kind === "clock") {
      const [sent, here] = value, now = performance.now();
      offsets.push({ way: now - sent, by: here - (sent + now) / 2 });
      offsets = offsets.slice(-20);
    }
  }

  // A moment of this page on the server's clock, by the answer that came quickest.
  function there(moment) {
    const best = offsets.reduce((a, b) => (b.way < a.way ? b : a), offsets[0]);
    return best ? { at: Math.round(moment + best.by) } : {};
  }

  // A page that was not looked at asks seldom, so only a question without an answer tells.
  function ask() {
    if (ended || !line) return;
    const now = performance.now();
    if (line.readyState === WebSocket.CONNECTING && now > STARTED_MS) return gone();
    if (asked && now - asked > SILENT_MS) return gone();
    asked = asked || now;
    line.send(JSON.stringify(["clock", Math.round(now)]));
  }

  function gone() {
    if (ended) return;
    ended = true;
    say("NOT CONNECTED", "What stood on the screen is in the log. Nothing counts until this page is back: count aloud, and correct it then.");
    if (line) line.close();
    comeBack();
  }

  async function comeBack() {
    for (;;) {
      const stop = new AbortController();
      setTimeout(() => stop.abort(), ANSWERS_MS);
      try {
        const answer = await fetch("/alive", { signal: stop.signal });
        if (answer.ok) return location.replace(`${location.pathname}?back=1`);
      } catch { /* not yet */ }
      await new Promise((done) => setTimeout(done, AGAIN_MS));
    }
  }

  function closed(code) {
    if (ended) return;
    if (![CLOSED, ELSEWHERE, FAILED].includes(code)) return gone();
    ended = true;
    const open = () => location.replace(location.pathname);
    if (code === ELSEWHERE) say("OPENED ELSEWHERE", "This desk is open on another screen now. Nothing counts here.", "Carry on here", open);
    else if (code === CLOSED) say("CLOSED", "The desk is closed. It can be opened again, and carries on where it stood.", "Open again", open);
    else if (told && told.held) say("IN USE", told.says, "Carry on from it here", () => location.replace(location.pathname + "?over=1"));
    else say("ENDED", (told && told.says) || "The screen ended by itself. What was shown is in the log.", "Open again", open);
  }

  // --- fingers -------------------------------------------------------------------------

  function cellOf(event) {
    const screen = terminal.querySelector(".xterm-screen");
    if (!screen || !sizes) return null;
    const box = screen.getBoundingClientRect();
    const x = Math.floor((event.clientX - box.left) / (box.width / sizes.width));
    const y = Math.floor((event.clientY - box.top) / (box.height / sizes.height));
    return { x: Math.max(0, Math.min(x, sizes.width - 1)), y: Math.max(0, Math.min(y, sizes.height - 1)) };
  }

  function tapped(event) {
    // No mouse events follow from it, no focus, no menu, no keyboard.
    event.preventDefault();
    event.stopPropagation();
    if (event.pointerType === "mouse" && event.button !== 0) return;
    const cell = cellOf(event);
    if (!cell || !line || line.readyState !== WebSocket.OPEN) return;
    line.send(JSON.stringify(["tap", { ...cell, ...there(event.timeStamp) }]));
    stayAwake();
    const spot = document.createElement("div");
    spot.className = "touch";
    spot.style.left = `${event.clientX}px`;
    spot.style.top = `${event.clientY}px`;
    spot.addEventListener("animationend", () => spot.remove());
    document.body.append(spot);
  }

  const never = (event) => { event.preventDefault(); event.stopPropagation(); };
  terminal.addEventListener("pointerdown", tapped, { capture: true });
  for (const kind of ["touchstart", "touchmove", "mousedown", "dblclick", "contextmenu", "wheel"])
    terminal.addEventListener(kind, never, { capture: true, passive: false });

  // --- keys ----------------------------------------------------------------------------

  // Only real keys write: a tablet's own keyboard never opens, and what it, its guesses or
  // a paste would write does nothing.
  function hardKeysOnly() {
    const field = terminal.querySelector("textarea");
    field.inputMode = "none";
    field.readOnly = true;
    field.setAttribute("virtualkeyboardpolicy", "manual");
    for (const kind of ["beforeinput", "input", "compositionstart", "compositionupdate", "compositionend", "paste", "drop"])
      field.addEventListener(kind, never, { capture: true });
    addEventListener("keydown", (event) => {
      if (document.activeElement !== field && over.hidden) field.focus({ preventScroll: true });
      if (event.isComposing || event.keyCode === 229) never(event);
    }, { capture: true });
  }

  // --- what keeps a screen on ----------------------------------------------------------

  let awake = null;
  async function stayAwake() {
    // Browsers give this to pages with a certificate only; the README says what else does.
    if (awake || !("wakeLock" in navigator)) return;
    try {
      awake = await navigator.wakeLock.request("screen");
      awake.addEventListener("release", () => { awake = null; });
    } catch { awake = null; }
  }

  // --- start ---------------------------------------------------------------------------

  function letterSize() {
    const { width, height } = terminal.getBoundingClientRect();
    // A tablet on its side has its pads beside the count, from 96 columns on.
    const [columns, rows] = !hasPads ? [80, 24]
      : width < PHONE_PX ? [40, 36] : width < height ? [80, 46] : [106, 33];
    const fits = Math.min(width / columns / WIDE, height / rows / HIGH);
    const least = hasPads ? TOUCH_LEAST_PX : LEAST_PX;
    return Math.max(least, Math.floor(fits * 10) / 10);
  }

  addEventListener("load", async () => {
    const here = location.host, desk = terminal.dataset.desk;
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const size = letterSize();
    await document.fonts.load(`${size}px "Roboto Mono"`).catch(() => {});
    terminal.dataset.fontSize = String(size);
    terminal.dataset.sessionWebsocketUrl = `${scheme}://${here}/ws/${desk}${HOW[location.search] || ""}`;
    history.replaceState(null, "", location.pathname);
    const script = document.createElement("script");
    script.src = "/static/textual.js";
    script.onload = () => {
      window.onload(new Event("load"));
      hardKeysOnly();
    };
    document.head.append(script);
    setInterval(ask, ASK_MS);
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState !== "visible") return;
      stayAwake();
      ask();
    });
  });
})();
