// Forms that make entries. With or without signal a form goes the same way: it
// becomes an entry that waits on the device, is shown as waiting, and is sent.
// What the farm refuses or doubts comes back into the form with the reason.

import { add, change, drop, item, type Fact, type Item } from "./store";
import { send, tell, type Outcome } from "./send";
import { fillLast, remember } from "./steps";
import type { PhotoBox } from "./photo";
import { room, fullAfter } from "./room";
import { mark } from "./marks";
import { say } from "./words";
import { uuid7 } from "./uuid";

/** How long a form waits for the farm's answer before it lets the person go on. */
const patience = 4000;

type Pair = [string, string];

const left = new Set(["id", "back", "yes"]);

export function forms(): HTMLFormElement[] {
  return Array.from(document.querySelectorAll<HTMLFormElement>("form[data-kind]"));
}

/** Whether something was typed that is not put away, or a form is on its way. */
export function dirty(): boolean {
  return document.querySelector("form[data-kind][data-touched],form[data-kind][data-gone]") !== null;
}

/** Takes forms over that came with the page, or came onto it later. */
export function adopt(list: HTMLFormElement[]): void {
  for (const f of list) {
    fresh(f);
    f.addEventListener("input", (e) => {
      f.dataset["touched"] = "";
      either(e.target as HTMLElement);
    });
    f.addEventListener("submit", (e) => {
      e.preventDefault();
      const by = (e as SubmitEvent).submitter as HTMLButtonElement | null;
      if (by?.name === "rows") rows(by);
      else void submit(f, by);
    });
  }
}

/** Adds a row to a list, or takes one off, as the farm does for a phone without scripts. */
function rows(by: HTMLButtonElement): void {
  const list = by.closest<HTMLElement>(".sets");
  const all = list ? Array.from(list.querySelectorAll<HTMLElement>(".setrow")) : [];
  const last = all.at(-1);
  if (!list || !last) return;
  if (by.value.startsWith("-")) {
    const row = by.closest<HTMLElement>(".setrow")!;
    if (all.length > 1) row.remove();
    else empty(row);
    return;
  }
  const key = list.dataset["list"]!;
  const was = Number(/(\d+)$/.exec(last.querySelector<HTMLButtonElement>("button[name=rows]")!.value)![1]);
  const row = last.cloneNode(true) as HTMLElement;
  empty(row);
  for (const e of row.querySelectorAll("*"))
    for (const a of ["id", "name", "for", "list", "value", "aria-describedby"]) {
      const v = e.getAttribute(a);
      if (v?.includes(`${key}.${was}`)) e.setAttribute(a, v.replace(`${key}.${was}`, `${key}.${was + 1}`));
    }
  const head = row.querySelector("h3")!;
  head.textContent = head.textContent!.replace(/\d+$/, String(was + 2));
  last.after(row);
  row.querySelector<HTMLElement>("input:not([type=hidden]),select")?.focus();
}

/** Empties the boxes of a row. */
function empty(row: HTMLElement): void {
  for (const e of row.querySelectorAll<HTMLInputElement | HTMLSelectElement>("input,select")) {
    if (e instanceof HTMLInputElement && (e.type === "radio" || e.type === "checkbox")) e.checked = false;
    else e.value = "";
  }
  for (const e of row.querySelectorAll(".bad")) e.classList.remove("bad");
  for (const e of row.querySelectorAll(".badsay")) e.remove();
}

/** Makes room for rows that were typed on another day than the form has. */
function roomFor(f: HTMLFormElement, form: Pair[]): void {
  for (const [k] of form) {
    const m = /^(\w+)\.(\d+)\./.exec(k);
    const list = m && f.querySelector(`.sets[data-list="${m[1]}"]`);
    const add = list?.querySelector<HTMLButtonElement>('button[value^="+"]');
    for (let n = 0; add && n < 1000 && !f.elements.namedItem(k); n++) rows(add);
  }
}

