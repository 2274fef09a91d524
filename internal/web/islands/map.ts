// The map of a barn: a tap opens a short look inside without leaving the place,
// and the drawing is made larger and smaller. Without this, a tap loads the page
// anew with the look on it; without signal it opens the bin's own page.

const key = "wormyard-mapsize";
const sizes = [0.65, 0.8, 1, 1.3, 1.7]; // at the smallest a box is still 50 px high

const usual = 2;

export class BarnMap extends HTMLElement {
  private size = usual;

  connectedCallback(): void {
    const kept = Number(sessionStorage.getItem(key) ?? String(usual));
    this.size = Number.isInteger(kept) && kept >= 0 && kept < sizes.length ? kept : usual;
    this.addEventListener("click", this.tapped);
    document.addEventListener("keydown", this.escape);
    this.buttons();
    if (this.size !== usual) this.draw();
  }

  disconnectedCallback(): void {
    document.removeEventListener("keydown", this.escape);
  }

  private buttons(): void {
    const box = document.createElement("div");
    box.className = "sizes noprint";
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", this.dataset["size"] ?? "");
    for (const [by, word] of [
      [-1, this.dataset["smaller"]],
      [1, this.dataset["larger"]],
    ] as const) {
      const b = document.createElement("button");
      b.type = "button";
      b.className = "b quiet";
      b.textContent = word ?? "";
      b.addEventListener("click", () => {
        this.size = Math.max(0, Math.min(sizes.length - 1, this.size + by));
        sessionStorage.setItem(key, String(this.size));
        this.draw();
      });
      box.append(b);
    }
    const plan = this.querySelector(".help");
    if (plan) plan.after(box);
    else this.prepend(box);
  }

  /** Gives each drawing its size; where a person looks stays in the middle. */
  private draw(): void {
    const by = sizes[this.size]!;
    for (const svg of this.querySelectorAll<SVGSVGElement>("svg.elevation,svg.plan")) {
      const scroll = svg.closest<HTMLElement>(".mapscroll")!;
      const middle = (scroll.scrollLeft + scroll.clientWidth / 2) / Math.max(1, scroll.scrollWidth);
      const v = svg.viewBox.baseVal;
      svg.setAttribute("width", String(v.width * by));
      svg.setAttribute("height", String(v.height * by));
      const part = svg.closest<HTMLElement>(".mappart");
      if (part) part.style.containIntrinsicSize = `auto ${v.width * by}px auto ${v.height * by}px`;
      if (svg.classList.contains("plan")) scroll.scrollLeft = middle * scroll.scrollWidth - scroll.clientWidth / 2;
    }
  }

  private tapped = (e: MouseEvent): void => {
    const a = (e.target as Element).closest<SVGAElement>("a.box");
    if (!a || e.defaultPrevented || e.button !== 0 || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey) return;
    e.preventDefault();
    void this.look(a);
  };

  private async look(a: SVGAElement): Promise<void> {
    const bin = "/bin/" + encodeURIComponent(a.dataset["bin"] ?? "");
    const at = new URL(a.href.baseVal, location.href);
    at.hash = "";
    at.searchParams.set("only", "look");
    let inside: HTMLElement | null = null;
    try {
      const r = await fetch(at, { headers: { Accept: "text/html" }, credentials: "same-origin", cache: "no-store" });
      if (r.redirected) {
        location.assign(bin); // signed out meanwhile: the door asks, and leads back
        return;
      }
      if (r.ok) inside = new DOMParser().parseFromString(await r.text(), "text/html").querySelector<HTMLElement>("#look");
    } catch {
      // no signal
    }
    if (!inside) {
      location.assign(bin);
      return;
    }
    this.close();
    inside.classList.add("over");
    inside.querySelector("[data-close]")?.addEventListener("click", (e) => {
      e.preventDefault();
      this.close();
      a.focus();
    });
    for (const b of this.querySelectorAll("a.box[aria-current]")) b.removeAttribute("aria-current");
    a.setAttribute("aria-current", "true");
    this.before(inside);
    inside.focus({ preventScroll: true });
  }

  private close(): void {
    document.querySelector("#look")?.remove();
  }

  private escape = (e: KeyboardEvent): void => {
    if (e.key !== "Escape" || !document.querySelector("#look.over")) return;
    this.close();
    this.querySelector<SVGAElement>("a.box[aria-current]")?.focus();
  };
}

customElements.define("barn-map", BarnMap);
