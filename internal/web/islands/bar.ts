// The bar at the foot of every page: how many entries wait and since when, from
// when the page is, what the person must know. And the list of what waits.

import { drop, items, setValue, value, waiting, type Item, type Kept } from "./store";
import { again, dirty, undo } from "./forms";
import { news, send, tell, type Outcome } from "./send";
import { mark } from "./marks";
import { count, moment, say } from "./words";

const minute = 60_000;
const lookFor = 12 * 60 * minute;
const waited = 15_000; // what was sent sooner never waited for anybody to see
const most = 2; // rows of the bar: the page under it is what one works on

class OutboxBar extends HTMLElement {
  private later: ReturnType<typeof setTimeout> | undefined;
  private pause = 5000;
  private again: ReturnType<typeof setTimeout> | undefined;
  private undone: ReturnType<typeof setTimeout> | undefined;
  private drawn = false;
  private heard = false; // the farm, since this page was shown as it was kept

  connectedCallback(): void {
    this.setAttribute("role", "status");
    news?.addEventListener("message", () => this.soon());
    window.addEventListener("online", () => {
      this.pause = 5000;
      void this.send();
    });
    window.addEventListener("offline", () => this.soon());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") void this.send();
    });
    if (document.documentElement.dataset["kept"]) this.listen();
    // the page ends above the bar, however high that is; it begins as on the page before, so that no button moves from under a thumb
    const high = (px: string): void => document.documentElement.style.setProperty("--bar", px);
    high(sessionStorage.getItem("wormyard-bar") ?? "0px");
    new ResizeObserver(() => {
      if (this.childElementCount === 0 && !this.drawn) return;
      const px = Math.ceil(this.getBoundingClientRect().height) + "px";
      high(px);
      sessionStorage.setItem("wormyard-bar", px);
    }).observe(this);
    void this.send();
  }

  private soon(): void {
    clearTimeout(this.later);
    this.later = setTimeout(() => void this.draw(), 30);
  }

  /** Sends what waits, and tries again later when it could not. */
  async send(): Promise<void> {
    try {
      const list = await items();
      await this.draw();
      if (waiting(list).length === 0) return;
      const outcome = await send();
      if (outcome === "done") this.heard = true;
      await this.draw();
      clearTimeout(this.again);
      if (outcome !== "done") this.tryLater();
      else this.pause = 5000;
    } catch {
      await this.draw();
      this.tryLater();
    }
  }

  private tryLater(): void {
    clearTimeout(this.again);
    this.again = setTimeout(() => void this.send(), this.pause);
    this.pause = Math.min(this.pause * 2, 5 * minute);
  }

  /** Draws the bar: how things stand in one row, and the one thing that is most worth a second. */
  async draw(): Promise<void> {
    const rows: HTMLElement[] = [];
    const row = (text: string, act?: HTMLElement, whole = true): void => {
      const div = document.createElement("div");
      const p = document.createElement("p");
      p.textContent = text;
      if (!whole) p.className = "oneline";
      div.append(p);
      if (act) div.append(act);
      rows.push(div);
    };
    let list: Item[] = [];
    let outcome: Outcome | undefined;
    let full = false;
    let program: string | undefined;
    let stands = "";
    try {
      list = await items();
      outcome = await value<Outcome>("outcome");
      full = (await value<boolean>("full")) ?? false;
      program = await value<string>("program");
    } catch {
      stands = say("outbox.nostore");
    }
    const kept = document.documentElement.dataset["kept"];
    const wait = waiting(list);
    const back = list.filter((i) => i.state === "refused" || i.state === "doubtful");
    const came = list.filter((i) => i.state === "sent" && i.ended && i.ended > performance.timeOrigin && i.ended - i.made > waited);
    if (kept && !this.heard) stands = say("outbox.kept", moment(Number(kept)));
    if (wait.length > 0) stands = [stands, outcome && outcome !== "done" && outcome !== "nosignal" ? say("outbox." + outcome) : "", count("outbox.wait", wait.length, moment(Math.min(...wait.map((i) => i.made))))].filter(Boolean).join(" ");
    else if (came.length > 0) stands = count("outbox.came", came.length);
    else if (kept && this.heard) stands = say("outbox.heard");
    if (stands) row(stands, wait.length > 0 || came.length > 0 ? link("/outbox", say("outbox.see")) : kept && this.heard ? link(location.href, say("outbox.renew")) : undefined);
    if (full) row(say("outbox.nearlyfull"));
    const just = list.find((i) => i.id === sessionStorage.getItem("wormyard-just"));
    if (just && Date.now() - just.made < minute && just.kind !== "strike") {
      if (just.state === "waiting") {
        row(say("outbox.just", [just.title, ...just.lines].join(" · ")), button(say("undo.do"), () => undo(just)), false);
        clearTimeout(this.undone);
        this.undone = setTimeout(() => this.soon(), just.made + minute - Date.now());
      }
      if (just.state === "sent" && just.said && !document.querySelector(".said")) row(just.said);
    }
    if (back.length > 0) row(back.length === 1 ? say("outbox.backone", back[0]!.head ?? back[0]!.title) : say("outbox.backmany", back.length), link("/outbox", say("outbox.open")));
    const lost = list.filter((i) => i.photoLost && i.state !== "sent");
    if (lost.length > 0) row(count("outbox.photolost", lost.length));
    // what was seen without signal leads to its causes, until that page was looked at
    const seen = list.filter((i) => i.state === "sent" && i.see && (i.ended ?? 0) > Date.now() - lookFor).at(-1);
    if (seen?.see) {
      const at = "looked-" + seen.id;
      if (location.pathname + location.search === seen.see || location.pathname === new URL(seen.see, location.origin).pathname) await setValue(at, true);
      else if (!(await value<boolean>(at))) row([seen.title, ...seen.lines].join(" · "), link(seen.see, say("outbox.lookat")), false);
    }
    const clock = list.find((i) => i.state === "sent" && i.said && (i.ended ?? 0) > Date.now() - 10 * minute);
    if (clock?.said && rows.length < most && !(await value<boolean>("told-" + clock.id))) {
      row(clock.said);
      await setValue("told-" + clock.id, true);
    }
    const mine = document.documentElement.dataset["program"];
    if (program && mine && program !== mine && !kept) {
      if (wait.length === 0 && !dirty() && sessionStorage.getItem("wormyard-renewed") !== program) {
        sessionStorage.setItem("wormyard-renewed", program);
        location.reload();
        return;
      }
      if (wait.length > 0 || dirty()) row(say("outbox.newer"));
    }
    this.replaceChildren(...rows.slice(0, most));
    this.drawn = true;
    if (rows.length === 0) document.documentElement.style.setProperty("--bar", "0px");
    document.documentElement.classList.toggle("barred", rows.length > 0);
    await mark();
    await ready();
    drawList(list);
  }

  /** Listens, on a page that was kept, for the farm to be heard again. */
  private listen(): void {
    const ask = async (): Promise<void> => {
      if (this.heard || document.visibilityState !== "visible") return;
      try {
        this.heard = (await fetch("/manifest.webmanifest", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(5000) })).ok;
      } catch {
        return;
      }
      if (!this.heard) return;
      clearInterval(again);
      this.soon();
    };
    const again = setInterval(() => void ask(), 15_000);
    window.addEventListener("online", () => void ask());
    window.addEventListener("offline", () => (this.heard = false));
  }
}