/** A number typed beside chips stands for them, and a chip for what was typed. */
function either(e: HTMLElement): void {
  const field = e.closest<HTMLElement>(".field");
  if (!(e instanceof HTMLInputElement) || !field || !field.querySelector(".chip input[type=radio]")) return;
  for (const i of field.querySelectorAll<HTMLInputElement>("input")) {
    if (e.type === "radio" && i.type !== "radio") i.value = "";
    if (e.type !== "radio" && e.value.trim() !== "" && i.type === "radio") i.checked = false;
  }
}

const typedAt = (): string => "wormyard-typed " + location.pathname + location.search;

/** What was typed and not put away outlives a look at another page and the way back. */
function keepTyped(): void {
  const f = forms().find((x) => "touched" in x.dataset && !("gone" in x.dataset) && !x.dataset["facts"]);
  try {
    if (f) sessionStorage.setItem(typedAt(), JSON.stringify(pairs(f, null)));
    else sessionStorage.removeItem(typedAt());
  } catch {
    // no room to remember it
  }
}

function backToTyped(): void {
  const way = performance.getEntriesByType("navigation")[0] as PerformanceNavigationTiming | undefined;
  const kept = sessionStorage.getItem(typedAt());
  sessionStorage.removeItem(typedAt());
  const f = forms().find((x) => !x.dataset["facts"]);
  if (way?.type !== "back_forward" || !kept || !f || f.querySelector(".wrong,.doubt")) return;
  fill(f, JSON.parse(kept) as Pair[]);
  f.dataset["touched"] = "";
}

export function defineForms(): void {
  adopt(forms());
  backToTyped();
  window.addEventListener("pagehide", keepTyped);
  fromAddress();
  void mendHere();
  window.addEventListener("pageshow", (e) => {
    if (!e.persisted) return;
    // the way back after it was put away: the entry is made, so the form begins anew
    for (const f of forms()) {
      if (!("gone" in f.dataset)) continue;
      f.reset();
      delete f.dataset["gone"];
      unlock(f);
      fresh(f);
    }
    void mark();
  });
}

/** Gives a form that came without complaints an id of this device. */
function fresh(f: HTMLFormElement): void {
  const id = f.elements.namedItem("id");
  if (!(id instanceof HTMLInputElement) || f.querySelector(".wrong,.doubt")) return;
  id.value = uuid7();
  fillLast(f);
}

/** Fills in what an address asks for, on a page that was kept without it. */
function fromAddress(): void {
  if (!document.documentElement.dataset["kept"]) return;
  const f = forms().find((x) => !x.dataset["facts"]);
  if (!f) return;
  for (const [k, v] of new URLSearchParams(location.search)) {
    const e = f.elements.namedItem(k);
    if (e instanceof HTMLInputElement && e.type !== "hidden" && e.value === "") e.value = v;
    if (e instanceof RadioNodeList) e.value = v;
    if (k === "back" && e instanceof HTMLInputElement && v.startsWith("/") && !v.startsWith("//")) e.value = v;
  }
}

/** What was typed and chosen; a button that was pressed for its value says more than a box of its name. */
function pairs(f: HTMLFormElement, pressed: HTMLButtonElement | null): Pair[] {
  const out: Pair[] = [];
  const own = pressed?.name && pressed.value && !left.has(pressed.name) ? pressed.name : "";
  for (const [k, v] of new FormData(f)) {
    if (typeof v === "string" && v.trim() !== "" && !left.has(k) && k !== own) out.push([k, v]);
  }
  if (own) out.push([own, pressed!.value]);
  return out;
}

/** One box of a form as the person sees it. */
interface Box {
  name: string;
  label: string;
  said: string;
  counts: boolean; // a number was typed in it
}

