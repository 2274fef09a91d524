// The microscope bench. Taps and keys are tallied for the field that is looked
// at; when it is done its numbers go into the plain boxes, which stay what is
// sent. All of it, the field begun included, is kept on the device at every tap,
// so that a phone that falls asleep loses nothing. The sums are the farm's alone.

const settle = 400;
const patience = 5000;

interface Group {
  box: string;
  name: string;
  key: string;
}

interface Kept {
  at: number;
  boxes: Record<string, string>;
  now: Record<string, number>;
  threads: string[];
  taps: string[];
}

const threadBox = "seen_length";
const lookedFor = "wormyard-bench-groups";

export class BenchTally extends HTMLElement {
  private form!: HTMLFormElement;
  private groups: Group[] = [];
  private words: string[] = [];
  private active = new Set<string>(["seen_bacteria"]);
  private now: Record<string, number> = {};
  private threads: string[] = [];
  private taps: string[] = [];
  private buttons = new Map<string, HTMLButtonElement>();
  private said!: HTMLElement;
  private heading!: HTMLElement;
  private thread!: HTMLElement;
  private length!: HTMLInputElement;
  private asked: AbortController | undefined;
  private timer = 0;

  connectedCallback(): void {
    if (this.firstElementChild) return;
    this.form = this.closest("form")!;
    this.words = (this.dataset["words"] ?? "").split("|");
    this.groups = (this.dataset["groups"] ?? "").split("\n").map((l) => {
      const [box = "", name = "", key = ""] = l.split("\t");
      return { box, name, key };
    });
    try {
      const was = JSON.parse(localStorage.getItem(lookedFor) ?? "null") as string[] | null;
      if (was && was.length > 0) this.active = new Set(was);
    } catch {
      // nothing was chosen before
    }
    this.draw();
    this.comeBack();
    this.form.addEventListener("input", (e) => {
      if (this.contains(e.target as Node)) return;
      this.keep();
      this.show();
      this.tell();
      this.askSoon();
    });
    this.form.addEventListener("submit", (e) => this.submitted(e), { capture: true });
    document.addEventListener("keydown", (e) => this.pressed(e));
    window.addEventListener("pagehide", () => {
      if ("gone" in this.form.dataset) localStorage.removeItem(this.shelf());
    });
    if (this.fields() > 0) this.askSoon();
  }

  private word(i: number, ...values: (string | number)[]): string {
    return (this.words[i] ?? "").replace(/\{(\d)\}/g, (_, n: string) => String(values[Number(n) - 1] ?? ""));
  }

  private draw(): void {
    this.heading = document.createElement("p");
    this.heading.className = "tallyfield";
    const grid = document.createElement("div");
    grid.className = "tally";
    for (const g of this.groups) {
      const b = this.button("", () => this.tap(g.box));
      b.append(document.createElement("span"), document.createElement("b"));
      b.firstElementChild!.textContent = g.name;
      b.setAttribute("aria-keyshortcuts", g.key);
      const k = document.createElement("kbd");
      k.textContent = g.key.toUpperCase();
      b.append(k);
      this.buttons.set(g.box, b);
      grid.append(b);
    }
    this.thread = document.createElement("div");
    this.thread.className = "box tallythread";
    const label = document.createElement("label");
    label.textContent = this.word(4);
    label.className = "for";
    this.length = document.createElement("input");
    this.length.type = "text";
    this.length.inputMode = "decimal";
    this.length.className = "short";
    this.length.id = "tally-length";
    this.length.autocomplete = "off";
    label.htmlFor = this.length.id;
    this.length.addEventListener("keydown", (e) => {
      if (e.key !== "Enter") return;
      e.preventDefault();
      e.stopPropagation();
      if (this.length.value.trim() === "") this.nextField();
      else this.addThread();
    });
    this.thread.append(label, this.length, this.button(this.word(5), () => this.addThread()));
    const acts = document.createElement("div");
    acts.className = "row-of-b";
    const next = this.button(this.word(1), () => this.nextField());
    next.classList.add("do");
    acts.append(next, this.button(this.word(2), () => this.undo()));
    this.said = document.createElement("p");
    this.said.className = "told";
    this.said.setAttribute("role", "status");
    const help = document.createElement("p");
    help.className = "help";
    help.textContent = this.word(9);
    this.append(this.choice(), this.heading, grid, this.thread, acts, this.said, help);
    this.show();
    document.querySelector("#bench-boxes")?.removeAttribute("open");
  }

