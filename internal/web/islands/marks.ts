// Marks on pages: a line of the round that was answered, and the list of what
// was done to a bin, show entries that the page does not know of yet.

import { items, type Item } from "./store";
import { moment, say } from "./words";

/** When the page was drawn, by this device's clock. */
function drawn(): number {
  return Number(document.documentElement.dataset["kept"] ?? performance.timeOrigin);
}

function word(i: Item): string {
  switch (i.state) {
    case "waiting":
      return say("outbox.mark.waiting", moment(i.made));
    case "sent":
      return say("outbox.mark.sent", moment(i.made));
    case "doubtful":
      return say("outbox.mark.doubtful", moment(i.made));
    default:
      return say("outbox.mark.refused", moment(i.made));
  }
}

export async function mark(): Promise<void> {
  let list: Item[];
  try {
    list = await items();
  } catch {
    return;
  }
  const shown = list.filter((i) => i.kind !== "strike" && (i.state !== "sent" || (i.ended ?? 0) > drawn()));
  markLines(shown);
  markStop(shown);
  markWalk(shown);
  markBin(shown);
}

function lineKey(path: string): string | undefined {
  return /^\/round\/([^/]+)\/(?:answer|except)/.exec(path)?.[1];
}

function markLines(shown: Item[]): void {
  for (const line of document.querySelectorAll<HTMLElement>("article.line")) {
    const acts = line.querySelector<HTMLElement>(".acts");
    if (!acts) continue;
    const keys = Array.from(acts.querySelectorAll<HTMLElement>("form,a")).map((e) => lineKey(new URL(e instanceof HTMLFormElement ? e.action : (e as HTMLAnchorElement).href).pathname));
    const of = shown.filter((i) => {
      const k = lineKey(i.page);
      return k !== undefined && keys.includes(k);
    });
    let p = line.querySelector<HTMLElement>(".waitmark");
    if (of.length === 0) {
      p?.remove();
      acts.classList.remove("answered");
      continue;
    }
    if (!p) {
      p = document.createElement("p");
      p.className = "waitmark";
      acts.append(p);
    }
    p.textContent = word(of[of.length - 1]!);
    acts.classList.add("answered");
  }
}

/** A stop of the round that was settled on this device and is not yet so on the page. */
function markStop(shown: Item[]): void {
  const place = document.querySelector<HTMLElement>("[data-stop-is]");
  if (!place) return;
  const of = shown.filter((i) => i.stop === place.dataset["stopIs"] || i.stops?.includes(place.dataset["stopIs"] ?? ""));
  place.querySelector(".waitmark")?.remove();
  const last = of[of.length - 1];
  place.classList.toggle("answered", last !== undefined);
  if (!last) return;
  const p = document.createElement("p");
  p.className = "waitmark";
  p.textContent = [last.kind === "left" || last.stops ? last.lines.slice(1).join(" · ") : "", word(last)].filter(Boolean).join(". ");
  place.prepend(p);
}

interface Stop {
  key: string;
  settled?: boolean;
}

/** The walk on a kept page counts what this device settled itself, and goes on at the next open stop. */
function markWalk(shown: Item[]): void {
  const part = document.querySelector<HTMLElement>("[data-order]");
  if (!part) return;
  const stops = JSON.parse(part.dataset["order"]!) as Stop[];
  const mine = new Set(shown.filter((i) => i.state !== "refused").flatMap((i) => [...(i.stop ? [i.stop] : []), ...(i.stops ?? [])]));
  const settled = (x: Stop): boolean => x.settled === true || mine.has(x.key);
  const done = stops.filter(settled).length;
  const head = part.querySelector("h2");
  const bar = part.querySelector("progress");
  if (head && bar && stops.some((x) => !x.settled && mine.has(x.key))) {
    head.textContent = say("walk.progress", done, stops.length);
    bar.value = Math.floor((100 * done) / stops.length);
    bar.setAttribute("aria-label", head.textContent);
  }
  const here = stops.findIndex((x) => x.key === document.querySelector<HTMLElement>("[data-stop-is]")?.dataset["stopIs"]);
  if (here < 0) return;
  const open = stops.findIndex((x, n) => n > here && !settled(x));
  for (const f of document.querySelectorAll<HTMLFormElement>("form[data-stop]:not([data-stops])")) f.dataset["next"] = open < 0 ? "/outbox" : "/round/walk?at=" + open;
  if (!document.documentElement.dataset["kept"] || new URLSearchParams(location.search).has("at") || !settled(stops[here]!)) return;
  const first = stops.findIndex((x) => !settled(x));
  if (first >= 0) location.replace("/round/walk?at=" + first);
}

function markBin(shown: Item[]): void {
  const bin = /^\/bin\/([^/]+)/.exec(location.pathname)?.[1];
  for (const e of document.querySelectorAll("li.waits")) e.remove();
  if (!bin) return;
  const name = decodeURIComponent(bin);
  for (const ul of document.querySelectorAll<HTMLElement>("ul.entries")) {
    for (const i of shown.filter((x) => x.about.includes(name))) {
      const li = document.createElement("li");
      li.className = "waits";
      const a = document.createElement("a");
      a.href = "/outbox";
      const b = document.createElement("b");
      b.textContent = [i.title, ...i.lines].join(" · ");
      const s = document.createElement("span");
      s.textContent = word(i);
      a.append(b, s);
      li.append(a);
      ul.prepend(li);
    }
  }
}