/** Says what a form says, box by box. */
function boxesOf(f: HTMLFormElement): Box[] {
  const out: Box[] = [];
  for (const field of f.querySelectorAll<HTMLElement>(".field")) {
    if (field.querySelector(".field")) continue; // its rows say it
    const label = text(field.querySelector("legend")?.firstChild ?? field.querySelector("label.for")).replace(/,$/, "");
    const box: Box = { name: "", label, said: "", counts: false };
    const said: string[] = [];
    for (const i of field.querySelectorAll<HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement>("input,textarea,select")) {
      const folded = i.closest("details:not([open])") !== null;
      if (i instanceof HTMLInputElement && (i.type === "radio" || i.type === "checkbox")) {
        if (!i.checked || (folded && i.defaultChecked)) continue;
        said.push(withUnit(text(i.closest("label")) || i.value, field.querySelector("legend .unit")));
      } else if (i.value.trim() !== "" && !folded) {
        said.push(i instanceof HTMLSelectElement ? text(i.selectedOptions[0] ?? null) : withUnit(i.value.trim(), i.closest(".box")?.querySelector(".unit") ?? null));
      } else continue;
      box.name = i.name;
      box.counts ||= i.inputMode === "decimal" || field.querySelector("[inputmode=decimal]") !== null;
    }
    box.said = said.join(", ");
    if (box.said) out.push(box);
  }
  return out;
}

/** Puts the unit of its box behind a bare number. */
function withUnit(typed: string, unit: Element | null): string {
  return unit && /^[-+\d.,/ ½¼¾⅛⅜⅝⅞]+$/.test(typed) ? typed + " " + text(unit) : typed;
}

/** What an entry is about: these stand in its heading. */
const whereabouts = new Set(["bin", "bins", "lot", "pile", "subject", "analyte", "customer", "sample", "duty", "place"]);

/** The heading of an entry among several: what kind it is, of which bin or lot, and its main figure. */
function headOf(title: string, boxes: Box[]): string {
  const about = boxes.filter((b) => whereabouts.has(b.name)).map((b) => b.said);
  // the opening says which deck it was, not how much of it
  const main = boxes.find((b) => b.counts && !whereabouts.has(b.name) && !b.name.endsWith("opening_mm"));
  return [title, ...about, ...(main ? [say("outbox.boxsay", main.label, main.said)] : [])].join(" · ");
}

function aboutOf(form: Pair[], facts: Fact[]): string[] {
  const out = new Set<string>();
  for (const [k, v] of form) if (k === "bin" || k === "bins") for (const n of v.split(/[\s,;]+/)) if (n) out.add(n);
  for (const x of facts) {
    const b = x.body as { bins?: string[]; bin?: string };
    for (const n of b.bins ?? (b.bin ? [b.bin] : [])) out.add(n);
  }
  return [...out];
}

function itemOf(f: HTMLFormElement, submitter: HTMLButtonElement | null, form: Pair[]): Item {
  const facts = f.dataset["facts"] ? (JSON.parse(f.dataset["facts"]) as Fact[]) : undefined;
  const line = f.closest(".line");
  const heading = (facts && f.dataset["title"]) || text(facts && line ? line.querySelector(".say") : document.querySelector("main h1:not(.unseen)")) || document.title;
  const boxes = facts || f.dataset["strikes"] ? [] : boxesOf(f);
  const out: Item = {
    id: String(new FormData(f).get("id")),
    kind: f.dataset["kind"]!,
    title: heading,
    lines: boxes.map((b) => say("outbox.boxsay", b.label, b.said)),
    ...(boxes.length > 0 && f.dataset["kind"] !== "left" ? { head: headOf(heading, boxes) } : {}),
    ...told(f, submitter, line),
    about: aboutOf(form, facts ?? []),
    page: f.dataset["mend"] ?? (facts ? new URL(f.action).pathname.replace(/\/answer$/, "/except") : location.pathname + location.search),
    back: String(new FormData(f).get("back") || "/round"),
    made: Date.now(),
    units: document.documentElement.dataset["units"] ?? "",
    who: document.documentElement.dataset["who"] ?? "",
    photo: false,
    state: "waiting",
  };
  if (f.dataset["next"]) out.next = f.dataset["next"];
  if (f.dataset["stop"]) out.stop = f.dataset["stop"];
  if (f.dataset["stops"]) out.stops = f.dataset["stops"].split("\n");
  if (f.dataset["since"]) out.since = Number(f.dataset["since"]);
  if (facts && "why" in f.dataset) {
    const why = form.filter(([k]) => k === "why").at(-1)?.[1] ?? "";
    for (const x of facts) x.body = { ...(x.body as object), why };
  }
  if (facts) out.facts = facts;
  else if (f.dataset["strikes"]) {
    out.strikes = f.dataset["strikes"];
    out.title = say("outbox.undone", f.dataset["title"] ?? "");
    out.lines = [];
  } else out.form = form;
  if (submitter?.name === "yes") out.yes = submitter.value;
  return out;
}

