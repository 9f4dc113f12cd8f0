// Pitwright's own script: nothing here is needed to do the work, all of it makes it quicker.
// What is typed is kept in this browser until it is saved; a length can be touched; a drawing turned.

const store = (() => { try { return window.localStorage; } catch { return null; } })();
const all = (selector, root = document) => [...root.querySelectorAll(selector)];
const el = (tag, attributes = {}, ...inside) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...inside);
  return made;
};

// ---- what is typed is not lost

const keyOf = (form) => `typed ${form.getAttribute("action")} ${form.dataset.keep}`;
const saved = new URLSearchParams(location.search).has("saved");
const SENT = "sent";

// what a form sent is no draft any more once the page after it says that it was saved
const brief = (() => { try { return window.sessionStorage; } catch { return null; } })();
function forgetSent() {
  const key = brief?.getItem(SENT);
  if (key && saved) store?.removeItem(key);
  brief?.removeItem(SENT);
}
const typedIn = (form) => Object.fromEntries(
  [...new FormData(form)].filter(([name, value]) => typeof value === "string" && !["token", "seen", "form"].includes(name)));

function keepTyped(form) {
  const key = keyOf(form);
  const before = JSON.stringify(typedIn(form));
  if (!form.querySelector("input:not([type=hidden]), select, textarea")) return;
  const was = store?.getItem(key);
  const refused = document.querySelector("[data-focus]") !== null;
  if (was && was !== before && !refused) {
    for (const [name, value] of Object.entries(JSON.parse(was))) {
      for (const field of form.elements) {
        if (field.name !== name || field.type === "hidden" || field.type === "file") continue;
        if (field.type === "radio") field.checked = field.value === value; else field.value = value;
      }
    }
    for (const fold of ancestors(form, "details")) fold.open = true;
    form.prepend(el("p", { class: "notice check", role: "status" }, "What you had typed here is back. It is not saved yet."));
  } else if (was && !refused) store.removeItem(key);
  const note = () => {
    const now = JSON.stringify(typedIn(form));
    if (now === before) store?.removeItem(key); else store?.setItem(key, now);
  };
  form.addEventListener("input", note);
  form.addEventListener("change", note);
  form.addEventListener("ruler", note);
}
function* ancestors(node, tag) { for (let at = node; at; at = at.parentElement) if (at.localName === tag) yield at; }

// a double tap sends once; after a lost line the button works again
function onceOnly(form) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) { event.preventDefault(); return; }
    const file = form.querySelector("input[type=file]");
    const most = Number(file?.dataset.most || 0);
    if (file?.files[0] && file.files[0].size > most) { event.preventDefault(); tooBig(file); return; }
    form.dataset.sent = "yes";
    brief?.setItem(SENT, keyOf(form));
    setTimeout(() => { delete form.dataset.sent; }, 4000);
  });
}
function tooBig(file) {
  const said = `This file is ${Math.round(file.files[0].size / 1e6)} MB; at most 40 MB are kept. Choose a smaller copy.`;
  file.parentElement.querySelector(".wrong")?.remove();
  file.parentElement.append(el("p", { class: "wrong", role: "alert" }, said));
  file.focus();
}

// ---- the ruler: a wheel of whole inches, and sixteenths

const NS = "http://www.w3.org/2000/svg";
const SIXTEENTHS = ["", "1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16"];

const MM = { in: 25.4, ft: 304.8, mm: 1, cm: 10, m: 1000 };
const UNITS = { in: "in", inch: "in", inches: "in", '"': "in", "″": "in", "”": "in", ft: "ft", feet: "ft", foot: "ft", "'": "ft", "′": "ft", "’": "ft", mm: "mm", cm: "cm", m: "m" };
const GLYPHS = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };

