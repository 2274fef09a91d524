// Measuring on a photo of a field: the scale from two taps on a line of known
// length, threads traced tap by tap, things marked one by one. Everything goes
// into the plain boxes of the form, the marks too, in points of the very picture
// that is kept.

import type { PhotoBox } from "./photo";

type XY = [number, number];

interface Act {
  what: string; // "scale", "thread", "width", or the box of a group
  points: XY[];
  done: boolean;
}

const lastScale = "wormyard-scale";

export class PhotoMeasure extends HTMLElement {
  private form!: HTMLFormElement;
  private words: string[] = [];
  private canvas = document.createElement("canvas");
  private window = document.createElement("div");
  private known = document.createElement("input");
  private said = document.createElement("p");
  private tools = new Map<string, HTMLButtonElement>();
  private groups: { box: string; name: string }[] = [];
  private acts: Act[] = [];
  private tool = "scale";
  private perPoint = 0; // µm
  private zoom = 1;
  private picture: HTMLImageElement | undefined;

  connectedCallback(): void {
    if (this.firstElementChild) return;
    this.form = this.closest("form")!;
    this.words = (this.dataset["words"] ?? "").split("|");
    this.groups = (this.dataset["groups"] ?? "").split("\n").map((l) => {
      const [box = "", name = ""] = l.split("\t");
      return { box, name };
    });
    const box = this.form.querySelector<PhotoBox>("photo-box")!;
    new MutationObserver(() => this.load(box)).observe(box, { attributes: true, subtree: true, attributeFilter: ["src", "hidden"] });
    this.draw();
  }

  private word(i: number, ...values: (string | number)[]): string {
    return (this.words[i] ?? "").replace(/\{(\d)\}/g, (_, n: string) => String(values[Number(n) - 1] ?? ""));
  }

  private button(text: string, on: () => void): HTMLButtonElement {
    const b = document.createElement("button");
    b.type = "button";
    b.className = "b";
    b.textContent = text;
    b.addEventListener("click", on);
    return b;
  }

  private row(...of: HTMLElement[]): HTMLElement {
    const d = document.createElement("div");
    d.className = "row-of-b";
    d.append(...of);
    return d;
  }

  private draw(): void {
    this.hidden = true;
    const tools = this.row();
    for (const [tool, name] of [["scale", this.word(0)], ["thread", this.word(1)], ["width", this.word(2)], ...this.groups.map((g) => [g.box, g.name])] as [string, string][]) {
      const b = this.button(name, () => this.choose(tool));
      this.tools.set(tool, b);
      tools.append(b);
    }
    const label = document.createElement("label");
    label.className = "for";
    label.htmlFor = this.known.id = "measure-known";
    label.textContent = this.word(3);
    this.known.type = "text";
    this.known.inputMode = "decimal";
    this.known.className = "short";
    this.known.value = "100";
    this.known.addEventListener("input", (e) => {
      e.stopPropagation();
      this.reckon();
    });
    const scaling = document.createElement("div");
    scaling.className = "box measurescale";
    scaling.append(label, this.known);
    const was = Number(localStorage.getItem(lastScale));
    if (was > 0) {
      scaling.append(
        this.button(this.word(4, was.toPrecision(3)), () => {
          this.acts = this.acts.filter((a) => a.what !== "scale");
          this.perPoint = was;
          this.choose("thread");
          this.reckon();
        }),
      );
    }
    this.window.className = "measure";
    this.window.tabIndex = 0;
    this.window.setAttribute("role", "group");
    this.window.setAttribute("aria-label", this.word(5));
    this.canvas.addEventListener("click", (e) => this.tap(e));
    this.window.append(this.canvas);
    this.said.className = "told";
    this.said.setAttribute("role", "status");
    const acts = this.row(
      this.button(this.word(6), () => this.end()),
      this.button(this.word(7), () => this.undo()),
      this.button(this.word(8), () => this.enlarge(2)),
      this.button(this.word(9), () => this.enlarge(0.5)),
    );
    this.append(tools, scaling, this.window, acts, this.said);
    this.choose("scale");
  }

  private load(box: PhotoBox): void {
    const img = box.querySelector("img");
    if (!img || img.hidden || !img.src) {
      this.hidden = true;
      return;
    }
    const picture = new Image();
    picture.addEventListener("load", () => {
      this.picture = picture;
      this.canvas.width = picture.naturalWidth;
      this.canvas.height = picture.naturalHeight;
      this.acts = [];
      this.hidden = false;
      this.choose(this.perPoint > 0 ? "thread" : "scale"); // the scale of the micrometer holds for the next photo
      this.reckon();
    });
    picture.src = img.src;
  }

  private choose(tool: string): void {
    this.end();
    this.tool = tool;
    for (const [t, b] of this.tools) b.setAttribute("aria-pressed", String(t === tool));
    this.paint();
    this.tell();
  }

