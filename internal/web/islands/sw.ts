// The service worker: it keeps the files of the program under names that carry
// their content, and the pages of the round, the bins and the forms. A page
// comes from the farm when it answers soon, else as it was kept, stamped with
// the time of keeping. Nothing that is sent is ever kept here.

import { news, send } from "./send";
import { setValue, value, type Kept } from "./store";

interface Given {
  program: string;
  files: string[];
  patience_ms: number; // how long a page that is kept may keep a person waiting
}

declare const self: ServiceWorkerGlobalScope & { wormyard: Given };

interface SyncEvent extends ExtendableEvent {
  tag: string;
}

const given = self.wormyard;
const files = "files-" + given.program;
const pages = "pages-1";
const fallback = "/outbox";
const kept = /^\/(round|barn|bin|enter|yard|mix|moves|castings|orders?|outbox|more|scan)(\/|$)/;
const door = /^\/sign-in$/;
const never = /^\/(round\/(print|sheet)|moves\/print|orders\/import|yard\/batch)/;

self.addEventListener("install", (e) => {
  e.waitUntil(
    (async () => {
      const c = await caches.open(files);
      await Promise.all(given.files.map(async (f) => (await caches.match(f)) ?? c.add(f)));
      for (const f of given.files) {
        const old = await caches.match(f);
        if (old && !(await c.match(f))) await c.put(f, old);
      }
      await fetchAndKeep(fallback);
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (e) => {
  e.waitUntil(
    (async () => {
      // a page that is still open may ask for a file of the program before this one
      const old = (await caches.keys()).filter((k) => k.startsWith("files-") && k !== files);
      for (const k of old.slice(0, -1)) await caches.delete(k);
      for (const k of await caches.keys()) if (k.startsWith("pages-") && k !== pages) await caches.delete(k);
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("sync", ((e: SyncEvent) => {
  if (e.tag !== "outbox") return;
  e.waitUntil(
    send().then((o) => {
      if (o !== "done") throw new Error(o); // the browser tries again later
    }),
  );
}) as unknown as EventListener);

self.addEventListener("message", (e) => {
  const what = e.data as { do?: string };
  if (what.do === "keep") e.waitUntil(keep());
  if (what.do === "forget") e.waitUntil(forget());
});

self.addEventListener("fetch", (e) => {
  const r = e.request;
  const url = new URL(r.url);
  if (r.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.startsWith("/static/")) {
    e.respondWith(file(r));
    return;
  }
  if (r.mode === "navigate") e.respondWith(page(e, url));
});

async function file(r: Request): Promise<Response> {
  return (await caches.match(r, { ignoreVary: true })) ?? fetch(r);
}

/** The address under which a page is kept. */
function nameOf(url: URL): string {
  const q = new URLSearchParams(url.search);
  q.delete("said");
  const s = q.toString();
  return url.pathname + (s ? "?" + s : "");
}

async function page(e: FetchEvent, url: URL): Promise<Response> {
  const c = await caches.open(pages);
  const old = await c.match(nameOf(url), { ignoreVary: true });
  const net = fetch(e.request).then(async (r) => {
    if (r.ok && door.test(url.pathname)) await forget(); // nobody is signed in any more
    if (keepable(url, r)) await put(url, r.clone());
    return r;
  });
  if (!old) {
    try {
      return await net;
    } catch {
      return instead(url);
    }
  }
  e.waitUntil(net.catch(() => undefined));
  const late = new Promise<undefined>((done) => setTimeout(done, given.patience_ms));
  const first = await Promise.race([net.catch(() => undefined), late]);
  return first ?? stamped(old, "kept");
}

function keepable(url: URL, r: Response): boolean {
  return r.ok && r.type === "basic" && !r.redirected && kept.test(url.pathname) && !never.test(url.pathname) && !url.searchParams.has("said") && (r.headers.get("Content-Type") ?? "").startsWith("text/html");
}

/** Throws away what is kept, and with it that all of it is there. */
async function forget(): Promise<void> {
  await caches.delete(pages);
  await setValue("kept", undefined);
}

async function put(url: URL, r: Response, tag = ""): Promise<void> {
  const h = new Headers(r.headers);
  h.set("X-Kept", String(Date.now()));
  h.set("X-Tag", tag);
  try {
    const text = await r.text();
    await another(/<html [^>]*data-who="([^"]*)"/.exec(text)?.[1] ?? "");
    await (await caches.open(pages)).put(nameOf(url), new Response(text, { status: 200, headers: h }));
  } catch {
    // no room: the page is not kept, entries are
  }
}

/** Throws away the pages that another person left here: they are not this one's to see. */
async function another(who: string): Promise<void> {
  const last = await value<string>("keptfor");
  if (last === who) return;
  if (last !== undefined) await forget();
  await setValue("keptfor", who);
}

/** A page as it was kept, with the time of keeping on it. */
async function stamped(r: Response, how: string): Promise<Response> {
  const text = (await r.text()).replace("<html ", '<html data-' + how + '="' + (how === "kept" ? (r.headers.get("X-Kept") ?? "0") : "1") + '" ');
  const h = new Headers(r.headers);
  h.delete("Content-Length");
  h.delete("Content-Encoding");
  return new Response(text, { status: 200, headers: h });
}

/** The kind of a form about a bin or a pile, and what is filled in there. */
function formOf(url: URL): { kind: string; filled: Record<string, string> } | undefined {
  if (url.pathname === "/yard/receive") return { kind: "receive", filled: { back: "/yard" } };
  const m = /^\/(bin|yard\/pile)\/([^/]+)\/([a-z]+)$/.exec(url.pathname);
  if (!m) return undefined;
  const name = decodeURIComponent(m[2]!);
  const back = "/" + m[1] + "/" + m[2];
  if (m[1] === "bin") return { kind: m[3]!, filled: { bins: name, bin: name, subject: "bin " + name, back } };
  return { kind: m[3]!, filled: { pile: name, subject: "pile " + name, act: url.searchParams.get("act") ?? "", back } };
}

/** What is shown where a page is not kept: a form of the kind, else what waits. */
async function instead(url: URL): Promise<Response> {
  const c = await caches.open(pages);
  const form = formOf(url);
  if (form && (await c.match("/enter/" + form.kind))) {
    return Response.redirect("/enter/" + form.kind + "?" + new URLSearchParams(form.filled).toString(), 302);
  }
  // A form without its bins and a barn without its view are still what was asked
  // for; elsewhere the address tells which bin or which stop, and another one is not it.
  if (/^\/enter\/[a-z]+$/.test(url.pathname) || url.pathname === "/barn") {
    const any = await c.match(url.pathname, { ignoreSearch: true, ignoreVary: true });
    if (any) return stamped(any, "kept");
  }
  if (url.pathname === "/round/walk" && url.searchParams.has("from") && (await c.match("/round/walk", { ignoreVary: true }))) {
    return Response.redirect("/round/walk", 302); // the page itself knows which stop is open
  }
  const list = await c.match(fallback, { ignoreVary: true });
  return list ? stamped(list, "missing") : Response.error();
}

async function fetchAndKeep(path: string, tag = ""): Promise<boolean> {
  const url = new URL(path, self.location.origin);
  const r = await fetch(url, { credentials: "same-origin", headers: { Accept: "text/html" } });
  if (keepable(url, r)) await put(url, r, tag);
  return r.ok;
}

const together = 2;
let keeping: Promise<void> | undefined;
let anew = false; // asked again meanwhile: the round and its walk come first once more

/** Keeps what the farm names; one run at a time, begun anew when asked again. */
function keep(): Promise<void> {
  anew = keeping !== undefined;
  keeping ??= (async () => {
    try {
      do {
        anew = false;
        await keepAll();
      } while (anew);
    } finally {
      keeping = undefined;
    }
  })();
  return keeping;
}

async function told(kept: Kept): Promise<void> {
  await setValue("kept", kept);
  news?.postMessage("kept");
}

/** Fetches the pages that the farm names, a few at a time; what is fresh is left. */
async function keepAll(): Promise<void> {
  const asked = await fetch("/keep.json", { credentials: "same-origin", headers: { Accept: "application/json" } });
  if (!asked.ok) return;
  const list = (await asked.json()) as { pages: { at: string; fresh_s: number; tag?: string }[]; ready: boolean; mark: string };
  const c = await caches.open(pages);
  const todo = list.pages.slice();
  let misses = 0;
  let fetched = 0;
  const one = async (): Promise<void> => {
    for (let p = todo.shift(); p && misses < 3 && !anew; p = todo.shift()) {
      const old = await c.match(p.at, { ignoreVary: true });
      if (old && (old.headers.get("X-Tag") ?? "") === (p.tag ?? "") && Date.now() - Number(old.headers.get("X-Kept") ?? 0) < p.fresh_s * 1000) continue;
      if (!old && fetched++ === 0) await told({ state: "fetching", mark: list.mark });
      try {
        if (!(await fetchAndKeep(p.at, p.tag))) misses++;
      } catch {
        misses++;
      }
    }
  };
  await Promise.all(Array.from({ length: together }, one));
  if (anew) return;
  await told({ state: misses === 0 && list.ready ? "ready" : "part", mark: list.mark });
}
