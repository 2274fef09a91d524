// Steppers: two large buttons beside a box that stays a plain box. The first
// press in an empty box begins at what the person wrote last, with this mix, for
// this bin or else for this kind. Amounts (feed, water) are filled in at once;
// what is measured never is, so that nobody writes down yesterday's reading.

const key = (): string => "wormyard-last " + (document.documentElement.dataset["who"] ?? "");

interface Last {
  [name: string]: string;
}

function last(): Last {
  try {
    return JSON.parse(localStorage.getItem(key()) ?? "{}") as Last;
  } catch {
    return {};
  }
}

function binOf(form: HTMLFormElement): string {
  const d = new FormData(form);
  const v = String(d.get("bin") ?? "") || (d.getAll("bins").length === 1 ? String(d.get("bins")) : "");
  return /^[^\s,;]+$/.test(v) ? v : "";
}

/** The names under which a value is remembered, the nearest first. */
function under(form: HTMLFormElement, name: string): string[] {
  const d = new FormData(form);
  const bin = binOf(form);
  const mix = String(d.get("batch") || d.get("batch_other") || "").trim();
  const of = mix ? name + "~" + mix : name;
  return (bin ? [of + "@" + bin] : []).concat(mix ? [of] : [], bin && mix ? [name + "@" + bin] : [], [name]);
}

export function remembered(form: HTMLFormElement, name: string): string | undefined {
  const l = last();
  return under(form, name).map((n) => l[n]).find((v) => v !== undefined);
}

/** Keeps what a form says in boxes that remember. */
export function remember(form: HTMLFormElement): void {
  const l = last();
  for (const f of form.querySelectorAll<HTMLElement>("[data-last]")) {
    const name = f.dataset["last"]!;
    const typed = Array.from(f.querySelectorAll<HTMLInputElement>("input:not([type=radio])")).map((i) => i.value.trim()).find((v) => v !== "");
    const v = typed ?? f.querySelector<HTMLInputElement>("input[type=radio]:checked")?.value;
    if (!v) continue;
    for (const n of under(form, name)) {
      delete l[n];
      l[n] = v;
    }
  }
  const names = Object.keys(l);
  for (const n of names.slice(0, Math.max(0, names.length - 3000))) delete l[n];
  try {
    localStorage.setItem(key(), JSON.stringify(l));
  } catch {
    // a device without room remembers nothing
  }
}

/** Fills amounts that were left empty with what was written last. */
export function fillLast(form: HTMLFormElement): void {
  for (const f of form.querySelectorAll<HTMLElement>("[data-last][data-fill]")) {
    const inputs = Array.from(f.querySelectorAll<HTMLInputElement>("input"));
    if (inputs.some((i) => (i.type === "radio" ? i.checked : i.value !== ""))) continue;
    const v = remembered(form, f.dataset["last"]!);
    if (v) put(inputs, v);
  }
}

function put(inputs: HTMLInputElement[], v: string): void {
  const chip = inputs.find((i) => i.type === "radio" && i.value === v);
  if (chip) chip.checked = true;
  else {
    const box = inputs.find((i) => i.type !== "radio");
    if (box) box.value = v;
  }
}

const marks: Record<string, number> = { "½": 0.5, "¼": 0.25, "¾": 0.75 };

/** Reads a number as people type it, with what stands behind it: "1½ in". */
export function parse(text: string): { n: number; unit: string } | undefined {
  const m = /^\s*([−-]?)\s*(\d+(?:[.,]\d+)?)?\s*(?:([½¼¾])|(\d)\/(\d))?\s*([^\d]*)$/.exec(text.trim());
  if (!m || (!m[2] && !m[3] && !m[4])) return undefined;
  const whole = m[2] ? Number(m[2].replace(",", ".")) : 0;
  const part = m[3] ? marks[m[3]]! : m[4] ? Number(m[4]) / Number(m[5]) : 0;
  return { n: (m[1] ? -1 : 1) * (whole + part), unit: (m[6] ?? "").trim() };
}

class StepBox extends HTMLElement {
  connectedCallback(): void {
    this.addEventListener("click", (e) => {
      const b = (e.target as Element).closest<HTMLButtonElement>("button[data-by]");
      const box = this.querySelector("input");
      if (b && box) this.step(box, Number(b.dataset["by"]));
    });
  }

  private step(box: HTMLInputElement, by: number): void {
    const size = Number(this.dataset["step"] ?? "1");
    const field = this.closest<HTMLElement>("[data-last]");
    const name = field?.dataset["last"];
    const radios = Array.from(field?.querySelectorAll<HTMLInputElement>("input[type=radio]") ?? []);
    let from = box.value || radios.find((r) => r.checked)?.value || "";
    let stay = false;
    if (!from && name && box.form) {
      from = remembered(box.form, name) ?? "";
      stay = from !== ""; // the first press shows where it begins
    }
    const was = parse(from || "0");
    if (!was) return;
    let n = stay ? was.n : (Math.round(was.n / size + (by > 0 ? 1e-9 : -1e-9)) + by) * size;
    if (!stay && Math.abs(was.n / size - Math.round(was.n / size)) > 1e-6) n = (by > 0 ? Math.ceil(was.n / size) : Math.floor(was.n / size)) * size;
    if (n < 0 && !("below" in this.dataset)) n = 0;
    box.value = String(Math.round(n * 1000) / 1000) + (was.unit ? " " + was.unit : "");
    for (const r of radios) r.checked = false;
    box.dispatchEvent(new Event("input", { bubbles: true }));
    box.dispatchEvent(new Event("change", { bubbles: true }));
  }
}

export function defineSteps(): void {
  customElements.define("step-box", StepBox);
}
