// The bar at the foot of every page: how many entries wait and since when, from
// when the page is, what the person must know. And the list of what waits.

import { drop, items, setValue, value, waiting, type Item } from "./store";
import { again, dirty, undo } from "./forms";
import { news, send, tell, type Outcome } from "./send";
import { mark } from "./marks";
import { count, moment, say } from "./words";

const minute = 60_000;
const lookFor = 12 * 60 * minute;

class OutboxBar extends HTMLElement {
  private later: ReturnType<typeof setTimeout> | undefined;
  private pause = 5000;
  private again: ReturnType<typeof setTimeout> | undefined;
  private undone: ReturnType<typeof setTimeout> | undefined;

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

  async draw(): Promise<void> {
    const says: Node[] = [];
    const line = (text: string): HTMLParagraphElement => {
      const p = document.createElement("p");
      p.textContent = text;
      says.push(p);
      return p;
    };
    let list: Item[] = [];
    let outcome: Outcome | undefined;
    let full = false;
    let program: string | undefined;
    try {
      list = await items();
      outcome = await value<Outcome>("outcome");
      full = (await value<boolean>("full")) ?? false;
      program = await value<string>("program");
    } catch {
      line(say("outbox.nostore"));
    }
    const kept = document.documentElement.dataset["kept"];
    if (kept) line(say("outbox.kept", moment(Number(kept))));
    const wait = waiting(list);
    const back = list.filter((i) => i.state === "refused" || i.state === "doubtful");
    if (wait.length > 0) {
      const p = line(count("outbox.wait", wait.length, moment(Math.min(...wait.map((i) => i.made)))));
      p.append(" ", link("/outbox", say("outbox.see")));
      if (outcome && outcome !== "done" && outcome !== "nosignal") line(say("outbox." + outcome));
    }
    if (back.length > 0) line(count("outbox.back", back.length)).append(" ", link("/outbox", say("outbox.open")));
    const lost = list.filter((i) => i.photoLost && i.state !== "sent");
    if (lost.length > 0) line(count("outbox.photolost", lost.length));
    if (full) line(say("outbox.nearlyfull"));
    const just = list.find((i) => i.id === sessionStorage.getItem("wormyard-just"));
    if (just && Date.now() - just.made < minute && just.kind !== "strike") {
      if (just.state === "waiting") {
        line(say("outbox.just", [just.title, ...just.lines].join(" · "))).append(" ", button(say("undo.do"), () => undo(just)));
        clearTimeout(this.undone);
        this.undone = setTimeout(() => this.soon(), just.made + minute - Date.now());
      }
      if (just.state === "sent" && just.said && !document.querySelector(".said")) line(just.said);
    }
    // what was seen without signal leads to its causes, until that page was looked at
    const seen = list.filter((i) => i.state === "sent" && i.see && (i.ended ?? 0) > Date.now() - lookFor).at(-1);
    if (seen?.see) {
      const at = "looked-" + seen.id;
      if (location.pathname + location.search === seen.see || location.pathname === new URL(seen.see, location.origin).pathname) await setValue(at, true);
      else if (!(await value<boolean>(at))) line([seen.title, ...seen.lines].join(" · ")).append(" ", link(seen.see, say("outbox.lookat")));
    }
    const clock = list.find((i) => i.state === "sent" && i.said && (i.ended ?? 0) > Date.now() - 10 * minute);
    if (clock?.said && !(await value<boolean>("told-" + clock.id))) {
      line(clock.said);
      await setValue("told-" + clock.id, true);
    }
    const mine = document.documentElement.dataset["program"];
    if (program && mine && program !== mine && !kept) {
      if (wait.length === 0 && !dirty() && sessionStorage.getItem("wormyard-renewed") !== program) {
        sessionStorage.setItem("wormyard-renewed", program);
        location.reload();
        return;
      }
      if (wait.length > 0 || dirty()) line(say("outbox.newer"));
    }
    this.replaceChildren(...says);
    document.documentElement.classList.toggle("barred", says.length > 0);
    await mark();
    drawList(list);
  }
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
  b.textContent = [i.title, ...i.lines].join(" · ");
  const s = document.createElement("span");
  s.textContent = i.state === "sent" ? say("outbox.mark.sent", moment(i.made)) : say("outbox.made", moment(i.made));
  li.append(b, s);
  if (i.said) li.append(para(i.said));
  if (i.see && i.state === "sent") {
    const p = para("");
    p.append(link(i.see, say("outbox.lookat")));
    li.append(p);
  }
  for (const p of i.problems ?? []) li.append(para(p.say + " " + p.try));
  const acts = document.createElement("div");
  acts.className = "acts";
  if (i.state === "doubtful") acts.append(button(say("form.yes"), () => again(i, true), true));
  if (i.state === "refused" || i.state === "doubtful") {
    if (i.form || i.facts) {
      const a = link(i.page + "#mend=" + i.id, say("outbox.mend"));
      a.className = "b";
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

function para(text: string): HTMLParagraphElement {
  const p = document.createElement("p");
  p.textContent = text;
  return p;
}

export function defineBar(): void {
  customElements.define("outbox-bar", OutboxBar);
}