  private button(text: string, on: () => void): HTMLButtonElement {
    const b = document.createElement("button");
    b.type = "button";
    b.className = "b";
    b.textContent = text;
    b.addEventListener("click", on);
    return b;
  }

  /** What is looked for: a field in which none of it is tapped is a field with none. */
  private choice(): HTMLElement {
    const set = document.createElement("details");
    const legend = document.createElement("summary");
    legend.textContent = this.word(3);
    const chips = document.createElement("div");
    chips.className = "chips";
    for (const g of [...this.groups, { box: threadBox, name: this.word(4), key: "" }]) {
      const l = document.createElement("label");
      l.className = "chip";
      const i = document.createElement("input");
      i.type = "checkbox";
      i.checked = this.active.has(g.box);
      i.addEventListener("change", () => {
        if (i.checked) this.active.add(g.box);
        else this.active.delete(g.box);
        localStorage.setItem(lookedFor, JSON.stringify([...this.active]));
        this.show();
      });
      const s = document.createElement("span");
      s.textContent = g.name;
      l.append(i, s);
      chips.append(l);
    }
    set.append(legend, chips);
    return set;
  }

  private show(): void {
    for (const [box, b] of this.buttons) {
      b.hidden = !this.active.has(box) && !this.now[box];
      b.querySelector("b")!.textContent = String(this.now[box] ?? 0);
    }
    this.thread.hidden = !this.active.has(threadBox);
    this.heading.textContent = this.word(0, this.fields() + 1) + (this.threads.length > 0 ? " · " + this.threads.join(" + ") + " µm" : "");
  }

  private tap(box: string): void {
    this.now[box] = (this.now[box] ?? 0) + 1;
    this.taps.push(box);
    this.changed();
  }

  private addThread(): void {
    const v = this.length.value.trim().replace(",", ".");
    if (!/^\d+(\.\d+)?$/.test(v)) return;
    this.threads.push(v);
    this.taps.push(threadBox);
    this.length.value = "";
    this.length.focus();
    this.changed();
  }

  private changed(): void {
    this.form.dataset["touched"] = "";
    this.show();
    this.keep();
  }

  private box(name: string): HTMLInputElement {
    return this.form.elements.namedItem(name) as HTMLInputElement;
  }

  private parts(name: string): string[] {
    const v = this.box(name).value.trim();
    return v === "" ? [] : v.split(/\s+/);
  }

  private all(): string[] {
    return [...this.groups.map((g) => g.box), threadBox];
  }

  private fields(): number {
    return Math.max(0, ...this.all().map((n) => this.parts(n).length));
  }

  private begun(): boolean {
    return this.taps.length > 0;
  }

  /** The field is done: its numbers go into the boxes, none where none was tapped. */
  private nextField(): void {
    const n = this.fields();
    for (const name of this.all()) {
      const parts = this.parts(name);
      const value = name === threadBox ? this.threads.join("+") : String(this.now[name] ?? "");
      const seen = value !== "";
      if (!seen && !this.active.has(name) && parts.length === 0) continue;
      while (parts.length < n) parts.push("-");
      parts.push(seen ? value : this.active.has(name) ? "0" : "-");
      this.box(name).value = parts.join(" ");
    }
    this.now = {};
    this.threads = [];
    this.taps = [];
    this.changed();
    this.tell();
    this.askSoon();
  }

  /** Takes back the last tap, or opens the field before. */
  private undo(): void {
    const last = this.taps.pop();
    if (last === threadBox) this.threads.pop();
    else if (last) this.now[last] = Math.max(0, (this.now[last] ?? 0) - 1);
    else this.reopen();
    this.changed();
    this.tell();
  }

  private reopen(): void {
    const n = this.fields();
    if (n === 0) return;
    for (const name of this.all()) {
      const parts = this.parts(name);
      if (parts.length < n) continue;
      const v = parts.pop()!;
      this.box(name).value = parts.join(" ");
      if (v === "-" || v === "0") continue;
      if (name === threadBox) {
        this.threads = v.split("+");
        for (const _ of this.threads) this.taps.push(name);
      } else {
        this.now[name] = Number(v) || 0;
        for (let i = 0; i < this.now[name]; i++) this.taps.push(name);
      }
    }
  }

