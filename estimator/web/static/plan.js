// The plan of a roof: zoom, layers, what pointer and arrow keys are on, the places of checks. The page works without it.

const STEP = 1.5;
const FAR = 40000; // mm: no wider part of a large roof is asked for at once
const REACH = 14; // pixels from the pointer within which rails and attachments are found
const KINDS = ["modules", "rails", "attachments"];

export class Plan {
  constructor(figure) {
    this.figure = figure;
    this.svg = figure.querySelector("svg");
    this.told = figure.querySelector(".plan-told");
    this.whole = this.svg.viewBox.baseVal;
    this.whole = { x: this.whole.x, y: this.whole.y, width: this.whole.width, height: this.whole.height };
    this.view = { ...this.whole };
    this.width = Number(this.svg.dataset.width);
    this.height = Number(this.svg.dataset.height);
    this.coarse = this.svg.dataset.coarse === "1";
    this.kind = 0;
    this.at = -1;
    this.facts = null;
    this.prepare();
  }

  prepare() {
    this.figure.querySelector(".plan-tools").hidden = false;
    this.figure.querySelector(".plan-help").hidden = false;
    this.svg.setAttribute("tabindex", "0");
    this.svg.setAttribute("role", "application");
    this.figure.addEventListener("click", (event) => this.clicked(event));
    this.figure.addEventListener("change", (event) => this.changed(event));
    this.svg.addEventListener("keydown", (event) => this.pressed(event));
    this.svg.addEventListener("focus", () => this.load());
    this.svg.addEventListener("pointerenter", () => this.load());
    this.svg.addEventListener("pointermove", (event) => this.moved(event));
    this.svg.addEventListener("pointerdown", (event) => this.grabbed(event));
    this.svg.addEventListener("wheel", (event) => {
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      this.zoom(event.deltaY < 0 ? STEP : 1 / STEP, this.point(event));
    }, { passive: false });
  }

  clicked(event) {
    const asked = event.target.closest("[data-do]")?.dataset.do;
    if (asked === "in") this.zoom(STEP);
    if (asked === "out") this.zoom(1 / STEP);
    if (asked === "whole") this.show(this.whole);
  }

  changed(event) {
    const layer = event.target.dataset?.layer;
    if (layer) for (const each of this.svg.querySelectorAll(`.layer.${layer}`)) each.classList.toggle("off", !event.target.checked);
  }

  pressed(event) {
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const kinds = { m: 0, r: 1, a: 2 };
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (key in moves) this.step(...moves[key]);
    else if (key in kinds) { this.kind = kinds[key]; this.at = -1; this.step(0, 0); }
    else if (key === "+" || key === "=") this.zoom(STEP, this.centre());
    else if (key === "-") this.zoom(1 / STEP, this.centre());
    else if (key === "Home" || key === "0") this.show(this.whole);
    else if (key === "Escape") this.tell(null);
    else return;
    event.preventDefault();
  }

  async load() {
    if (this.loading || !this.figure.dataset.facts) return this.loading;
    this.asked = this.window();
    const part = this.coarse ? `?window=${this.asked.map((each) => each.toFixed(0)).join(",")}` : "";
    this.loading = fetch(this.figure.dataset.facts + part, { headers: { Accept: "application/json" } })
      .then((answer) => (answer.ok ? answer.json() : null))
      .then((facts) => {
        const on = this.facts?.[KINDS[this.kind]]?.[this.at];
        this.facts = facts;
        if (on) this.at = (facts?.[KINDS[this.kind]] ?? []).findIndex((each) => on.slice(0, 4).every((side, at) => side === each[at]));
        if (facts && this.coarse) this.detail(this.isClose() ? facts.detail : "");
      })
      .catch(() => { this.loading = null; });
    return this.loading;
  }

  detail(inside) {
    const drawn = new DOMParser().parseFromString(`<svg xmlns="http://www.w3.org/2000/svg">${inside ?? ""}</svg>`, "image/svg+xml");
    this.svg.querySelector(".detail").replaceChildren(...drawn.documentElement.children);
  }

  isClose() {
    return this.view.width <= FAR && this.view.height <= FAR;
  }

  // What is in view; of a large roof seen from afar, the part around pointer or keyboard, at first the lower left.
  window() {
    const { view } = this, low = this.height - view.y - view.height;
    const side = (start, size, near) => {
      if (size <= FAR) return [start, start + size];
      const from = Math.min(Math.max((near ?? start) - FAR / 2, start), start + size - FAR);
      return [from, from + FAR];
    };
    const [x0, x1] = side(view.x, view.width, this.near?.x), [y0, y1] = side(low, view.height, this.near?.y);
    return [x0, y0, x1, y1];
  }

  // Whether facts of a place were asked for; near an edge of them beyond which the roof goes on they are not enough.
  isKnown({ x, y }, margin = 0) {
    if (!this.coarse || !this.asked) return true;
    const [x0, y0, x1, y1] = this.asked, within = (at, from, to, last) => (from <= 0 || at >= from + margin) && (to >= last || at <= to - margin);
    return within(x, x0, x1, this.width) && within(y, y0, y1, this.height);
  }

