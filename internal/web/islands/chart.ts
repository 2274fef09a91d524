// A picture over time. The server drew it as SVG; here a canvas takes its place
// at the same size, on which a day can be read off by finger, mouse or keys.
// The SVG stays underneath for print. Numbers and words come with the page.

import uPlot from "uplot";

interface Panel {
  class: string;
  title: string;
  top: number;
  bottom: number;
  low: number;
  high: number;
  bands: number[][]; // 5, 25, 50, 75 and 95 %
  grid: { at: number; say: string }[];
  limits: { at: number; say: string; end: boolean }[];
  readings: [number, number, number][]; // day, value, how far it may be off
}

interface Chart {
  width: number;
  height: number;
  left: number;
  right: number;
  foot: number;
  from: number;
  to: number;
  days: number[];
  said: string[];
  panels: Panel[];
  lanes: { class: string; shape: string; say: string; words: number; at: number; days: number[] | null }[];
  marks: { day: number; say: string }[];
  today: string;
}

const headroom = 22; // over a plot, in lengths of the drawing
const week = 7;

/** Gives the last of ascending values that is not above most, the first if none is. */
function lastBy(values: number[], most: number): number {
  return Math.max(0, values.filter((v) => v <= most).length - 1);
}

export class TimeChart extends HTMLElement {
  private chart!: Chart;
  private drawn: uPlot[] = [];
  private box!: HTMLDivElement;
  private line!: HTMLDivElement;
  private at = 0;
  private width = 0;
  private watch: ResizeObserver | undefined;
  private themes: MutationObserver | undefined;
  private dark = matchMedia("(prefers-color-scheme:dark)");

  connectedCallback(): void {
    const svg = this.querySelector("svg");
    if (!svg || this.box) return;
    this.chart = JSON.parse(this.dataset["chart"] ?? "{}") as Chart;
    this.at = lastBy(this.chart.days, 0.5);
    this.box = document.createElement("div");
    this.box.className = "timebox";
    this.box.tabIndex = 0;
    this.box.setAttribute("role", "slider");
    this.box.setAttribute("aria-label", this.dataset["pick"] ?? "");
    this.box.setAttribute("aria-valuemin", "0");
    this.box.setAttribute("aria-valuemax", String(this.chart.days.length - 1));
    this.line = document.createElement("div");
    this.line.className = "timeline";
    this.box.append(this.line);
    this.append(this.box);
    this.box.addEventListener("keydown", this.key);
    this.box.addEventListener("pointerdown", this.point);
    this.box.addEventListener("pointermove", this.point);
    this.watch = new ResizeObserver(() => this.draw(false));
    this.watch.observe(svg);
    this.themes = new MutationObserver(this.again);
    this.themes.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
    this.dark.addEventListener("change", this.again);
    this.draw(true);
  }

  disconnectedCallback(): void {
    this.watch?.disconnect();
    this.themes?.disconnect();
    this.dark.removeEventListener("change", this.again);
  }

  private again = (): void => this.draw(true);

  /** Draws anew when the size or the colours are others. */
  private draw(always: boolean): void {
    const wide = this.querySelector("svg")!.getBoundingClientRect().width;
    if (!wide || (!always && wide === this.width)) return;
    this.width = wide;
    for (const u of this.drawn) u.destroy();
    this.drawn = this.chart.panels.map((_, i) => this.panel(i, wide / this.chart.width));
    this.classList.add("drawn");
    this.show();
  }