  private pressed(e: KeyboardEvent): void {
    const at = e.target as HTMLElement;
    if (e.ctrlKey || e.metaKey || e.altKey || at.matches("input,textarea,select")) return;
    const onButton = at.matches("button,a,summary");
    if (e.key === "Enter" && !onButton) this.nextField();
    else if (e.key === "Backspace") this.undo();
    else {
      const g = this.groups.find((x) => x.key === e.key.toLowerCase() && this.active.has(x.box));
      if (!g) return;
      this.tap(g.box);
    }
    e.preventDefault();
  }

  /** Says what was seen so far, without any sum that the farm would make better. */
  private tell(): void {
    const lines: string[] = [];
    for (const g of this.groups) {
      const parts = this.parts(g.box).filter((x) => x !== "-");
      const sum = parts.reduce((a, x) => a + (Number(x) || 0), 0);
      if (parts.length > 0) lines.push(this.word(8, g.name, sum, parts.length));
    }
    this.said.textContent = lines.join(" ");
  }

  private shelf(): string {
    return "wormyard-bench " + (document.documentElement.dataset["who"] ?? "") + " " + location.pathname;
  }

  private keep(): void {
    const boxes: Record<string, string> = {};
    for (const i of this.form.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>("input[type=text][name],textarea[name]")) boxes[i.name] = i.value;
    const kept: Kept = { at: Date.now(), boxes, now: this.now, threads: this.threads, taps: this.taps };
    try {
      localStorage.setItem(this.shelf(), JSON.stringify(kept));
    } catch {
      // a device without room keeps only what stands in the boxes
    }
  }

  private comeBack(): void {
    const raw = localStorage.getItem(this.shelf());
    if (!raw || this.form.querySelector(".wrong,.doubt")) return;
    const kept = JSON.parse(raw) as Kept;
    for (const [name, v] of Object.entries(kept.boxes)) {
      const i = this.form.elements.namedItem(name);
      if (i instanceof HTMLInputElement || i instanceof HTMLTextAreaElement) i.value = v;
    }
    this.now = kept.now;
    this.threads = kept.threads;
    this.taps = kept.taps;
    if (!this.begun() && this.fields() === 0) return;
    this.form.dataset["touched"] = "";
    this.show();
    this.tell();
    const p = document.createElement("p");
    p.className = "told";
    p.textContent = this.word(7, new Date(kept.at).toLocaleTimeString(document.documentElement.lang, { hour: "numeric", minute: "2-digit" })) + " ";
    p.append(
      this.button(this.word(6), () => {
        localStorage.removeItem(this.shelf());
        delete this.form.dataset["touched"];
        location.reload();
      }),
    );
    this.prepend(p);
  }

  private submitted(e: Event): void {
    const b = (e as SubmitEvent).submitter as HTMLButtonElement | null;
    if (this.begun()) this.nextField();
    if (b?.name !== "do" || b.value !== "see") return;
    e.preventDefault();
    e.stopImmediatePropagation();
    void this.ask().then(() => document.querySelector("#made")?.scrollIntoView({ block: "nearest" }));
  }

  private askSoon(): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.ask(), settle);
  }

  /** Asks the farm what the count says, and puts it in its place. */
  private async ask(): Promise<void> {
    const made = document.querySelector<HTMLElement>("#made")!;
    this.asked?.abort();
    const mine = (this.asked = new AbortController());
    const body = new URLSearchParams();
    for (const [k, v] of new FormData(this.form)) if (typeof v === "string") body.append(k, v);
    body.set("do", "see");
    made.setAttribute("aria-busy", "true");
    try {
      const r = await fetch(location.pathname, { method: "POST", body, signal: AbortSignal.any([mine.signal, AbortSignal.timeout(patience)]) });
      const page = new DOMParser().parseFromString(await r.text(), "text/html");
      if (mine !== this.asked) return;
      const now = page.querySelector("#made");
      if (!now) throw new TypeError();
      const wrong = page.querySelector(".wrong");
      made.replaceChildren(...(wrong ? [document.importNode(wrong, true)] : Array.from(document.importNode(now, true).childNodes)));
    } catch {
      if (mine !== this.asked) return;
      const p = document.createElement("p");
      p.className = "told";
      p.textContent = this.form.dataset["nosignal"] ?? "";
      made.replaceChildren(p);
    } finally {
      if (mine === this.asked) made.removeAttribute("aria-busy");
    }
  }
}

customElements.define("bench-tally", BenchTally);
