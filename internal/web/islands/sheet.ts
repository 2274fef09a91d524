// A ticked sheet typed back by keys: a figure answers a line, Enter goes on to
// the next.

class SheetBack extends HTMLElement {
  connectedCallback(): void {
    this.addEventListener("keydown", (e) => this.key(e));
    (this.querySelector<HTMLInputElement>("input[type=radio]:checked") ?? this.querySelector<HTMLInputElement>("input[type=radio]"))?.focus();
  }

  private key(e: KeyboardEvent): void {
    if (e.ctrlKey || e.altKey || e.metaKey || !(e.target instanceof HTMLElement)) return;
    const line = e.target.closest("fieldset.sheet-back");
    if (!line || e.target instanceof HTMLAnchorElement) return;
    if (e.key === "Enter") {
      e.preventDefault();
      this.next(line, e.shiftKey ? -1 : 1);
      return;
    }
    if (e.target instanceof HTMLSelectElement && e.key >= "1" && e.key <= "9" && Number(e.key) < e.target.options.length) {
      e.preventDefault();
      e.target.selectedIndex = Number(e.key); // the first option says nothing
      const lists = [...line.querySelectorAll("select")];
      (lists[lists.indexOf(e.target) + 1] ?? e.target).focus();
      return;
    }
    if (!(e.target instanceof HTMLInputElement) || e.target.type !== "radio") return;
    const radios = [...line.querySelectorAll<HTMLInputElement>("input[type=radio]")];
    const box = (name: string): HTMLElement | null => line.querySelector<HTMLElement>(".field[id^=f-" + name + "] input");
    let to: HTMLElement | null | undefined;
    if (e.key === "0") radios.find((r) => r.value === "")?.click();
    else if (e.key >= "1" && e.key <= "4") {
      const r = radios[Number(e.key) - 1];
      if (!r || r.value === "") return;
      r.click();
      to = r.value === "not" ? box("why") : r.value === "other" ? box("amount") : line.querySelector<HTMLElement>("select,.field[id^=f-temp] input");
      if (!to) r.focus();
    } else if (e.key === "-") to = box("but");
    else return;
    e.preventDefault();
    to?.focus();
  }

  /** The next line that takes an answer, after the last the button that looks over. */
  private next(line: Element, by: number): void {
    const all = [...this.querySelectorAll("fieldset.sheet-back")].filter((x) => x.querySelector("input[type=radio]"));
    const to = all[all.indexOf(line) + by];
    const at = to ? (to.querySelector<HTMLElement>("input[type=radio]:checked") ?? to.querySelector<HTMLElement>("input[type=radio]")) : by > 0 ? this.closest("form")?.querySelector<HTMLElement>("button[value=look]") : undefined;
    at?.focus();
    (to ?? at)?.scrollIntoView({ block: "center" });
  }
}

customElements.define("sheet-back", SheetBack);

export {};
