// The turning drawing: a scene of the pit that a finger, the arrow keys or a button turns.
//
// Put `<div class="turning" data-turning>` into a page, in it a still drawing
// (`.turning-still`) and the scene as `<script type="application/json">`; see turning.py.
// This script finds every such element when it is loaded, and again in whatever is swapped in
// later (`htmx:load`), or where it is told to:
//
//   pitwrightTurning.attach(element)   brings one element to life; twice is once
//   pitwrightTurning.find(root)        every such element under root
//
// Events, sent by the element and bubbling: `turning:pick` (detail: name, zone, letter) when a
// part is tapped. No library, no request, no inline style; it works under a strict policy.
// @ts-check
(function () {
  "use strict";

  /** @typedef {[number, number, number]} Vec */
  /** @typedef {{path: Vec[], od: number, old: boolean, letter: string, words: string,
   *   zone: string, name: string, on: [boolean, boolean]}} Pipe */
  /** @typedef {{kind: string, limbs: [Vec, Vec, number][], old: boolean, words: string,
   *   arrow: [Vec, Vec] | null, zone: string, name: string}} Fitting */
  /** @typedef {{kind: string, path: Vec[], od: number, words: string, corners: Vec[]}} Obstacle */
  /** @typedef {{a: Vec, b: Vec, zone: string, words: string}} Clear */
  /** @typedef {{title: string, words: Record<string, string>,
   *   views: Record<string, [number, number]>, pipes: Pipe[], fittings: Fitting[],
   *   joints: {at: Vec, where: string, zone: string}[], cuts: {at: Vec, along: Vec, od: number, zone: string}[],
   *   walls: {mouth: Vec[], floor: Vec[]} | null, ground: number | null, obstacles: Obstacle[],
   *   north: Vec | null, north_words: string, bent: {path: Vec[], zone: string}[],
   *   zones: [string, string][], bent_words: string,
   *   clear: Clear[]}} Scene */
  /** @typedef {{right: Vec, up: Vec, toward: Vec}} Eye */
  /** @typedef {{depth: number, draw: (into: SVGElement) => void}} Painted */

  const SVG = "http://www.w3.org/2000/svg";
  const STEP = 7.5; // degrees that one press turns
  const PER_PIXEL = 0.5; // degrees that one pixel of a drag turns
  const TAP = 8; // pixels: less is a tap, not a drag
  const GLIDE = 350; // milliseconds from one view to the next
  const AIR = 30; // pixels left free about the pit
  let made = 0;

  /** @param {Vec} a @param {Vec} b @returns {Vec} */
  const add = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
  /** @param {Vec} a @param {Vec} b @returns {Vec} */
  const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  /** @param {Vec} a @param {number} by @returns {Vec} */
  const times = (a, by) => [a[0] * by, a[1] * by, a[2] * by];
  /** @param {Vec} a @param {Vec} b */
  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  /** @param {Vec} a */
  const size = (a) => Math.hypot(a[0], a[1], a[2]);

  /** The axes of the picture, from its heading and how high it looks from. [deg]
   * @param {number} heading @param {number} high @returns {Eye} */
  function eye(heading, high) {
    const h = (heading * Math.PI) / 180, p = (high * Math.PI) / 180;
    const c = Math.cos(h), s = Math.sin(h), cp = Math.cos(p), sp = Math.sin(p);
    return { right: [c, s, 0], up: [-s * sp, c * sp, cp], toward: [s * cp, -c * cp, sp] };
  }

  /** @param {string} tag @param {Record<string, string | number>} [given] @param {Element} [into]
   * @returns {SVGElement} */
  function svg(tag, given, into) {
    const made = document.createElementNS(SVG, tag);
    for (const name in given) {
      const value = given[name];
      made.setAttribute(name, typeof value === "number" ? String(Math.round(value * 100) / 100) : value);
    }
    if (into) into.appendChild(made);
    return made;
  }

  /** One drawing in its element. */
  class Turning {
    /** @param {HTMLElement} root @param {Scene} scene */
    constructor(root, scene) {
      this.root = root;
      this.scene = scene;
      this.id = "turning" + ++made;
      this.at = scene.views.isometric.slice();
      this.shown = { box: true, bent: false, clear: false };
      this.near = false;
      this.zone = "";
      this.said = scene.words.isometric;
      this.glide = 0;
      this.build();
      this.draw();
    }

    build() {
      const words = this.scene.words;
      this.stage = document.createElement("div");
      this.stage.className = "turning-stage";
      this.stage.tabIndex = 0;
      this.stage.setAttribute("role", "img");
      this.svg = /** @type {SVGSVGElement} */ (svg("svg", { "aria-hidden": "true" }, this.stage));
      this.views = this.bar(words.views);
      for (const name of ["plan", "elevation", "isometric"])
        this.button(this.views, name, words[name], () => this.look(name));
      this.turns = this.bar(words.turned);
      for (const [name, sign, by] of /** @type {[string, string, [number, number]][]} */ ([
        ["left", "←", [-1, 0]], ["right", "→", [1, 0]], ["up", "↑", [0, 1]], ["down", "↓", [0, -1]],
      ])) this.button(this.turns, name, sign, () => this.turn(by[0] * STEP, by[1] * STEP), words[name]);
      this.button(this.turns, "close", words.close, () => {
        this.near = !this.near;
        this.draw();
      });
      this.choices = this.bar(words.shown);
      if (this.scene.walls) this.toggle("box");
      if (this.scene.bent.length) this.toggle("bent");
      if (this.scene.clear.length) this.toggle("clear");
      this.zones = this.bar(words.zones);
      if (this.scene.zones.length)
        for (const [zone, name] of /** @type {[string, string][]} */ ([["", words.all]]).concat(this.scene.zones))
          this.button(this.zones, "zone", name, () => {
            this.zone = zone;
            this.near = zone !== "";
            this.draw();
          }).dataset.zone = zone;
      this.line = document.createElement("p");
      this.line.className = "turning-said";
      this.line.setAttribute("role", "status");
      const still = this.root.querySelector(".turning-still");
      if (still) still.remove();
      const bars = [this.zones, this.views, this.turns, this.choices].filter((bar) => bar.firstChild);
      this.root.append(this.stage, this.line, ...bars);
      this.listen();
    }

    /** @param {string} label */
    bar(label) {
      const made = document.createElement("div");
      made.className = "turning-bar";
      made.setAttribute("role", "group");
      made.setAttribute("aria-label", label);
      return made;
    }

    /** @param {HTMLElement} bar @param {string} name @param {string} text
     * @param {() => void} act @param {string} [label] */
    button(bar, name, text, act, label) {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = text;
      made.dataset.turn = name;
      if (label) made.setAttribute("aria-label", label);
      made.addEventListener("click", act);
      bar.appendChild(made);
      return made;
    }

    /** @param {"box" | "bent" | "clear"} name */
    toggle(name) {
      this.button(this.choices, name, this.scene.words[name], () => {
        this.shown[name] = !this.shown[name];
        this.draw();
      });
    }

    listen() {
      /** @type {Map<number, [number, number]>} */
      const fingers = new Map();
      let gone = 0;
      const stage = this.stage;
      stage.addEventListener("pointerdown", (e) => {
        if (e.button) return;
        fingers.set(e.pointerId, [e.clientX, e.clientY]);
        gone = 0;
        try { stage.setPointerCapture(e.pointerId); } catch { /* a pointer that is gone already */ }
      });
      stage.addEventListener("pointermove", (e) => {
        const was = fingers.get(e.pointerId);
        if (!was || fingers.size > 1) return;
        const dx = e.clientX - was[0], dy = e.clientY - was[1];
        gone += Math.abs(dx) + Math.abs(dy);
        fingers.set(e.pointerId, [e.clientX, e.clientY]);
        if (gone > TAP) this.turn(-dx * PER_PIXEL, dy * PER_PIXEL);
      });
      const up = (/** @type {PointerEvent} */ e) => {
        if (fingers.delete(e.pointerId) && gone <= TAP && e.type === "pointerup") this.pick(e);
      };
      stage.addEventListener("pointerup", up);
      stage.addEventListener("pointercancel", up);
      stage.addEventListener("keydown", (e) => {
        const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
        if (!by || e.ctrlKey || e.metaKey || e.altKey) return;
        e.preventDefault();
        this.turn(by[0] * STEP, by[1] * STEP);
      });
      if (window.ResizeObserver) new ResizeObserver(() => this.draw()).observe(stage);
      else window.addEventListener("resize", () => this.draw());
    }

    /** @param {PointerEvent} e */
    pick(e) {
      const hit = document.elementFromPoint(e.clientX, e.clientY);
      const part = hit && hit.closest("[data-name]");
      if (!part || !this.stage.contains(part)) return;
      const detail = {
        name: part.getAttribute("data-name"),
        zone: part.getAttribute("data-zone"),
        letter: part.getAttribute("data-letter"),
      };
      this.root.dispatchEvent(new CustomEvent("turning:pick", { bubbles: true, detail }));
    }

    /** @param {number} right @param {number} up  [deg] */
    turn(right, up) {
      cancelAnimationFrame(this.glide);
      this.at = [this.at[0] + right, Math.max(-90, Math.min(90, this.at[1] + up))];
      this.said = this.scene.words.turned;
      this.draw();
    }

    /** @param {string} name */
    look(name) {
      cancelAnimationFrame(this.glide);
      const from = this.at, to = this.scene.views[name];
      const round = ((((to[0] - from[0]) % 360) + 540) % 360) - 180;
      this.said = this.scene.words[name];
      const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
      if (calm) {
        this.at = to.slice();
        this.draw();
        return;
      }
      const began = performance.now();
      const step = (/** @type {number} */ now) => {
        const t = Math.max(0, Math.min(1, (now - began) / GLIDE)), ease = t * t * (3 - 2 * t);
        this.at = t < 1 ? [from[0] + round * ease, from[1] + (to[1] - from[1]) * ease] : to.slice();
        this.draw();
        if (t < 1) this.glide = requestAnimationFrame(step);
      };
      this.glide = requestAnimationFrame(step);
    }

    /** Whether a thing is shown: it is of the zone looked at, or of all. @param {{zone: string}} thing */
    mine(thing) {
      return !this.zone || !thing.zone || thing.zone === this.zone;
    }

    /** The clearances to tell: the tightest few of the zone looked at, else the tightest of each. */
    told() {
      if (this.zone || !this.scene.zones.length) return this.scene.clear.filter((c) => this.mine(c)).slice(0, 4);
      const first = this.scene.zones.map(([zone]) => this.scene.clear.find((c) => c.zone === zone));
      return first.flatMap((c) => (c ? [c] : []));
    }

    /** Every point the picture must hold, each with the radius about it. [m]
     * @returns {[Vec, number][]} */
    points() {
      const s = this.scene;
      /** @type {[Vec, number][]} */
      const fresh = [], all = [];
      for (const f of s.fittings.filter((t) => this.mine(t)))
        for (const [a, b, od] of f.limbs) (f.old ? all : fresh).push([a, od / 2], [b, od / 2]);
      for (const p of s.pipes.filter((t) => this.mine(t))) for (const q of p.path) (p.old ? all : fresh).push([q, p.od / 2]);
      if (this.near && fresh.length) return fresh;
      for (const o of s.obstacles) for (const q of o.corners.length ? o.corners : o.path) all.push([q, o.corners.length ? 0 : o.od / 2]);
      if (s.walls && this.shown.box) for (const q of s.walls.mouth.concat(s.walls.floor)) all.push([q, 0]);
      if (this.shown.bent) for (const line of s.bent) for (const q of line.path) all.push([q, 0]);
      return all.concat(fresh);
    }

    /** Where a point of the pit lies on the stage. [px] The scale follows the view.
     * @param {number} wide @param {number} high */
    fit(wide, high) {
      const key = [wide, high, this.near, this.zone, this.shown.box, this.shown.bent].join();
      if (key !== this.fitted) {
        this.fitted = key;
        const points = this.points();
        this.held = points.length ? points : /** @type {[Vec, number][]} */ ([[[0, 0, 0], 0.1]]);
      }
      const e = eye(this.at[0], this.at[1]);
      let left = 1e9, right = -1e9, low = 1e9, top = -1e9;
      for (const [p, r] of this.held) {
        const x = dot(p, e.right), y = dot(p, e.up);
        left = Math.min(left, x - r);
        right = Math.max(right, x + r);
        low = Math.min(low, y - r);
        top = Math.max(top, y + r);
      }
      this.k = Math.min((wide - 2 * AIR) / (right - left), (high - 2 * AIR) / (top - low));
      this.middle = [(left + right) / 2, (low + top) / 2];
      this.e = e;
      this.half = [wide / 2, high / 2];
    }

    /** @param {Vec} p @returns {[number, number]} */
    flat(p) {
      const [x, y] = this.middle;
      return [this.half[0] + this.k * (dot(p, this.e.right) - x), this.half[1] - this.k * (dot(p, this.e.up) - y)];
    }

    draw() {
      const box = this.stage.getBoundingClientRect();
      const wide = Math.max(200, box.width - 4), high = Math.max(160, box.height - 4);
      this.fit(wide, high);
      const drawn = this.svg;
      drawn.textContent = "";
      drawn.setAttribute("viewBox", `0 0 ${wide} ${high}`);
      this.hatches(drawn);
      if (this.shown.box) this.box(drawn);
      const painted = this.painted();
      painted.sort((a, b) => a.depth - b.depth);
      for (const one of painted) one.draw(drawn);
      this.marks(drawn);
      this.labels(drawn, wide, high);
      this.tell();
    }

    /** @param {Element} into */
    hatches(into) {
      const p = svg("pattern", { id: this.id + "old", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, svg("defs", {}, into));
      svg("line", { x1: 0, y1: 0, x2: 0, y2: 5, class: "hatch-line" }, p);
    }

    /** @param {Element} into */
    box(into) {
      const w = this.scene.walls;
      if (!w) return;
      for (const ring of [w.floor, w.mouth]) this.polyline(into, ring.concat([ring[0]]), "box");
      const step = w.mouth.length > 8 ? Math.round(w.mouth.length / 4) : 1;
      for (let i = 0; i < w.mouth.length; i += step) this.polyline(into, [w.mouth[i], w.floor[i]], "box");
    }

    /** @param {Element} into @param {Vec[]} path @param {string} kind */
    polyline(into, path, kind) {
      const d = path.map((p, i) => (i ? "L" : "M") + this.flat(p).map((v) => v.toFixed(1)).join(" "));
      return svg("path", { d: d.join(""), class: kind }, into);
    }

    /** @returns {Painted[]} */
    painted() {
      const s = this.scene;
      /** @type {Painted[]} */
      const out = [];
      for (const p of s.pipes) if (this.mine(p)) this.pipe(out, p);
      for (const f of s.fittings) if (this.mine(f)) this.fitting(out, f);
      for (const o of s.obstacles) this.obstacle(out, o);
      return out;
    }

    /** @param {Painted[]} out @param {Pipe} p */
    pipe(out, p) {
      for (let i = 0; i + 1 < p.path.length; i++) {
        const first = i === 0, last = i + 2 === p.path.length;
        this.tube(out, p.path[i], p.path[i + 1], p.od, p, [first && !p.on[0], last && !p.on[1]]);
        if (!last) this.ball(out, p.path[i + 1], p.od, p);
      }
    }

    /** @param {Painted[]} out @param {Fitting} f */
    fitting(out, f) {
      const round = f.kind === "elbow" || f.kind === "tee" || f.kind.indexOf("street") >= 0;
      const told = { name: f.name, zone: f.zone, letter: "", old: f.old };
      for (const [a, b, od] of f.limbs) this.tube(out, a, b, od, told, [!round, true], od / 2);
      if (round && f.limbs.length) this.ball(out, f.limbs[0][0], f.limbs[0][2], told, 1);
    }

    /** @param {Painted[]} out @param {Obstacle} o */
    obstacle(out, o) {
      const told = { name: o.words, zone: "", letter: "", old: true };
      const still = o.path.every((p) => size(sub(p, o.path[0])) < 1e-6);
      if (o.kind === "wire") {
        const depth = dot(o.path[0], this.e.toward);
        out.push({ depth, draw: (into) => { this.polyline(into, o.path, "wire"); } });
      } else if (o.corners.length) this.block(out, o.corners, told);
      else if (o.kind === "rock" || still) this.ball(out, o.path[0], o.od, told, 1);
      else
        for (let i = 0; i + 1 < o.path.length; i++)
          this.tube(out, o.path[i], o.path[i + 1], o.od, told, [true, true]);
    }

    /** A box: the faces that look at the reader. A corner's number is its signs along the axes, as bits.
     * @param {Painted[]} out @param {Vec[]} corners
     * @param {{name: string, zone: string, letter: string, old: boolean}} told */
    block(out, corners, told) {
      const middle = times(add(corners[0], corners[7]), 0.5);
      out.push({
        depth: dot(middle, this.e.toward),
        draw: (into) => {
          const g = this.group(into, told);
          for (const bit of [1, 2, 4])
            for (const side of [0, bit]) {
              const [u, v] = [1, 2, 4].filter((b) => b !== bit);
              const face = [side, side + u, side + u + v, side + v].map((n) => corners[n]);
              const out = sub(times(add(face[0], face[2]), 0.5), middle);
              if (dot(out, this.e.toward) <= 1e-9) continue;
              this.polyline(g, face.concat([face[0]]), "fill");
              this.polyline(g, face, "hatch").setAttribute("fill", `url(#${this.id}old)`);
              this.polyline(g, face.concat([face[0]]), "edge");
            }
        },
      });
    }

    /** A group that a finger finds. @param {Element} into
     * @param {{name: string, zone: string, letter: string}} told */
    group(into, told) {
      return svg("g", { "data-name": told.name, "data-zone": told.zone, "data-letter": told.letter }, into);
    }

    /** A straight round thing, cut into short lengths so that what is nearer covers what is farther.
     * @param {Painted[]} out @param {Vec} a @param {Vec} b @param {number} od
     * @param {{name: string, zone: string, letter: string, old: boolean}} told
     * @param {[boolean, boolean]} ends @param {number} [bias] */
    tube(out, a, b, od, told, ends, bias) {
      const long = size(sub(b, a));
      if (long < 1e-6) return;
      const count = Math.max(1, Math.min(24, Math.ceil(long / (2 * od))));
      const axis = times(sub(b, a), 1 / long);
      const tilt = dot(axis, this.e.toward); // how far an end is seen from the front
      for (let i = 0; i < count; i++) {
        const p = add(a, times(axis, (long * i) / count)), q = add(a, times(axis, (long * (i + 1)) / count));
        const depth = dot(times(add(p, q), 0.5), this.e.toward) + (bias || od / 2);
        const first = i === 0, last = i + 1 === count;
        out.push({ depth, draw: (into) => this.length(into, p, q, od, told, tilt, axis, [first && ends[0], last && ends[1]]) });
      }
    }

    /** @param {Element} into @param {Vec} p @param {Vec} q @param {number} od
     * @param {{name: string, zone: string, letter: string, old: boolean}} told
     * @param {number} tilt @param {Vec} axis @param {[boolean, boolean]} ends */
    length(into, p, q, od, told, tilt, axis, ends) {
      const g = this.group(into, told);
      const r = (od / 2) * this.k, [x0, y0] = this.flat(p), [x1, y1] = this.flat(q);
      const ax = dot(axis, this.e.right), ay = -dot(axis, this.e.up), shown = Math.hypot(ax, ay);
      const angle = (Math.atan2(ay, ax) * 180) / Math.PI;
      const cap = (/** @type {number} */ x, /** @type {number} */ y, /** @type {string} */ kind) =>
        svg("ellipse", { cx: x, cy: y, rx: Math.abs(tilt) * r, ry: r, transform: `rotate(${angle.toFixed(1)} ${x.toFixed(2)} ${y.toFixed(2)})`, class: kind }, g);
      // the far end first: its outer half closes the outline
      const far = tilt > 0 ? 0 : 1;
      const [fx, fy] = far ? [x1, y1] : [x0, y0], [nx, ny] = far ? [x0, y0] : [x1, y1];
      cap(fx, fy, ends[far] ? "rim" : "fill");
      if (shown > 1e-3) {
        const dx = (-ay / shown) * r, dy = (ax / shown) * r;
        const c = (/** @type {number} */ v) => v.toFixed(1);
        const side = (/** @type {number} */ s) => `M${c(x0 + s * dx)} ${c(y0 + s * dy)}L${c(x1 + s * dx)} ${c(y1 + s * dy)}`;
        const body = `${side(1)}L${c(x1 - dx)} ${c(y1 - dy)}L${c(x0 - dx)} ${c(y0 - dy)}Z`;
        svg("path", { d: body, class: "fill" }, g);
        if (told.old) svg("path", { d: body, class: "hatch", fill: `url(#${this.id}old)` }, g);
        svg("path", { d: side(1) + side(-1), class: "edge" }, g);
      }
      cap(nx, ny, ends[1 - far] ? "rim" : "fill");
      if (told.old) svg("ellipse", { cx: nx, cy: ny, rx: Math.abs(tilt) * r, ry: r, transform: `rotate(${angle.toFixed(1)} ${nx.toFixed(2)} ${ny.toFixed(2)})`, class: "hatch", fill: `url(#${this.id}old)` }, g);
    }

    /** @param {Painted[]} out @param {Vec} at @param {number} od
     * @param {{name: string, zone: string, letter: string, old: boolean}} told @param {number} [rim] */
    ball(out, at, od, told, rim) {
      const depth = dot(at, this.e.toward) + od / 2;
      out.push({
        depth,
        draw: (into) => {
          const [x, y] = this.flat(at), g = this.group(into, told), r = (od / 2) * this.k;
          svg("circle", { cx: x, cy: y, r: r - (rim ? 0 : 0.6), class: rim ? "rim" : "fill" }, g);
          if (told.old) svg("circle", { cx: x, cy: y, r, class: "hatch", fill: `url(#${this.id}old)` }, g);
        },
      });
    }

    /** Cuts, joints, flow, bent pipe and clearances: never hidden by anything.
     * @param {Element} into */
    marks(into) {
      const s = this.scene;
      for (const f of s.fittings) if (f.arrow && this.mine(f)) this.arrow(into, f.arrow[0], f.arrow[1]);
      for (const c of s.cuts) if (this.mine(c)) this.cut(into, c);
      for (const j of s.joints.filter((t) => this.mine(t))) {
        const [x, y] = this.flat(j.at);
        if (j.where === "pit") svg("circle", { cx: x, cy: y, r: 4, class: "mark" }, into);
        else svg("rect", { x: x - 3.5, y: y - 3.5, width: 7, height: 7, class: "open" }, into);
      }
      if (this.shown.bent) for (const line of s.bent) if (this.mine(line)) this.polyline(into, line.path, "bent");
      if (this.shown.clear)
        for (const c of this.told()) {
          this.polyline(into, [c.a, c.b], "clear");
          for (const end of [c.a, c.b]) {
            const [x, y] = this.flat(end);
            svg("circle", { cx: x, cy: y, r: 2.5, class: "mark" }, into);
          }
        }
    }

    /** @param {Element} into @param {Vec} a @param {Vec} b */
    arrow(into, a, b) {
      const [x0, y0] = this.flat(a), [x1, y1] = this.flat(b), long = Math.hypot(x1 - x0, y1 - y0);
      if (long < 6) return;
      const ux = (x1 - x0) / long, uy = (y1 - y0) / long, w = 5;
      const d = `M${x0} ${y0}L${x1} ${y1}M${x1 - ux * 8 - uy * w} ${y1 - uy * 8 + ux * w}L${x1} ${y1}L${x1 - ux * 8 + uy * w} ${y1 - uy * 8 - ux * w}`;
      svg("path", { d, class: "arrow" }, into);
    }

    /** @param {Element} into @param {{at: Vec, along: Vec, od: number}} c */
    cut(into, c) {
      const ax = dot(c.along, this.e.right), ay = -dot(c.along, this.e.up), shown = Math.hypot(ax, ay);
      const [x, y] = this.flat(c.at), r = (c.od / 2) * this.k + 7;
      const [nx, ny] = shown > 1e-3 ? [-ay / shown, ax / shown] : [0, 1];
      svg("path", { d: `M${x - nx * r} ${y - ny * r}L${x + nx * r} ${y + ny * r}`, class: "arrow" }, into);
    }

    /** Letters in rings and words, each where it covers least.
     * @param {Element} into @param {number} wide @param {number} high */
    labels(into, wide, high) {
      /** @type {[number, number, number, number][]} */
      const taken = [];
      const place = (/** @type {Vec} */ at, /** @type {string} */ text, /** @type {string} */ kind, /** @type {number} */ clear, /** @type {{name: string, zone: string, letter?: string}} */ thing) => {
        const [x, y] = this.flat(at);
        const w = kind === "letter" ? 12 : 4 + text.length * 3.6, h = kind === "letter" ? 12 : 9;
        let best = [Infinity, x, y];
        for (const far of [clear + 16, clear + 30, clear + 48, clear + 70])
          for (let i = 0; i < 12; i++) {
            const t = (i * Math.PI) / 6, cx = x + Math.cos(t) * (far + w - 9), cy = y - Math.sin(t) * far;
            let cost = far / 20;
            for (const b of taken)
              if (cx - w < b[2] && cx + w > b[0] && cy - h < b[3] && cy + h > b[1]) cost += 20;
            if (cx - w < 0 || cx + w > wide || cy - h < 0 || cy + h > high) cost += 100;
            if (cost < best[0]) best = [cost, cx, cy];
          }
        const [, cx, cy] = best;
        taken.push([cx - w, cy - h, cx + w, cy + h]);
        const g = this.group(into, { name: thing.name, zone: thing.zone, letter: thing.letter || "" });
        svg("path", { d: `M${x} ${y}L${cx} ${cy}`, class: "lead" }, g);
        if (kind === "letter") svg("circle", { cx, cy, r: 12, class: "ring" }, g);
        svg("text", { x: cx, y: cy, class: kind }, g).textContent = text;
      };
      for (const p of this.scene.pipes.filter((t) => this.mine(t))) {
        const n = Math.max(0, Math.floor((p.path.length - 2) / 2));
        const at = times(add(p.path[n], p.path[Math.min(n + 1, p.path.length - 1)]), 0.5);
        if (p.letter) place(at, p.letter, "letter", 4, p);
      }
      for (const p of this.scene.pipes) if (p.words && this.mine(p)) place(p.path[0], p.words, "halo", 6, p);
      for (const f of this.scene.fittings)
        if (f.words && this.mine(f) && f.limbs.length) place(times(add(f.limbs[0][0], f.limbs[0][1]), 0.5), f.words, "halo", 14, f);
      if (this.shown.clear)
        for (const c of this.told()) place(times(add(c.a, c.b), 0.5), c.words, "halo", 0, { name: "", zone: c.zone });
      if (!this.near)
        for (const o of this.scene.obstacles) {
          const at = times(add(o.path[0], o.path[o.path.length - 1]), 0.5);
          if (o.words) place(at, o.words, "halo", 6, { name: o.words, zone: "" });
        }
    }

    /** What is seen, in words. */
    tell() {
      const words = this.scene.words, told = [this.said + "."];
      if (this.shown.bent && this.scene.bent.some((b) => this.mine(b))) told.push(this.scene.bent_words);
      if (this.shown.clear) told.push(this.told().map((c) => c.words).join("; ") + ".");
      const text = told.join(" ");
      if (this.line.textContent !== text) this.line.textContent = text;
      const pieces = this.scene.pipes.filter((t) => this.mine(t)).map((p) => p.letter).filter(Boolean).join(", ");
      this.stage.setAttribute("aria-label", `${words.drawing} ${this.scene.title}${pieces ? ": " + pieces : ""}. ${words.how}`);
      for (const button of this.root.querySelectorAll("button[data-turn]")) {
        const name = /** @type {HTMLElement} */ (button).dataset.turn || "";
        const view = this.scene.views[name];
        if (view) button.setAttribute("aria-pressed", String(this.said === words[name]));
        else if (name === "zone") button.setAttribute("aria-pressed", String(/** @type {HTMLElement} */ (button).dataset.zone === this.zone));
        else if (name in this.shown) button.setAttribute("aria-pressed", String(this.shown[/** @type {"box"} */ (name)]));
        else if (name === "close") button.setAttribute("aria-pressed", String(this.near));
      }
    }
  }

  /** @type {WeakMap<Element, Turning>} */
  const alive = new WeakMap();

  /** @param {Element} root */
  function attach(root) {
    const data = root.querySelector('script[type="application/json"]');
    if (!data || alive.has(root)) return alive.get(root) || null;
    const one = new Turning(/** @type {HTMLElement} */ (root), JSON.parse(data.textContent || ""));
    alive.set(root, one);
    return one;
  }

  /** @param {Element | Document} root */
  function find(root) {
    if (root instanceof Element && root.matches("[data-turning]")) attach(root);
    for (const one of root.querySelectorAll("[data-turning]")) attach(one);
  }

  /** @type {any} */ (window).pitwrightTurning = { attach, find };
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => find(document));
  else find(document);
  document.addEventListener("htmx:load", (e) => { if (e.target instanceof Element) find(e.target); });
})();