  point(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: at.x, y: this.height - at.y };
  }

  centre() {
    const on = this.facts?.[KINDS[this.kind]]?.[this.at];
    if (on) return { x: (on[0] + on[2]) / 2, y: (on[1] + on[3]) / 2 };
    return { x: this.view.x + this.view.width / 2, y: this.height - this.view.y - this.view.height / 2 };
  }

  moved(event) {
    if (this.drag) return this.pan(event);
    if (!this.facts) return;
    const at = this.point(event);
    if (!this.isKnown(at)) { this.near = at; return this.refine(); }
    const near = REACH / this.svg.getScreenCTM().a;
    this.tell(nearest(this.facts.attachments, at, near) ?? nearest(this.facts.rails, at, near / 2) ?? within(this.facts.modules, at));
  }

  grabbed(event) {
    if (event.button !== 0 || event.defaultPrevented) return;
    this.drag = { x: event.clientX, y: event.clientY, view: { ...this.view } };
    const end = () => { this.drag = null; window.removeEventListener("pointerup", end); this.refine(); };
    window.addEventListener("pointerup", end);
  }

  pan(event) {
    const scale = this.svg.getScreenCTM().a;
    if (this.view.width >= this.whole.width) return;
    this.show({
      ...this.drag.view,
      x: this.drag.view.x - (event.clientX - this.drag.x) / scale,
      y: this.drag.view.y - (event.clientY - this.drag.y) / scale,
    }, false);
  }

  async step(right, up) {
    await this.load();
    const from = this.facts?.[KINDS[this.kind]]?.[this.at];
    if (from && !this.isClose() && !this.isKnown({ x: (from[0] + from[2]) / 2, y: (from[1] + from[3]) / 2 }, FAR / 8)) await this.around(from);
    const all = this.facts?.[KINDS[this.kind]] ?? [];
    if (!all.length) return;
    this.at = this.at < 0 ? lowest(all) : neighbour(all, this.at, right, up);
    const on = all[this.at];
    this.tell(on);
    const y = this.height - (on[1] + on[3]) / 2, x = (on[0] + on[2]) / 2;
    const { view } = this;
    if (x < view.x || x > view.x + view.width || y < view.y || y > view.y + view.height)
      this.show({ ...view, x: x - view.width / 2, y: y - view.height / 2 });
  }

  // Facts anew around what the keyboard is on.
  async around(box) {
    this.near = { x: (box[0] + box[2]) / 2, y: (box[1] + box[3]) / 2 };
    this.loading = null;
    return this.load();
  }

  zoom(factor, on = this.centre()) {
    const width = Math.min(this.whole.width, Math.max(1500, this.view.width / factor));
    const share = width / this.view.width;
    const y = this.height - on.y;
    this.show({
      x: on.x - (on.x - this.view.x) * share, y: y - (y - this.view.y) * share,
      width, height: this.view.height * share,
    });
  }

  show(view, settled = true) {
    const x = Math.min(Math.max(view.x, this.whole.x), this.whole.x + this.whole.width - view.width);
    const y = Math.min(Math.max(view.y, this.whole.y), this.whole.y + this.whole.height - view.height);
    this.view = { x, y, width: view.width, height: view.height };
    this.svg.setAttribute("viewBox", `${x} ${y} ${view.width} ${view.height}`);
    if (settled) this.refine();
  }

  refine() {
    if (!this.coarse) return;
    clearTimeout(this.later);
    this.later = setTimeout(() => { this.loading = null; this.load(); }, 200);
  }

  tell(on) {
    this.mark(on ? on.slice(0, 4) : null);
    this.told.textContent = on ? on.slice(4).join("; ") : "";
  }

  mark(box, kind = "here") {
    const layer = this.svg.querySelector(".pointer");
    layer.replaceChildren();
    if (!box) return;
    const least = 8 / (this.svg.getScreenCTM()?.a || 0.05);
    const [x0, y0, x1, y1] = box;
    const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    const wide = Math.max(x1 - x0, least), high = Math.max(y1 - y0, least);
    rect.setAttribute("x", (x0 + x1 - wide) / 2);
    rect.setAttribute("y", this.height - (y0 + y1 + high) / 2);
    rect.setAttribute("width", wide);
    rect.setAttribute("height", high);
    rect.setAttribute("class", kind);
    layer.append(rect);
  }

  light(box) {
    this.show(this.whole);
    this.mark(box, "lit");
    this.figure.scrollIntoView({ block: "nearest" });
  }
}

function gap(box, at) {
  const x = Math.max(box[0] - at.x, 0, at.x - box[2]);
  const y = Math.max(box[1] - at.y, 0, at.y - box[3]);
  return Math.hypot(x, y);
}

function nearest(all, at, reach) {
  let best = null, least = reach;
  for (const each of all) {
    const away = gap(each, at);
    if (away <= least) { best = each; least = away; }
  }
  return best;
}

function within(all, at) {
  return all.find((each) => gap(each, at) === 0) ?? null;
}

function lowest(all) {
  let best = 0;
  all.forEach((each, at) => { if (each[1] + each[0] < all[best][1] + all[best][0]) best = at; });
  return best;
}

function neighbour(all, from, right, up) {
  const middle = (box) => [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  const [x, y] = middle(all[from]);
  let best = from, least = Infinity;
  all.forEach((each, at) => {
    const [u, v] = middle(each);
    const ahead = (u - x) * right + (v - y) * up, aside = Math.abs((u - x) * up) + Math.abs((v - y) * right);
    if (at !== from && ahead > 1 && ahead + 3 * aside < least) { best = at; least = ahead + 3 * aside; }
  });
  return best;
}

export const plans = new Map();

export function bring(root = document) {
  for (const figure of root.querySelectorAll("figure.roof")) plans.set(figure.dataset.roof, new Plan(figure));
  for (const spot of root.querySelectorAll(".spot")) {
    spot.hidden = false;
    spot.addEventListener("click", () => plans.get(spot.dataset.roof)?.light(spot.dataset.box.split(",").map(Number)));
  }
}

bring();