/** What a tick says, or why a stop was left: what was to be done, and the button that was pressed. */
function told(f: HTMLFormElement, pressed: HTMLButtonElement | null, line: Element | null): { lines?: string[] } {
  if (!f.dataset["facts"] && f.dataset["kind"] !== "left") return {};
  const todo = line ? "" : text(document.querySelector("[data-stop-is] .line .say"));
  const way = text(f.closest("details")?.querySelector("summary") ?? null);
  const why = pressed?.name === "why" ? pressed.value : (f.querySelector<HTMLInputElement>("input[type=text][name=why]")?.value ?? "").trim();
  return { lines: [todo, way, way ? why : text(pressed)].filter(Boolean) };
}

function text(e: Node | null): string {
  return (e?.textContent ?? "").replace(/\s+/g, " ").trim();
}

function lock(f: HTMLFormElement): void {
  for (const b of f.querySelectorAll<HTMLButtonElement>("button:not([type=button])")) b.disabled = true;
}

function unlock(f: HTMLFormElement): void {
  for (const b of f.querySelectorAll<HTMLButtonElement>("button")) b.disabled = false;
}

async function submit(f: HTMLFormElement, submitter: HTMLButtonElement | null): Promise<void> {
  if ("gone" in f.dataset) return; // a second tap
  f.dataset["gone"] = "";
  const form = pairs(f, submitter);
  if ("why" in f.dataset && !form.some(([k]) => k === "why")) {
    delete f.dataset["gone"];
    complain(f, [{ anchor: "", say: say("walk.nowhy"), tip: "" }], undefined);
    return;
  }
  const empty = Array.from(f.querySelectorAll<HTMLElement>(".field[data-must]")).filter((x) => !form.some(([k]) => k === x.dataset["must"] || k.startsWith(x.dataset["must"] + ".") || k === x.dataset["must"] + "_other"));
  if (empty.length > 0 && !f.dataset["facts"]) {
    delete f.dataset["gone"];
    complain(
      f,
      empty.map((x) => ({ anchor: x.id, say: x.dataset["mustsay"] ?? "", tip: x.dataset["musttry"] ?? "" })),
      undefined,
    );
    return;
  }
  const made = itemOf(f, submitter, form);
  lock(f);
  const box = f.querySelector<PhotoBox>("photo-box");
  if (box?.working) await box.working;
  let picture = box?.picture;
  made.photo = picture !== undefined;
  remember(f);
  try {
    try {
      await add(made, picture);
    } catch (e) {
      await room(e);
      try {
        await add(made, picture);
      } catch (again) {
        if (!picture) throw again;
        picture = undefined;
        made.photo = false;
        made.photoLost = true;
        await add(made);
      }
    }
  } catch {
    // nothing can be kept here: the farm itself is the only place left
    await straight(f, submitter);
    return;
  }
  delete f.dataset["touched"];
  tell("changed");
  void fullAfter();
  void askSync();
  const outcome = await Promise.race([send().catch((): Outcome => "trouble"), new Promise<Outcome>((done) => setTimeout(() => done("nosignal"), patience))]);
  const now = await item(made.id);
  if (now && (now.state === "refused" || now.state === "doubtful")) {
    delete f.dataset["gone"];
    unlock(f);
    if (f.dataset["facts"]) location.assign(now.page + "#mend=" + now.id);
    else mend(f, now);
    return;
  }
  f.dataset["gone"] = "kept"; // from here on nothing but the next page is waited for
  go(made, now?.see, now?.state === "sent" ? "done" : outcome === "done" ? "nosignal" : outcome);
}