// the nearest sixteenth of what is typed; nothing where it is a range or cannot be read
function lengthOf(text, unit) {
  let rest = text.trim().replace(/[½¼¾⅛⅜⅝⅞]/g, (c) => ` ${GLYPHS[c]}`).replace(/^([-+−–—]?)\s+/, "$1");
  if (!rest) return { minus: false, whole: 0, part: 0 };
  const minus = /^[-−–—]/.test(rest);
  rest = rest.replace(/^[-+−–—]\s*/, "");
  const term = /^(?:(\d+)(?:\s+|\s*-\s*)(\d+)\/(\d+)|(\d+)\/(\d+)|(\d+(?:\.\d+)?|\.\d+))\s*([a-z]+\.?|["'″”′’])?\s*/i;
  let mm = 0, last = "";
  while (rest) {
    const t = term.exec(rest);
    if (!t) return null;
    const named = t[7] ? UNITS[t[7].toLowerCase().replace(".", "")] : last ? "in" : unit;
    if (!named) return null;
    const size = t[6] ? Number(t[6]) : Number(t[1] || 0) + Number(t[2] || t[4]) / Number(t[3] || t[5]);
    mm += size * MM[named];
    last = named;
    rest = rest.slice(t[0].length);
  }
  const sixteenths = Math.round((mm / 25.4) * 16);
  return { minus, whole: Math.floor(sixteenths / 16), part: sixteenths % 16 };
}
const textOf = ({ minus, whole, part }) =>
  `${minus && (whole || part) ? "-" : ""}${whole && part ? `${whole} ${SIXTEENTHS[part]}` : part ? SIXTEENTHS[part] : whole}`;

function addRuler(field) {
  const open = el("button", { type: "button", class: "rule", "aria-expanded": "false" }, "Ruler");
  open.setAttribute("aria-label", `Ruler for ${document.querySelector(`label[for="${field.id}"]`)?.textContent ?? "this length"}`);
  field.after(open);
  open.addEventListener("click", () => {
    const there = open.ruler;
    document.querySelectorAll(".ruler").forEach((r) => r.remove());
    document.querySelectorAll("button.rule").forEach((b) => { b.setAttribute("aria-expanded", "false"); if (b !== open) b.ruler = null; });
    open.ruler = null;
    if (there?.was) return;
    open.ruler = makeRuler(field);
    open.ruler.was = true;
    open.setAttribute("aria-expanded", "true");
    const block = field.closest(".three, .two");
    if (block) block.append(open.ruler); else open.after(open.ruler);
    open.ruler.show();
  });
}

function makeRuler(field) {
  const unit = field.dataset.unit || "in";
  const read = lengthOf(field.value, unit);
  const now = read ?? { minus: false, whole: 0, part: 0 };
  const wheel = el("div", { class: "wheel", role: "group", "aria-label": "whole inches" });
  for (let n = 0; n <= 60; n += 1) wheel.append(el("button", { type: "button", "data-n": n }, String(n)));
  const range = el("input", { type: "range", min: 0, max: 15, step: 1, "aria-label": "sixteenths of an inch" });
  const said = el("output", {});
  const picture = sixteenths();
  const signs = el("div", { class: "signs", role: "group", "aria-label": "which way" });
  const minusWord = field.dataset.minus;
  if (minusWord) for (const [word, minus] of [[field.dataset.plus, false], [minusWord, true]])
    signs.append(el("button", { type: "button", "data-minus": minus }, word));
  const box = el("div", { class: "ruler", role: "group", "aria-label": "Ruler" }, ...(minusWord ? [signs] : []), wheel, picture, range, said);
  const show = (write) => {
    all("button", wheel).forEach((b) => b.setAttribute("aria-pressed", String(Number(b.dataset.n) === now.whole)));
    all("button", signs).forEach((b) => b.setAttribute("aria-pressed", String((b.dataset.minus === "true") === now.minus)));
    range.value = now.part;
    range.setAttribute("aria-valuetext", SIXTEENTHS[now.part] || "0");
    picture.querySelector(".at").setAttribute("transform", `translate(${10 + now.part * 20} 0)`);
    said.textContent = write || read ? `${textOf(now)} in` : `${field.value} stays until you touch the ruler`;
    if (write) {
      field.value = unit === "in" ? textOf(now) : `${textOf(now)} in`;
      field.dispatchEvent(new Event("ruler", { bubbles: true }));
    }
  };
  wheel.addEventListener("click", (e) => { const b = e.target.closest("button"); if (b) { now.whole = Number(b.dataset.n); show(true); } });
  signs.addEventListener("click", (e) => { const b = e.target.closest("button"); if (b) { now.minus = b.dataset.minus === "true"; show(true); } });
  range.addEventListener("input", () => { now.part = Number(range.value); show(true); });
  const touch = (e) => {
    if (e.type === "pointermove" && !e.buttons) return;
    const place = picture.getBoundingClientRect();
    now.part = Math.max(0, Math.min(15, Math.round((((e.clientX - place.left) / place.width) * 330 - 10) / 20)));
    show(true);
  };
  picture.addEventListener("pointerdown", touch);
  picture.addEventListener("pointermove", touch);
  box.show = () => {
    show(false);
    const at = wheel.querySelector('[aria-pressed="true"]');
    if (at) wheel.scrollLeft = at.offsetLeft - wheel.offsetLeft - wheel.clientWidth / 2 + 28;
  };
  return box;
}
function sixteenths() {
  const svg = document.createElementNS(NS, "svg");
  svg.setAttribute("viewBox", "0 0 330 64");
  svg.setAttribute("aria-hidden", "true");
  for (let n = 0; n <= 16; n += 1) {
    const high = n % 16 === 0 ? 60 : n % 8 === 0 ? 48 : n % 4 === 0 ? 38 : n % 2 === 0 ? 28 : 18;
    svg.append(line(10 + n * 20 - (n === 16 ? 1 : 0), 0, high, n % 4 ? 1.5 : 2.5));
  }
  const at = line(0, 0, 64, 5);
  at.setAttribute("class", "at");
  svg.append(at);
  return svg;
}
function line(x, from, to, wide) {
  const made = document.createElementNS(NS, "line");
  for (const [k, v] of Object.entries({ x1: x, x2: x, y1: from, y2: to, "stroke-width": wide })) made.setAttribute(k, v);
  return made;
}

// ---- a drawing is turned by a finger: the same points of the pit, looked at from elsewhere

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => { const long = Math.hypot(...a) || 1; return a.map((v) => v / long); };
const numbers = (text) => text.split(" ").map(Number);
const points = (text) => { const n = numbers(text); return n.filter((_, i) => i % 3 === 0).map((_, i) => n.slice(3 * i, 3 * i + 3)); };
const WIDE = 360, HIGH = 330, AIR = 42;

function makeTurning(svg) {
  const parts = all("[data-p]", svg).map((node) => ({ node, at: points(node.dataset.p), thick: Number(node.dataset.d || 0) }));
  if (!parts.length) return;
  const c = numbers(svg.dataset.camera);
  const from = c.slice(6, 9);
  let spin = Math.atan2(from[1], from[0]), rise = Math.asin(Math.max(-1, Math.min(1, from[2])));
  if (svg.dataset.view === "plan") { spin = -Math.PI / 2; rise = Math.PI / 2; }
  const draw = () => {
    const toward = [Math.cos(spin) * Math.cos(rise), Math.sin(spin) * Math.cos(rise), Math.sin(rise)];
    const right = [-Math.sin(spin), Math.cos(spin), 0];
    const up = unit(cross(toward, right));
    const flat = (p) => [dot(p, right), -dot(p, up)];
    const every = parts.flatMap((part) => part.at.map(flat));
    const xs = every.map((p) => p[0]), ys = every.map((p) => p[1]);
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const k = Math.min((WIDE - 2 * AIR) / Math.max(x1 - x0, 0.05), (HIGH - 2 * AIR) / Math.max(y1 - y0, 0.05));
    const put = (p) => { const [x, y] = flat(p); return [WIDE / 2 + k * (x - (x0 + x1) / 2), HIGH / 2 + k * (y - (y0 + y1) / 2)]; };
    for (const part of parts) place(part, put, k);
    const tubes = parts.filter((p) => p.node.localName === "g" && p.at.length === 2);
    tubes.sort((a, b) => depth(a, toward) - depth(b, toward));
    const first = parts.find((p) => !tubes.includes(p))?.node ?? null;
    for (const tube of tubes) svg.insertBefore(tube.node, first);
  };
  const depth = (part, toward) => part.at.reduce((sum, p) => sum + dot(p, toward), 0) / part.at.length;
  let held = null, moved = 0;
  svg.addEventListener("pointerdown", (e) => { held = [e.clientX, e.clientY]; moved = 0; });
  window.addEventListener("pointerup", () => { held = null; });
  svg.addEventListener("pointermove", (e) => {
    if (!held || !e.buttons) return;
    const [dx, dy] = [e.clientX - held[0], e.clientY - held[1]];
    moved += Math.abs(dx) + Math.abs(dy);
    if (moved < 8) return;
    spin -= dx * 0.01;
    rise = Math.max(-0.2, Math.min(Math.PI / 2, rise + dy * 0.01));
    held = [e.clientX, e.clientY];
    draw();
  });
  svg.addEventListener("click", (e) => { if (moved > 8) e.preventDefault(); }, true);
  svg.setAttribute("tabindex", "0");
  svg.addEventListener("keydown", (e) => {
    const step = { ArrowLeft: [-0.15, 0], ArrowRight: [0.15, 0], ArrowUp: [0, 0.12], ArrowDown: [0, -0.12] }[e.key];
    if (!step) return;
    e.preventDefault();
    spin += step[0];
    rise = Math.max(-0.2, Math.min(Math.PI / 2, rise + step[1]));
    draw();
  });
}
function place({ node, at, thick }, put, k) {
  const [a, b] = at.map(put);
  if (b) {
    all("line", node).forEach((l, n) => {
      for (const [name, v] of Object.entries({ x1: a[0], y1: a[1], x2: b[0], y2: b[1] })) l.setAttribute(name, v.toFixed(1));
      if (thick) l.setAttribute("stroke-width", Math.max(thick * k - (n ? 2.4 : 0), n ? 0.6 : 1.5).toFixed(1));
    });
    return;
  }
  for (const one of [node, ...all("circle, text", node)]) {
    const x = (a[0] + Number(one.dataset?.dx || 0)).toFixed(1), y = (a[1] + Number(one.dataset?.dy || 0)).toFixed(1);
    if (one.localName === "circle") { one.setAttribute("cx", x); one.setAttribute("cy", y); }
    if (one.localName === "text") { one.setAttribute("x", x); one.setAttribute("y", y); }
  }
}

// ---- clocks: they count from what the record says, so sleep and restarts do not stop them

function tick() {
  for (const span of all("[data-until]")) {
    const skew = (span.skew ??= Number(span.dataset.now) - Date.now());
    const left = Math.ceil((Number(span.dataset.until) - Date.now() - skew) / 1000);
    const [h, m, s] = [Math.floor(left / 3600), Math.floor((left % 3600) / 60), left % 60];
    span.textContent = left <= 0 ? "(over)" : `(${h ? `${h} h ` : ""}${h || m ? `${m} min ` : ""}${s} s left)`;
  }
}

function begin(root) {
  all("form[data-keep]", root).forEach((form) => { keepTyped(form); onceOnly(form); });
  all("[data-ruler]", root).forEach(addRuler);
  all("svg[data-turn]", root).forEach(makeTurning);
}
forgetSent();
begin(document);
document.querySelector("[data-focus]")?.focus();
document.addEventListener("htmx:afterSettle", (event) => { if (event.detail.elt.id === "page") begin(event.detail.elt); });
if (document.querySelector("[data-until]")) { tick(); }
setInterval(tick, 1000);
document.addEventListener("visibilitychange", tick);