/** Says on the round whether all that the farm named is on this device. */
async function ready(): Promise<void> {
  const p = document.querySelector<HTMLElement>(".signal");
  if (!p) return;
  const kept = await value<Kept>("kept").catch(() => undefined);
  p.textContent = (kept?.state === "ready" ? p.dataset["ready"] : kept?.state === "fetching" ? p.dataset["fetching"] : "") ?? "";
}

function link(to: string, text: string): HTMLAnchorElement {
  const a = document.createElement("a");
  a.href = to;
  a.textContent = text;
  return a;
}

function button(text: string, act: () => Promise<unknown>, main = false): HTMLButtonElement {
  const b = document.createElement("button");
  b.type = "button";
  b.className = main ? "b do" : "b quiet";
  b.textContent = text;
  b.addEventListener("click", () => {
    b.disabled = true;
    void act();
  });
  return b;
}

/** Draws the page of what waits. */
function drawList(list: Item[]): void {
  const to = document.querySelector("#waiting");
  if (!to) return;
  const groups: [string, Item[]][] = [
    ["outbox.list.back", list.filter((i) => i.state === "refused" || i.state === "doubtful")],
    ["outbox.list.waiting", waiting(list)],
    ["outbox.list.sent", list.filter((i) => i.state === "sent").reverse().slice(0, 40)],
  ];
  const out: Node[] = [];
  for (const [title, of] of groups) {
    if (of.length === 0) continue;
    const h = document.createElement("h2");
    h.textContent = say(title);
    const ul = document.createElement("ul");
    ul.className = "entries";
    for (const i of of) ul.append(row(i));
    out.push(h, ul);
  }
  if (out.length === 0) {
    const p = document.createElement("p");
    p.className = "told";
    p.textContent = say("outbox.none");
    out.push(p);
  } else if (waiting(list).length > 0) {
    const p = document.createElement("p");
    p.className = "row-of-b";
    p.append(button(say("outbox.sendnow"), () => send()));
    out.push(p);
  }
  if (document.documentElement.dataset["missing"]) {
    const p = document.createElement("p");
    p.className = "told";
    p.textContent = say("outbox.missing");
    out.unshift(p, ...formsFor());
  }
  to.replaceChildren(...out);
}