  private panel(i: number, k: number): uPlot {
    const c = this.chart;
    const p = c.panels[i]!;
    const last = i === c.panels.length - 1;
    const css = getComputedStyle(document.documentElement);
    const colour = (name: string): string => css.getPropertyValue("--" + name).trim();
    const wet = p.class === "wet";
    const font = (14.5 * Math.min(k, 1.15)).toFixed(1) + 'px system-ui,"Segoe UI",Roboto,"Noto Sans",sans-serif';
    const dots = window.devicePixelRatio || 1;
    const place = document.createElement("div");
    place.className = "timeplot";
    place.style.top = (p.top - headroom) * k + "px";
    this.box.append(place);
    const mid = p.bands[2] ?? [];
    const now = lastBy(c.days, 0); // the days ahead begin here
    const half = p.bands[1]!.length > 0;
    const absent = mid.map(() => null);
    const data: uPlot.AlignedData = [c.days, p.bands[4]!, p.bands[0]!, half ? p.bands[3]! : absent, half ? p.bands[1]! : absent, mid.map((v, n) => (n <= now ? v : null)), mid.map((v, n) => (n >= now ? v : null))];
    const stroke = colour(wet ? "rain" : "clay");
    const none = { points: { show: false }, width: 0 };
    return new uPlot(
      {
        width: c.width * k,
        height: ((last ? c.height : p.bottom) - p.top + headroom) * k,
        padding: [headroom * k, (c.width - c.right) * k, last ? (c.height - p.bottom) * k : 0, 0],
        pxAlign: false,
        legend: { show: false },
        cursor: { show: false },
        scales: { x: { time: false, range: [c.from, c.to] }, y: { range: [p.low, p.high] } },
        series: [{}, none, none, none, none, { points: { show: false }, stroke, width: 2.5 }, { points: { show: false }, stroke, width: 3.5 }],
        bands: [
          { series: [1, 2], fill: colour(wet ? "wet" : "band") }, // drawn with its upper line, so the outer one comes first
          { series: [3, 4], fill: colour(wet ? "wet-in" : "band-in") },
        ],
        axes: [
          { show: false },
          { size: c.left * k, gap: 5 * k, splits: p.grid.map((g) => g.at), values: p.grid.map((g) => g.say), stroke: colour("soft"), font: "500 " + font, grid: { stroke: colour("line"), width: 1 }, ticks: { show: false } },
        ],
        hooks: {
          draw: [
            (u: uPlot): void => {
              const x = u.ctx;
              const top = (p.top - headroom) * k * dots; // lengths of the drawing begin there
              const across = (day: number): number => u.valToPos(day, "x", true);
              const up = (v: number): number => u.valToPos(v, "y", true);
              const down = (length: number): number => length * k * dots - top;
              const left = across(c.from);
              const right = across(c.to);
              const say = (text: string, tx: number, ty: number, align: CanvasTextAlign, ink: string): void => {
                x.textAlign = align;
                x.textBaseline = "alphabetic";
                x.lineWidth = 4 * dots;
                x.strokeStyle = colour("paper");
                x.strokeText(text, tx, ty);
                x.fillStyle = ink;
                x.fillText(text, tx, ty);
              };
              const rule = (x1: number, y1: number, x2: number, y2: number, ink: string, width: number, dash: number[] = []): void => {
                x.beginPath();
                x.setLineDash(dash.map((d) => d * dots));
                x.moveTo(x1, y1);
                x.lineTo(x2, y2);
                x.strokeStyle = ink;
                x.lineWidth = width * dots;
                x.stroke();
                x.setLineDash([]);
              };
              x.save();
              x.lineJoin = "round";
              x.font = "500 " + (14.5 * Math.min(k, 1.15) * dots).toFixed(1) + 'px system-ui,"Segoe UI",Roboto,"Noto Sans",sans-serif';
              rule(left, up(p.low), right, up(p.low), colour("edge"), 1.5);
              if (c.today && c.from < 0 && c.to > 0) {
                const end = last ? down(c.height - 24) : down(p.bottom + 8);
                rule(across(0), i === 0 ? down(p.top - 6) : down(p.top - headroom), across(0), end, colour("ink"), 1.6);
                if (i === 0) say(c.today, across(0), down(p.top - 9), "center", colour("ink"));
              }
              for (const l of p.limits) {
                rule(left, up(l.at), right, up(l.at), colour("clay"), 2, [7, 6]);
                const over = up(l.at) - 5 * k * dots;
                say(l.say, l.end ? right : left + 6 * k * dots, over < down(p.top - headroom + 14) ? up(l.at) + 15 * k * dots : over, l.end ? "right" : "left", colour("ink"));
              }
              for (const [day, v, off] of p.readings) {
                if (off > 0) rule(across(day), up(v - off), across(day), up(v + off), colour("ink"), 1.6);
                x.beginPath();
                x.arc(across(day), up(v), 4.5 * k * dots, 0, 2 * Math.PI);
                x.fillStyle = colour("sheet");
                x.strokeStyle = colour("ink");
                x.lineWidth = 2.4 * dots;
                x.fill();
                x.stroke();
              }
              say(p.title, left, down(p.top - headroom + 13), "left", colour("ink"));
              if (last) {
                for (const l of c.lanes) {
                  say(l.say, left, down(l.words), "left", colour("soft"));
                  const shape = new Path2D(l.shape);
                  for (const day of l.days ?? []) {
                    x.save();
                    x.translate(across(day), down(l.at));
                    x.scale(k * dots, k * dots);
                    x.lineWidth = 2;
                    x.strokeStyle = colour("ink");
                    x.fillStyle = colour(l.class === "fed" ? "straw" : l.class === "watered" ? "rain" : "sheet");
                    if (l.class !== "turned") x.fill(shape);
                    x.stroke(shape);
                    x.restore();
                  }
                }
                rule(left, down(c.height - 24), right, down(c.height - 24), colour("edge"), 1.5);
                for (const m of c.marks) say(m.say, Math.min(across(m.day), right - 21 * k * dots), down(c.height - 7), "center", colour("soft"));
              }
              x.restore();
            },
          ],
        },
      },
      data,
      place,
    );
  }

  /** Tells the day chosen: by the line across, in words below, and to who listens. */
  private show(): void {
    const c = this.chart;
    const k = this.width / c.width;
    const day = c.days[this.at] ?? 0;
    const x = c.left + ((day - c.from) / (c.to - c.from)) * (c.right - c.left);
    this.line.style.transform = `translateX(${x * k}px)`;
    this.line.style.top = (headroom - 6) * k + "px";
    this.line.style.bottom = 24 * k + "px";
    const say = c.said[this.at] ?? "";
    this.box.setAttribute("aria-valuenow", String(this.at));
    this.box.setAttribute("aria-valuetext", say);
    const below = this.closest("figure")?.querySelector(".timesaid");
    if (below && below.textContent !== say) below.textContent = say;
  }

  private go(to: number): void {
    this.line.classList.add("picked");
    this.at = Math.max(0, Math.min(this.chart.days.length - 1, to));
    this.show();
  }

  private key = (e: KeyboardEvent): void => {
    const by: Record<string, number> = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: week, PageDown: -week, Home: -Infinity, End: Infinity };
    const step = by[e.key];
    if (step === undefined || e.ctrlKey || e.altKey || e.metaKey) return;
    e.preventDefault();
    this.go(this.at + step);
  };

  private point = (e: PointerEvent): void => {
    if (e.type === "pointermove" && e.pointerType !== "mouse" && !e.pressure) return;
    const c = this.chart;
    const at = ((e.clientX - this.box.getBoundingClientRect().left) / this.width) * c.width;
    const day = c.from + ((at - c.left) / (c.right - c.left)) * (c.to - c.from);
    let best = 0;
    for (let n = 1; n < c.days.length; n++) if (Math.abs(c.days[n]! - day) < Math.abs(c.days[best]! - day)) best = n;
    this.go(best);
  };
}

customElements.define("time-chart", TimeChart);
