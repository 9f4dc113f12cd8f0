// Notes on a carry file: kept on this phone, handed out as a file that the record takes in.
// No request, no library. The layout of the file is in docs/carry-file.md.
// @ts-check
(function () {
  "use strict";

  /** @typedef {{id: string, at: string, kind: string, body: Record<string, string>, back: boolean,
   *   knew: string[], plan: string, of?: string}} Note `of`: the note of the step that made it */
  /** @typedef {{key: string, pit: {site: string, subject: string, name: string}, plan: string,
   *   heads: Record<string, string[]>, words: Record<string, string>}} Carried */

  const INCH = 0.0254;
  const SAME = INCH / 32; // nearer than this is as planned
  const by = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
  /** @type {Carried} */
  const carried = JSON.parse(by("carried").textContent || "{}");
  const words = carried.words;
  /** @type {{notes: Note[], drafts: Record<string, string>}} */
  let state = { notes: [], drafts: {} };
  let keeps = true;

  /** Take over what this phone kept, also what another tab has noted meanwhile. */
  function load() {
    try {
      const kept = JSON.parse(localStorage.getItem(carried.key) || "null");
      if (!kept || !Array.isArray(kept.notes)) return;
      const mine = new Map(state.notes.map((n) => [n.id, n]));
      for (const note of kept.notes) mine.set(note.id, note);
      const drafts = Object.assign({}, kept.drafts, state.drafts);
      state = { notes: [...mine.values()], drafts };
    } catch {
      keeps = false;
    }
  }

  function keep() {
    try {
      localStorage.setItem(carried.key, JSON.stringify(state));
      keeps = localStorage.getItem(carried.key) !== null;
      say(by("kept"), keeps ? words.kept : words.not_kept, !keeps);
    } catch {
      keeps = false;
      say(by("kept"), state.notes.length ? words.full : words.not_kept, true);
    }
  }

  /** @param {Element | null} where @param {string} text @param {boolean} [wrong] */
  function say(where, text, wrong) {
    if (!where) return;
    where.textContent = text;
    where.classList.toggle("wrong", Boolean(wrong));
  }

  /** This phone's time with its zone, to the second. */
  function now() {
    const t = new Date(), two = (/** @type {number} */ n) => String(n).padStart(2, "0");
    const off = -t.getTimezoneOffset(), sign = off < 0 ? "-" : "+", away = Math.abs(off);
    const day = `${t.getFullYear()}-${two(t.getMonth() + 1)}-${two(t.getDate())}`;
    const clock = `${two(t.getHours())}:${two(t.getMinutes())}:${two(t.getSeconds())}`;
    return `${day}T${clock}${sign}${two(Math.floor(away / 60))}:${two(away % 60)}`;
  }

  function drawn() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  }

  /** The slot of the record that a name fills; as the record names it. @param {string} name */
  function slug(name) {
    const plain = name.normalize("NFKD").replace(/[^\x00-\x7f]/g, "").toLowerCase();
    return plain.replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60).replace(/-+$/, "");
  }

  /** A length in metres, NaN when it is none. `bare`: whether no unit was written.
   * @param {string} text @returns {{metres: number, bare: boolean}} */
  function length(text) {
    const none = { metres: NaN, bare: false };
    const plain = text.trim().toLowerCase().replace(/[’′]/g, "'").replace(/[”″]/g, '"');
    const found = /^(?:(\d+)\s*(?:ft|')\s*)?(.*)$/.exec(plain);
    if (!found || !plain) return none;
    const feet = found[1] === undefined ? 0 : Number(found[1]);
    const rest = found[2].trim();
    if (!rest) return found[1] === undefined ? none : { metres: feet * 12 * INCH, bare: false };
    const part = /^(?:(\d+(?:\.\d+)?)(?:[\s-]+(\d+)\/(\d+))?|(\d+)\/(\d+))\s*(in|"|mm|cm|m)?$/.exec(rest);
    if (!part || (part[2] && part[1].includes("."))) return none;
    const under = Number(part[3] || part[5] || 1), over = Number(part[2] || part[4] || 0);
    if (!under || (over && over >= under)) return none;
    const unit = part[6] || "";
    const metric = { mm: 0.001, cm: 0.01, m: 1 }[unit];
    if (metric && (over || found[1] !== undefined)) return none;
    const value = Number(part[1] || 0) + over / under;
    const metres = metric ? value * metric : (feet * 12 + value) * INCH;
    return metres > 0 && metres < 20 ? { metres, bare: !unit && found[1] === undefined } : none;
  }

  /** On the tape: to the nearest sixteenth, with millimetres. @param {number} metres */
  function tape(metres) {
    const n = Math.round(metres / INCH * 16), whole = Math.floor(n / 16);
    let over = n % 16, under = 16;
    while (over && over % 2 === 0) { over /= 2; under /= 2; }
    const said = [whole || !over ? String(whole) : "", over ? `${over}/${under}` : ""];
    return `${said.filter(Boolean).join(" ")} in (${Math.round(metres * 1000)} mm)`;
  }

  /** @param {string} kind @param {Record<string, string>} body @param {string} [name] @param {string} [of] */
  function note(kind, body, name, of) {
    for (const key in body) if (!body[key]) delete body[key];
    const slot = name === undefined ? "" : `${kind}/${slug(name)}`;
    load();
    const one = {
      id: drawn(), at: now(), kind, body, back: false, knew: carried.heads[slot] || [], plan: carried.plan,
      ...(of ? { of } : {}),
    };
    state.notes.push(one);
    keep();
    list();
    return one.id;
  }

  /** @param {Note} n */
  function told(n) {
    const b = n.body;
    if (n.kind === "piece") return `${words.piece} ${b.letter}: ${b.cut}`;
    if (n.kind === "joint") return `${words.joint} ${b.label}: ${b.what || ""}`;
    if (n.kind === "step") return `${words.done}: ${steps.get(b.step)?.dataset.what || b.step}`;
    if (n.kind === "reading") return `${b.reading}: ${b.typed}${b.zone ? `, ${b.zone}` : ""}`;
    return b.text || "";
  }

  function list() {
    const into = by("noted");
    into.textContent = "";
    by("nothing").hidden = state.notes.length > 0;
    for (const n of [...state.notes].reverse()) {
      if (n.of) continue; // it goes along with its step
      const item = document.createElement("li"), text = document.createElement(n.back ? "s" : "span");
      text.textContent = `${n.at.slice(11, 16)} ${told(n)}`;
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = n.back ? words.again : words.back;
      button.setAttribute("aria-label", `${button.textContent}: ${told(n)}`);
      button.addEventListener("click", () => { load(); turn(n.id); });
      const line = document.createElement("div");
      line.append(text);
      if (n.back) line.append(` (${words.taken_back})`);
      item.append(line);
      if (!n.back || n.kind !== "step" || !ticked(n.body.step)) item.append(button);
      into.append(item);
    }
    if (!by("text-out").hidden) show();
  }

  function text() {
    const out = { schema: "pitwright-notes-1", pit: carried.pit, exported: now(), notes: state.notes };
    return JSON.stringify(out, null, 1) + "\n";
  }

  function show() {
    by("text-out").hidden = false;
    /** @type {HTMLTextAreaElement} */ (by("as-text")).value = text();
  }

  function save() {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text()], { type: "application/json" }));
    link.download = `${slug(carried.pit.name) || "pit"}.notes.json`;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(by("out"), words.saved);
  }

  function copy() {
    show();
    const area = /** @type {HTMLTextAreaElement} */ (by("as-text"));
    area.focus();
    area.select();
    const done = (/** @type {boolean} */ ok) => say(by("out"), ok ? words.copied : words.not_copied, !ok);
    const old = () => {
      try { done(document.execCommand("copy")); } catch { done(false); }
    };
    if (navigator.clipboard) navigator.clipboard.writeText(area.value).then(() => done(true), old);
    else old();
  }

  /** @param {HTMLElement} form */
  function input(form) {
    return /** @type {HTMLInputElement} */ (form.querySelector("input"));
  }

  /** @param {HTMLInputElement} box */
  function clear(box) {
    box.value = "";
    box.removeAttribute("aria-invalid");
    state.drafts[box.id] = "";
  }

  /** @param {HTMLInputElement} box @param {Element | null} where @param {string} rule */
  function wrong(box, where, rule) {
    say(where, rule, true);
    box.setAttribute("aria-invalid", "true");
    box.focus();
  }

  /** @param {HTMLElement} form */
  function piece(form) {
    const box = input(form), where = form.querySelector(".told"), got = length(box.value);
    if (!(got.metres > 0)) return wrong(box, where, `"${box.value}" ${words.length}`);
    const cut = box.value.trim() + (got.bare ? " in" : "");
    const letter = form.dataset.label || "";
    const off = got.metres - Number(form.dataset.metres);
    const apart = Math.abs(off) < SAME ? words.as_planned
      : `${tape(Math.abs(off))} ${off > 0 ? words.longer : words.shorter}`;
    clear(box);
    note("piece", { letter, cut, planned: form.dataset.planned || "" }, letter);
    say(where, `${words.noted}: ${cut}, ${words.read_as} ${tape(got.metres)}; ${apart}`);
  }

  /** @param {HTMLElement} form */
  function joint(form) {
    const label = form.dataset.label || "";
    if (state.notes.some((n) => n.kind === "joint" && n.body.label === label && !n.back)) return;
    note("joint", { label, what: form.dataset.what || "" });
  }

  /** A note is taken back, or put back, and what was made by it too. @param {string} id */
  function turn(id) {
    const back = !state.notes.find((n) => n.id === id)?.back;
    for (const n of state.notes) if (n.id === id || n.of === id) n.back = back;
    keep();
    list();
  }

  /** The note of a step of this plan that is done. @param {string} named */
  function ticked(named) {
    return state.notes.filter((n) => n.kind === "step" && n.body.step === named && n.plan === carried.plan && !n.back).pop();
  }

  /** A step is ticked, which starts its clocks, or the tick taken off; what it joins is noted as made.
   * @param {HTMLElement} form */
  function step(form) {
    load();
    const { step: named = "", zone = "", what = "", hold = "", set: wait = "" } = form.dataset;
    const done = ticked(named);
    if (done) return turn(done.id);
    const id = note("step", { step: named, done: "yes", zone, hold, wait }, named);
    for (const label of (form.dataset.label || "").split("|").filter(Boolean))
      note("joint", { label, what, wait }, undefined, id);
  }

  // ---- clocks: they count from the time of the tick, so a locked phone does not stop them

  /** How long a clock still runs. @param {number} left in seconds */
  function leftOf(left) {
    if (left <= 0) return words.over;
    const [h, m, s] = [Math.floor(left / 3600), Math.floor((left % 3600) / 60), left % 60];
    return `${h ? `${h} h ` : ""}${h || m ? `${m} min ` : ""}${s} s ${words.left}`.replaceAll(" ", "\u00a0");
  }

  /** One clock in words: until when, and how long that is. @param {string} said
   * @param {number} from @param {number} seconds */
  function clockOf(said, from, seconds) {
    const until = new Date(from + seconds * 1000), two = (/** @type {number} */ n) => String(n).padStart(2, "0");
    const day = until.toDateString() === new Date().toDateString() ? ""
      : `${until.getFullYear()}-${two(until.getMonth() + 1)}-${two(until.getDate())} `;
    const time = [until.getHours(), until.getMinutes(), until.getSeconds()].map(two).join(":");
    return `${said} ${day}${time} (${leftOf(Math.ceil((until.getTime() - Date.now()) / 1000))})`;
  }

  /** @param {HTMLElement} line @param {string[]} told @param {number} from */
  function showClock(line, told, from) {
    if (from > Date.now() + 60000) told.push(words.set_back);
    if (!keeps) told.push(words.write_down);
    line.hidden = told.length === 0;
    const text = told.join("\n");
    if (line.textContent !== text) line.textContent = text;
  }

  /** @type {Map<string, HTMLElement>} the forms of the steps, by their names */
  const steps = new Map();
  const rung = new Set(); // clocks that have been said to be over

  function clocks() {
    /** @type {Map<string, number[]>} */
    const water = new Map();
    for (const [named, form] of steps) {
      const { hold = "0", set = "0", cure = "0", zone = "" } = form.dataset;
      const line = form.parentElement?.querySelector(".clock");
      const done = ticked(named), from = done ? Date.parse(done.at) : NaN;
      if (Number(cure)) water.set(zone, [...(water.get(zone) || []), from + Number(cure) * 1000]);
      if (!(line instanceof HTMLElement)) continue;
      /** @type {string[]} */
      const told = [];
      for (const [said, wait] of [[words.hold_until, hold], [words.set_until, set]]) {
        if (!done || !Number(wait)) continue;
        told.push(clockOf(said, from, Number(wait)));
        ring(`${done.id} ${said}`, from + Number(wait) * 1000, `${said.replace(/ \S+$/, "")}: ${words.over}. ${form.dataset.what}`);
      }
      showClock(line, told, done ? from : 0);
    }
    for (const [zone, ends] of water) {
      const line = [...document.querySelectorAll("[data-water]")].find((e) => e instanceof HTMLElement && e.dataset.water === zone);
      if (!(line instanceof HTMLElement)) continue;
      line.dataset.before ||= line.textContent || "";
      const last = Math.max(...ends); // not a number while one of them is not made
      showClock(line, [last ? clockOf(words.water_on, last, 0) : line.dataset.before], 0);
    }
  }

  /** Says once that a clock ran out while the page was open. @param {string} which
   * @param {number} at @param {string} text */
  function ring(which, at, text) {
    const late = Date.now() - at;
    if (late < 0 || rung.has(which)) return;
    rung.add(which);
    if (late > 5000) return;
    say(by("rung"), text);
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(600);
  }

  /** @param {HTMLElement} form */
  function reading(form) {
    const where = form.querySelector(".told");
    const [what, typed, zone] = ["what", "typed", "zone"].map((id) => /** @type {HTMLInputElement} */ (by(id)));
    for (const box of [what, typed])
      if (!box.value.trim() || (box === what && !slug(box.value))) return wrong(box, where, words.empty);
    const body = { reading: what.value.trim(), typed: typed.value.trim(), zone: zone.value.trim() };
    [what, typed, zone].forEach(clear);
    note("reading", body, body.reading);
    say(where, `${words.noted}: ${body.reading}: ${body.typed}`);
  }

  /** @param {HTMLElement} form */
  function plain(form) {
    const box = input(form), where = form.querySelector(".told"), said = box.value.trim();
    if (!said) return wrong(box, where, words.empty);
    clear(box);
    note("note", { text: said });
    say(where, `${words.noted}: ${said}`);
  }

  /** @type {Record<string, (form: HTMLElement) => void>} */
  const acts = { piece, joint, step, reading, note: plain };

  /** Joints that are noted as made say so, and steps that are done say when. */
  function joints() {
    for (const [named, form] of steps) {
      const button = form.querySelector("button"), done = ticked(named);
      if (!button) continue;
      button.textContent = done ? `✓ ${words.undone} ${done.at.slice(11, 16)}` : words.done;
      button.setAttribute("aria-pressed", String(Boolean(done)));
    }
    const made = new Set(state.notes.filter((n) => n.kind === "joint" && !n.back).map((n) => n.body.label));
    for (const one of document.querySelectorAll('[data-form="joint"]')) {
      const form = /** @type {HTMLElement} */ (one), button = form.querySelector("button");
      if (!button) continue;
      const done = made.has(form.dataset.label || "");
      button.textContent = done ? `✓ ${words.noted}` : words.made;
      button.disabled = done;
    }
    clocks();
  }

  function begin() {
    by("no-script").hidden = true;
    by("form").hidden = false;
    for (const one of document.querySelectorAll("[data-form]")) {
      const form = /** @type {HTMLElement} */ (one);
      form.hidden = false;
      if (form.dataset.step) steps.set(form.dataset.step, form);
      const act = acts[form.dataset.form || ""];
      const run = () => { act(form); joints(); };
      const button = form.querySelector("button");
      if (button) button.addEventListener("click", run);
      form.addEventListener("keydown", (e) => {
        if (e.key === "Enter" && e.target instanceof HTMLInputElement) run();
      });
    }
    load();
    for (const one of document.querySelectorAll("[data-draft]")) {
      const box = /** @type {HTMLInputElement} */ (one);
      box.value = state.drafts[box.id] || "";
      box.addEventListener("input", () => {
        state.drafts[box.id] = box.value;
        keep();
      });
    }
    by("save").addEventListener("click", save);
    by("copy").addEventListener("click", copy);
    const again = () => { load(); list(); joints(); };
    window.addEventListener("storage", again);
    by("noted").addEventListener("click", joints);
    for (const link of document.querySelectorAll("nav a"))
      link.addEventListener("click", () => {
        const part = document.querySelector(link.getAttribute("href") || "#");
        if (part instanceof HTMLDetailsElement) part.open = true;
      });
    keep();
    list();
    joints();
    setInterval(clocks, 1000);
    document.addEventListener("visibilitychange", clocks);
  }

  begin();
})();
