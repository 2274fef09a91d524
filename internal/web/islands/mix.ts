// The mix page: while buckets are stepped, the farm is asked what they make, by
// the form's own button "see what it makes", and what it drew is put in place.
// The sums are the farm's alone. Without signal what was set stays, and the
// batch is written down through the outbox like every entry.

const settle = 300; // after the last press, before the farm is asked
const patience = 5000;
const patienceToFind = 20_000; // parts are searched for, the first time with a solver that starts

let asked: AbortController | undefined;
let timer = 0;

/** Comes before the forms are taken over, since what only asks makes no entry. */
export function defineMix(): void {
  const f = document.querySelector<HTMLFormElement>("form[data-kind=blend]");
  if (!f) return;
  f.addEventListener("mended", (e) => cameBack(f, (e as CustomEvent<[string, string][]>).detail));
  f.addEventListener("input", (e) => {
    if ((e.target as Element).closest("#result")) return;
    clearTimeout(timer);
    timer = window.setTimeout(() => void ask(f, "see"), settle);
  });
  f.addEventListener(
    "submit",
    (e) => {
      const b = (e as SubmitEvent).submitter as HTMLButtonElement | null;
      // Enter in a box presses the first button, which is one that asks.
      if (b?.name !== "do" || b.value === "save") {
        beforeItIsWritten(f);
        return;
      }
      e.stopImmediatePropagation();
      e.preventDefault();
      const pressed = f.querySelector("#made")?.contains(b) ?? false;
      void ask(f, b.value).then(() => {
        // the button went with what it was drawn with
        if (pressed) f.querySelector<HTMLElement>("#mixsaid")?.focus({ preventScroll: true });
      });
    },
    { capture: true },
  );
}

/** Makes a batch's number its own where the farm could not say which is next, and keeps rows and buckets in step. */
function beforeItIsWritten(f: HTMLFormElement): void {
  for (const b of boxes(f)) if (b.value.trim() === "") b.value = "0";
  const batch = f.elements.namedItem("batch");
  const id = f.elements.namedItem("id");
  const away = !navigator.onLine || document.documentElement.dataset["kept"] !== undefined;
  if (away && batch instanceof HTMLInputElement && id instanceof HTMLInputElement && batch.value !== "" && batch.value === batch.defaultValue) {
    batch.value += "-" + id.value.slice(-4);
  }
}

/** Puts the buckets of a batch that came back to their piles, wherever those stand now. */
function cameBack(f: HTMLFormElement, typed: [string, string][]): void {
  const of = (name: string): string[] => typed.filter(([k]) => k === name).map(([, v]) => v);
  const buckets = of("buckets");
  const rows = Array.from(f.querySelectorAll<HTMLInputElement | HTMLSelectElement>("[name=pile]"));
  const into = boxes(f);
  for (const b of into) b.value = "";
  of("pile").forEach((pile, i) => {
    let at = rows.findIndex((r) => r.value === pile);
    if (at < 0) at = rows.findIndex((r) => r instanceof HTMLSelectElement && r.value === "");
    if (at < 0 || (buckets[i] ?? "0") === "0") return;
    rows[at]!.value = pile;
    into[at]!.value = buckets[i]!;
  });
}

function boxes(f: HTMLFormElement): HTMLInputElement[] {
  return Array.from(f.querySelectorAll<HTMLInputElement>("input[name=buckets]"));
}

async function ask(f: HTMLFormElement, what: string): Promise<void> {
  asked?.abort();
  const mine = (asked = new AbortController());
  const said = f.querySelector<HTMLElement>("#mixsaid")!;
  const made = f.querySelector<HTMLElement>("#made")!;
  const body = new URLSearchParams();
  for (const [k, v] of new FormData(f)) if (typeof v === "string") body.append(k, v);
  body.set("do", what);
  made.setAttribute("aria-busy", "true");
  try {
    const r = await fetch("/mix", { method: "POST", body, signal: AbortSignal.any([mine.signal, AbortSignal.timeout(what === "find" ? patienceToFind : patience)]) });
    const page = new DOMParser().parseFromString(await r.text(), "text/html");
    if (mine !== asked) return;
    const now = page.querySelector("#made");
    if (!now) throw new TypeError();
    const wrong = page.querySelector(".wrong");
    if (wrong) {
      made.replaceChildren(document.importNode(wrong, true));
      said.textContent = wrong.querySelector("li")?.textContent ?? "";
    } else if (what !== "row") {
      made.replaceChildren(...copies(now));
      said.replaceChildren(...copies(page.querySelector("#mixsaid")));
    }
    if (what === "see" || wrong) {
      const poured = Array.from(page.querySelectorAll(".poured"));
      f.querySelectorAll(".poured").forEach((row, i) => row.replaceChildren(...copies(poured[i] ?? null)));
      return;
    }
    const rows = Array.from(f.querySelectorAll(".bucketrow"));
    rows[0]?.before(...Array.from(page.querySelectorAll(".bucketrow"), (row) => document.importNode(row, true)));
    for (const row of rows) row.remove();
    const water = f.elements.namedItem("water");
    const poured = page.querySelector<HTMLInputElement>("input[name=water]");
    if (water instanceof HTMLInputElement && poured) water.value = poured.value;
  } catch {
    if (mine !== asked) return;
    said.textContent = f.dataset["nosums"] ?? "";
    const p = document.createElement("p");
    p.className = "told";
    p.textContent = f.dataset["nosignal"] ?? "";
    made.replaceChildren(p);
  } finally {
    if (mine === asked) made.removeAttribute("aria-busy");
  }
}

function copies(of: Element | null): Node[] {
  return Array.from(of ? document.importNode(of, true).childNodes : []);
}