  private enlarge(by: number): void {
    this.zoom = Math.min(8, Math.max(1, this.zoom * by));
    this.canvas.style.setProperty("width", this.zoom * 100 + "%");
  }

  private tap(e: MouseEvent): void {
    const r = this.canvas.getBoundingClientRect();
    const at: XY = [((e.clientX - r.left) * this.canvas.width) / r.width, ((e.clientY - r.top) * this.canvas.height) / r.height];
    const last = this.acts.at(-1);
    const goesOn = last && !last.done && last.what === this.tool;
    if (goesOn) last.points.push(at);
    else {
      if (this.tool === "scale") this.acts = this.acts.filter((a) => a.what !== "scale");
      this.acts.push({ what: this.tool, points: [at], done: this.tool !== "thread" && this.tool !== "scale" && this.tool !== "width" });
    }
    const now = this.acts.at(-1)!;
    if ((this.tool === "scale" || this.tool === "width") && now.points.length === 2) now.done = true;
    this.reckon();
  }

  private end(): void {
    const last = this.acts.at(-1);
    if (!last || last.done) return;
    if (last.points.length < 2) this.acts.pop();
    else last.done = true;
    this.reckon();
  }

  private undo(): void {
    const last = this.acts.at(-1);
    if (!last) return;
    last.points.pop();
    last.done = false;
    if (last.points.length === 0) this.acts.pop();
    this.reckon();
  }

  private length(points: XY[]): number {
    let sum = 0;
    for (let i = 1; i < points.length; i++) sum += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
    return sum;
  }

  /** Brings what was tapped into the boxes of the form. */
  private reckon(): void {
    const scale = this.acts.find((a) => a.what === "scale" && a.points.length === 2);
    const known = Number(this.known.value.replace(",", "."));
    if (scale && known > 0 && this.length(scale.points) > 0) {
      this.perPoint = known / this.length(scale.points);
      localStorage.setItem(lastScale, String(this.perPoint));
    }
    const threads = this.acts.filter((a) => a.what === "thread" && a.points.length > 1);
    const widths = this.acts.filter((a) => a.what === "width" && a.points.length === 2);
    const set = (name: string, v: string): void => {
      const i = this.form.elements.namedItem(name);
      if (i instanceof HTMLInputElement || i instanceof HTMLTextAreaElement) i.value = v;
    };
    const um = (px: number): string => (px * this.perPoint).toFixed(1);
    if (this.perPoint > 0) {
      set("um_per_px", this.perPoint.toPrecision(5));
      set("field_area_mm2", ((this.canvas.width * this.canvas.height * this.perPoint * this.perPoint) / 1e6).toPrecision(5));
      set("seen_length", threads.map((a) => um(this.length(a.points))).join("+"));
      set("seen_width", widths.map((a) => um(this.length(a.points))).join("+"));
    }
    for (const g of this.groups) {
      const n = this.acts.filter((a) => a.what === g.box).length;
      set(g.box, n > 0 ? String(n) : "");
    }
    set(
      "traces",
      this.acts
        .filter((a) => a.what !== "scale" && (a.done || a.points.length > 1))
        .map((a) => {
          const what = a.what.replace("seen_", "");
          const points = a.points.map(([x, y]) => x.toFixed(0) + " " + y.toFixed(0)).join(" ");
          return [what, points, ...(a.points.length > 1 && this.perPoint > 0 ? [um(this.length(a.points))] : [])].join(", ");
        })
        .join("\n"),
    );
    if (this.acts.length > 0) this.form.dataset["touched"] = "";
    this.paint();
    this.tell();
  }

  private tell(): void {
    if (!this.picture) return;
    if (this.perPoint === 0) {
      this.said.textContent = this.word(10);
      return;
    }
    const threads = this.acts.filter((a) => a.what === "thread" && a.points.length > 1);
    const sum = threads.reduce((n, a) => n + this.length(a.points), 0) * this.perPoint;
    const marks = this.acts.filter((a) => a.what.startsWith("seen_")).length;
    this.said.textContent = this.word(11, this.perPoint.toPrecision(3), threads.length, sum.toFixed(0), marks);
  }

  private paint(): void {
    const c = this.canvas.getContext("2d");
    if (!c || !this.picture) return;
    c.drawImage(this.picture, 0, 0);
    const thick = Math.max(2, this.canvas.width / 300);
    for (const a of this.acts) {
      for (const [colour, width] of [["#fff", thick * 2], [a.what === "scale" ? "#06c" : "#a00", thick]] as [string, number][]) {
        c.strokeStyle = c.fillStyle = colour;
        c.lineWidth = width;
        c.beginPath();
        a.points.forEach(([x, y], i) => (i === 0 ? c.moveTo(x, y) : c.lineTo(x, y)));
        c.stroke();
        for (const [x, y] of a.points) {
          c.beginPath();
          c.arc(x, y, width * 1.2, 0, 2 * Math.PI);
          c.fill();
        }
      }
    }
  }
}

customElements.define("photo-measure", PhotoMeasure);