/** A bin whose page is not kept can still be written about. */
function formsFor(): Node[] {
  const bin = /^\/bin\/([^/]+)$/.exec(location.pathname)?.[1];
  if (!bin) return [];
  const p = document.createElement("p");
  p.className = "row-of-b";
  for (const act of ["feed", "water", "look", "reading", "sighting", "move"]) {
    const a = link("/enter/" + act + "?bins=" + bin + "&bin=" + bin, say("bin.act." + act));
    a.className = "b";
    p.append(a);
  }
  const h = document.createElement("h2");
  h.textContent = say("outbox.forbin", decodeURIComponent(bin));
  return [h, p];
}

function row(i: Item): HTMLLIElement {
  const li = document.createElement("li");
  li.className = "waitrow";
  li.dataset["state"] = i.state;
  const b = document.createElement("b");
  b.textContent = i.head ?? [i.title, ...i.lines].join(" · ");
  const s = document.createElement("span");
  s.textContent = i.state === "sent" ? say("outbox.mark.sent", moment(i.made)) : madeOf(i);
  li.append(b, s);
  if (i.said) li.append(para(i.said));
  if (i.see && i.state === "sent") {
    const p = para("");
    p.append(link(i.see, say("outbox.lookat")));
    li.append(p);
  }
  if (i.state === "refused" || i.state === "doubtful") {
    const why = para(say(i.state === "refused" ? "outbox.nottaken" : "outbox.asks"));
    why.className = "whynot";
    li.append(why);
  }
  for (const p of i.problems ?? []) li.append(para(p.say + " " + p.try));
  if (i.head && i.lines.length > 0) li.append(typedIn(i.lines));
  const acts = document.createElement("div");
  acts.className = "acts";
  if (i.state === "doubtful") acts.append(button(say("form.yes"), () => again(i, true), true));
  if (i.state === "refused" || i.state === "doubtful") {
    if (i.form || i.facts) {
      const a = link(i.page + "#mend=" + i.id, say("outbox.mend"));
      a.className = i.state === "refused" ? "b do" : "b";
      acts.append(a);
    }
    acts.append(button(say("outbox.again"), () => again(i, false)));
    acts.append(
      button(say("outbox.drop"), async () => {
        acts.replaceChildren(
          button(say("outbox.dropsure"), async () => {
            await drop(i.id);
            tell("changed");
            await (document.querySelector("outbox-bar") as OutboxBar).draw();
          }),
        );
      }),
    );
  }
  if (i.state === "waiting") acts.append(button(say("undo.do"), () => undo(i).then(() => (document.querySelector("outbox-bar") as OutboxBar).draw())));
  if (i.state === "sent") {
    const a = link("/journal/" + i.id, say("outbox.journal"));
    a.className = "b quiet";
    acts.append(a);
  }
  li.append(acts);
  return li;
}

/** When an entry was typed, and by whom where that is somebody else. */
function madeOf(i: Item): string {
  const by = i.who && i.who !== document.documentElement.dataset["who"];
  return by ? say("outbox.madeby", moment(i.made), i.who) : say("outbox.made", moment(i.made));
}

/** All that was typed, folded under its heading. */
function typedIn(lines: string[]): HTMLDetailsElement {
  const d = document.createElement("details");
  const s = document.createElement("summary");
  s.textContent = say("outbox.typed");
  const ul = document.createElement("ul");
  for (const l of lines) {
    const li = document.createElement("li");
    li.textContent = l;
    ul.append(li);
  }
  d.append(s, ul);
  return d;
}

function para(text: string): HTMLParagraphElement {
  const p = document.createElement("p");
  p.textContent = text;
  return p;
}

export function defineBar(): void {
  customElements.define("outbox-bar", OutboxBar);
}