/** Where the device keeps nothing, a form goes the plain way while there is signal. */
async function straight(f: HTMLFormElement, submitter: HTMLButtonElement | null): Promise<void> {
  let there = false;
  try {
    there = (await fetch("/keep.json", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(patience) })).ok;
  } catch {
    there = false;
  }
  delete f.dataset["gone"];
  unlock(f);
  if (!there) {
    complain(f, [{ anchor: "", say: say("outbox.full"), tip: say("outbox.fulltry") }], undefined);
    return;
  }
  if (submitter?.name) {
    const yes = document.createElement("input");
    yes.type = "hidden";
    yes.name = submitter.name;
    yes.value = submitter.value;
    f.append(yes);
  }
  f.dataset["gone"] = "";
  f.submit();
}

function go(made: Item, see: string | undefined, outcome: Outcome): void {
  // without signal the farm cannot say what comes next: the page knew it
  const to = new URL(outcome === "done" ? (see?.startsWith(made.back + "/") ? see : made.back) : (made.next ?? made.back), location.origin);
  if (outcome === "done") to.searchParams.set("said", made.id);
  else to.searchParams.delete("said");
  sessionStorage.setItem("wormyard-just", made.id);
  const here = new URL(location.href);
  if (to.pathname === here.pathname && to.search === here.search) {
    location.hash = to.hash;
    void mark();
    tell("changed");
    return;
  }
  location.assign(to.href);
}

async function askSync(): Promise<void> {
  try {
    const reg = (await navigator.serviceWorker?.ready) as (ServiceWorkerRegistration & { sync?: { register(tag: string): Promise<void> } }) | undefined;
    await reg?.sync?.register("outbox");
  } catch {
    // not every browser has it; the page sends on its own
  }
}

interface Complaint {
  anchor: string;
  say: string;
  tip: string;
}

/** Shows what is wrong as the farm's own page would: at the top, and at each box. */
function complain(f: HTMLFormElement, list: Complaint[], yes: string | undefined): void {
  for (const e of f.querySelectorAll(".wrong,.doubt,.badsay")) e.remove();
  for (const e of f.querySelectorAll(".field.bad")) e.classList.remove("bad");
  const s = document.createElement("section");
  s.className = yes ? "doubt" : "wrong";
  s.setAttribute("role", "alert");
  s.tabIndex = -1;
  const h = document.createElement("h2");
  h.textContent = yes ? say("form.doubt") : say("form.wrong");
  const ul = document.createElement("ul");
  for (const c of list) {
    const li = document.createElement("li");
    const field = c.anchor ? f.querySelector<HTMLElement>("#" + CSS.escape(c.anchor)) : null;
    if (field) {
      const a = document.createElement("a");
      a.href = "#" + c.anchor;
      a.textContent = c.say;
      li.append(a, " " + c.tip);
      field.classList.add("bad");
      field.closest("details")?.setAttribute("open", "");
      const bad = document.createElement("p");
      bad.className = "badsay";
      bad.id = c.anchor + "-bad";
      bad.textContent = c.say;
      field.append(bad);
      for (const i of field.querySelectorAll("input:not([type=radio]):not([type=checkbox]),textarea")) {
        i.setAttribute("aria-invalid", "true");
        i.setAttribute("aria-describedby", bad.id);
      }
    } else li.textContent = c.say + " " + c.tip;
    ul.append(li);
  }
  s.append(h, ul);
  if (yes) {
    const b = document.createElement("button");
    b.className = "b do";
    b.name = "yes";
    b.value = yes;
    b.textContent = say("form.yes");
    s.append(b);
  }
  f.prepend(s);
  s.focus();
  s.scrollIntoView({ block: "start" });
}

