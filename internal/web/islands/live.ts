// A page of the round or the year that stays open: what others write down shows
// on it, and so does how far the round or the plan under way has got. The farm says only that
// something is new; the page gets itself anew and changes what changed, so that
// nothing is drawn in two ways. Where a person is, stays as it is.

import { adopt, dirty } from "./forms";
import { mark } from "./marks";

const together = 250; // several entries written at once are one change

export class LiveRound extends HTMLElement {
  private events: EventSource | undefined;
  private later: ReturnType<typeof setTimeout> | undefined;
  private told = document.createElement("div");

  connectedCallback(): void {
    this.told.className = "unseen";
    this.told.setAttribute("aria-live", "polite");
    this.append(this.told);
    document.addEventListener("visibilitychange", this.turn);
    window.addEventListener("pagehide", this.turn);
    window.addEventListener("pageshow", this.turn);
    this.turn();
  }

  /** Listens while the page is looked at: a browser has few ways to a farm at once. */
  private turn = (e?: Event): void => {
    const listen = document.visibilityState === "visible" && e?.type !== "pagehide" && !document.documentElement.dataset["kept"];
    if (!listen) {
      this.events?.close();
      this.events = undefined;
      return;
    }
    if (this.events && this.events.readyState !== EventSource.CLOSED) return;
    this.events = new EventSource(this.dataset["events"] ?? "/round/events");
    this.events.addEventListener("mark", (m) => this.heard((m as MessageEvent<string>).data));
  };

  private heard(now: string): void {
    if (now === this.dataset["mark"]) return;
    clearTimeout(this.later);
    this.later = setTimeout(() => void this.renew(), together);
  }

  private async renew(): Promise<void> {
    let page: Document;
    try {
      const r = await fetch(this.dataset["at"]!, { headers: { Accept: "text/html" }, credentials: "same-origin", cache: "no-store" });
      if (!r.ok || r.redirected) return;
      page = new DOMParser().parseFromString(await r.text(), "text/html");
    } catch {
      return; // the next event tries again
    }
    const mine = page.querySelector<LiveRound>("live-round");
    if (!mine) return;
    this.dataset["mark"] = mine.dataset["mark"];
    document.documentElement.dataset["mark"] = page.documentElement.dataset["mark"] ?? "";
    document.dispatchEvent(new Event("wormyard-news"));
    const news: string[] = [];
    for (const was of document.querySelectorAll<HTMLElement>("[data-live]")) {
      const is = page.querySelector<HTMLElement>(`[data-live="${was.dataset["live"]}"]`);
      if (is && plain(was) !== plain(is)) this.change(was, is, news);
    }
    if (news.length > 0) this.told.textContent = news.join(" ");
    void mark();
  }

  private change(was: HTMLElement, is: HTMLElement, news: string[]): void {
    const lines = lineIDs(was);
    if (lines.length > 0 && lines.join() === lineIDs(is).join() && around(was) === around(is)) {
      for (const [n, line] of articles(was).entries()) {
        const now = articles(is)[n]!;
        if (plain(line) !== plain(now)) this.put(line, now, news);
      }
      return;
    }
    if (!dirty() || !was.querySelector("[data-touched],[data-gone]")) {
      this.put(was, is, news);
      return;
    }
    if (is.querySelector("form[data-kind]") || was.querySelector("[data-gone]")) return;
    // settled by somebody else while a person typed: what was typed stays under it, the ticks go
    const typed = Array.from(was.querySelectorAll<HTMLElement>("form[data-touched]"), (f) => f.closest<HTMLElement>("details") ?? f);
    this.put(was, is, news).append(...typed);
  }

  /** Puts a new part in the place of an old one; who stood in it stands there still. */
  private put(was: HTMLElement, is: HTMLElement, news: string[]): HTMLElement {
    const stood = was.contains(document.activeElement) ? (document.activeElement as HTMLElement) : undefined;
    const back = stood?.closest<HTMLElement>("[id]")?.id;
    const fresh = document.importNode(is, true);
    const said = new Set(Array.from(was.querySelectorAll(".donesay"), text));
    was.replaceWith(fresh);
    adopt(Array.from(fresh.querySelectorAll<HTMLFormElement>("form[data-kind]")));
    for (const p of fresh.querySelectorAll(".donesay")) {
      const line = p.closest(".line")?.querySelector(".say");
      if (!said.has(text(p))) news.push([line ? text(line) : "", text(p)].filter(Boolean).join(": ") + ".");
    }
    if (!stood) return fresh;
    const same = back ? document.getElementById(back) : null;
    (same ?? fresh).focus({ preventScroll: true });
    return fresh;
  }
}

function text(e: Element): string {
  return (e.textContent ?? "").replace(/\s+/g, " ").trim();
}

function articles(e: HTMLElement): HTMLElement[] {
  return Array.from(e.querySelectorAll<HTMLElement>("article.line"));
}

function lineIDs(e: HTMLElement): string[] {
  return articles(e).map((a) => a.id);
}

/** What a part shows beside its lines. */
function around(e: HTMLElement): string {
  const c = e.cloneNode(true) as HTMLElement;
  for (const a of articles(c)) a.replaceChildren();
  return plain(c);
}

/** What a part shows, without the ids that every drawing has anew and what scripts have put there. */
function plain(e: HTMLElement): string {
  const c = e.cloneNode(true) as HTMLElement;
  for (const i of c.querySelectorAll("input[name=id]")) i.removeAttribute("value");
  for (const x of c.querySelectorAll(".waitmark,li.waits")) x.remove();
  for (const x of c.querySelectorAll(".answered")) {
    x.classList.remove("answered");
    if (x.className === "") x.removeAttribute("class");
  }
  for (const x of c.querySelectorAll("form")) {
    x.removeAttribute("data-touched");
    x.removeAttribute("data-gone");
  }
  for (const x of c.querySelectorAll("button")) x.removeAttribute("disabled");
  for (const x of c.querySelectorAll("details")) x.removeAttribute("open");
  return c.innerHTML;
}

customElements.define("live-round", LiveRound);
