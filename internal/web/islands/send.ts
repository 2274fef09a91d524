// Sends what waits, in the order in which it was made, from a page or from the
// service worker, whoever comes first: a lock that all of them share lets only
// one send. An entry is marked as taken when the farm has said so, which it
// does when it is on its disk; until then it is sent again, and the farm knows
// it by its id.

import { change, dropPhoto, items, photo, setValue, tidy, value, waiting, type Item, type Problem } from "./store";

export type Outcome = "done" | "nosignal" | "signedout" | "notallowed" | "otherperson" | "trouble";

interface Result {
  id: string;
  state: "saved" | "refused" | "doubtful" | "trouble" | "other";
  problems?: Problem[];
  yes?: string;
  said?: string;
  see?: string;
}

interface Answer {
  program: string;
  results: Result[];
}

const atOnce = 20;
const patience = 20_000;

export const news = typeof BroadcastChannel === "undefined" ? undefined : new BroadcastChannel("wormyard");

export function tell(what: string): void {
  news?.postMessage(what);
}

export async function send(): Promise<Outcome> {
  const outcome = navigator.locks ? await navigator.locks.request("wormyard-outbox", sendAll) : await sendAll();
  await setValue("outcome", outcome);
  tell("changed");
  return outcome;
}

async function sendAll(): Promise<Outcome> {
  const passed = new Set<string>(); // those that the farm cannot take now hold up nobody else's
  let outcome: Outcome = "done";
  for (;;) {
    const list = waiting(await items())
      .filter((i) => !passed.has(i.id))
      .slice(0, atOnce);
    if (list.length === 0) {
      await tidy();
      return outcome;
    }
    const now = await sendSome(list, passed);
    if (now !== "done") outcome = now;
    if (now === "nosignal" || now === "signedout" || now === "notallowed") return now;
    tell("changed");
  }
}

/** post gives the answer, or what kept it from coming. */
async function post(to: string, type: string, body: BodyInit): Promise<Response | Outcome> {
  try {
    const r = await fetch(to, { method: "POST", headers: { "Content-Type": type, Accept: "application/json" }, body, credentials: "same-origin", redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(patience) });
    if (r.status === 401 || r.type === "opaqueredirect") return "signedout";
    if (r.status === 403) return "notallowed";
    if (r.status >= 500) return "trouble";
    return r;
  } catch {
    return "nosignal";
  }
}

async function sendSome(all: Item[], passed: Set<string>): Promise<Outcome> {
  for (const i of all) passed.add(i.id);
  const names = new Map<string, string>();
  const held = new Set<string>(); // their photo cannot be taken now
  for (const i of all) {
    if (!i.photo) continue;
    const data = await photo(i.id);
    if (!data) continue;
    const r = await post("/photo", "image/jpeg", data);
    if (typeof r === "string") {
      if (r !== "trouble") return r;
      held.add(i.id);
      continue;
    }
    if (r.ok) names.set(i.id, ((await r.json()) as { photo: string }).photo);
    else await change(i.id, (x) => (x.photoLost = true));
  }
  const list = all.filter((i) => !held.has(i.id));
  if (list.length === 0) return "trouble";
  const body = JSON.stringify({
    format: 1,
    device_now: Date.now(),
    device: await device(),
    entries: list.map((i) => ({ id: i.id, kind: i.kind, form: i.form, facts: i.facts, strikes: i.strikes, made: i.made, units: i.units, who: i.who, yes: i.yes, photo: names.get(i.id), stops: i.stops ?? (i.stop ? [i.stop] : undefined), since: i.since })),
  });
  const r = await post("/outbox", "application/json", body);
  if (typeof r === "string") return r;
  if (!r.ok) return "trouble";
  let answer: Answer;
  try {
    answer = (await r.json()) as Answer;
  } catch {
    return "nosignal";
  }
  await setValue("program", answer.program);
  let outcome: Outcome = answer.results.length === list.length && held.size === 0 ? "done" : "trouble";
  for (const x of answer.results) {
    if (x.state === "trouble" || x.state === "other") {
      outcome = x.state === "other" && outcome !== "trouble" ? "otherperson" : "trouble";
      continue;
    }
    await change(x.id, (i) => {
      i.state = x.state === "saved" ? "sent" : (x.state as "refused" | "doubtful");
      i.ended = Date.now();
      if (x.problems) i.problems = x.problems;
      else delete i.problems;
      if (x.yes) i.yes = x.yes;
      if (x.said) i.said = x.said;
      if (x.see) i.see = x.see;
    });
    if (x.state === "saved") await dropPhoto(x.id);
  }
  return outcome;
}

async function device(): Promise<string> {
  let name = await value<string>("device");
  if (!name) {
    name = Array.from(crypto.getRandomValues(new Uint8Array(3)), (b) => b.toString(16).padStart(2, "0")).join("");
    await setValue("device", name);
  }
  return name;
}