/** Fills a form with an entry that came back. */
function mend(f: HTMLFormElement, i: Item): void {
  const id = f.elements.namedItem("id");
  if (id instanceof HTMLInputElement) id.value = i.id;
  fill(f, i.form ?? []);
  complain(
    f,
    (i.problems ?? []).map((p) => ({ anchor: p.field, say: p.say, tip: p.try })),
    i.state === "doubtful" ? i.yes : undefined,
  );
}

/** Puts into a form what was typed in it. */
function fill(f: HTMLFormElement, form: Pair[]): void {
  roomFor(f, form);
  const typed = new Map<string, string[]>();
  for (const [k, v] of form) typed.set(k, [...(typed.get(k) ?? []), v]);
  for (const e of Array.from(f.elements)) {
    if (!(e instanceof HTMLInputElement || e instanceof HTMLTextAreaElement || e instanceof HTMLSelectElement)) continue;
    if (left.has(e.name) || !e.name) continue;
    const v = typed.get(e.name) ?? [];
    if (f.dataset["kind"] === "blend" && (e.name === "pile" || e.name === "buckets")) continue; // by pile, see mix.ts
    if (e instanceof HTMLInputElement && (e.type === "radio" || e.type === "checkbox")) e.checked = v.includes(e.value);
    else if (e instanceof HTMLInputElement && e.type === "hidden" && v.length === 0) continue;
    else e.value = v[0] ?? "";
  }
  f.dispatchEvent(new CustomEvent("mended", { detail: form }));
}

/** Takes up an entry that the address names: the way from the list of what waits. */
async function mendHere(): Promise<void> {
  const m = /^#mend=([0-9a-f-]{36})$/.exec(location.hash);
  if (!m) return;
  const i = await item(m[1]!);
  const f = forms().find((x) => !x.dataset["facts"] && (!i || x.dataset["kind"] === i.kind || i.facts));
  if (!i || i.state === "sent") return;
  if (!f) {
    // its page has no such form any more: the plain one takes what was typed
    const plain = "/enter/" + encodeURIComponent(i.kind);
    if (i.form && location.pathname !== plain) location.replace(plain + location.hash);
    return;
  }
  history.replaceState(null, "", location.pathname + location.search);
  if (i.facts) {
    // what was ticked is answered in a form now; the tick itself is given up when the form is put away
    complain(f, (i.problems ?? []).map((p) => ({ anchor: "", say: p.say, tip: p.try })), undefined);
    const id = f.elements.namedItem("id");
    if (id instanceof HTMLInputElement) id.value = i.id;
    return;
  }
  mend(f, i);
}

/** Undoes an entry: one that still waits is taken out, one that was sent is struck. */
export async function undo(i: Item): Promise<void> {
  await navigator.locks.request("wormyard-outbox", async () => {
    const now = await item(i.id);
    if (!now) return;
    if (now.state !== "sent") {
      await drop(i.id);
      return;
    }
    const { form: _form, facts: _facts, said: _said, seq: _seq, ...rest } = now;
    await add({ ...rest, id: uuid7(), kind: "strike", strikes: now.id, title: say("outbox.undone", now.title), lines: [], made: Date.now(), photo: false, state: "waiting" });
  });
  tell("changed");
  void send();
}

/** Sends an entry that came back once more, with a yes to its doubts or without. */
export async function again(i: Item, yes: boolean): Promise<void> {
  await change(i.id, (x) => {
    if (!yes) delete x.yes;
    x.state = "waiting";
    delete x.problems;
  });
  tell("changed");
  await send();
}
