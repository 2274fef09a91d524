// Room on the device. What may be thrown away goes first: pages that were kept
// and entries the farm has taken already.

import { setValue, tidy } from "./store";

const nearly = 0.9;
const needed = /^\/(round$|outbox$|enter\/)/; // what one can still work with
const little = 5_000_000;

/** Makes room after something did not fit. */
export async function room(why: unknown): Promise<void> {
  if (!(why instanceof DOMException) || (why.name !== "QuotaExceededError" && why.name !== "UnknownError")) throw why;
  for (const name of await caches.keys()) {
    if (!name.startsWith("pages")) continue;
    const c = await caches.open(name);
    for (const r of await c.keys()) if (!needed.test(new URL(r.url).pathname)) await c.delete(r);
  }
  await tidy(true);
}

/** Notes whether the device is nearly full. */
export async function fullAfter(): Promise<void> {
  try {
    const e = await navigator.storage.estimate();
    const full = e.quota !== undefined && e.usage !== undefined && (e.usage > nearly * e.quota || e.quota - e.usage < little);
    await setValue("full", full);
  } catch {
    // a device that does not say
  }
}

/** Asks that the device does not throw away what waits. */
export async function persist(): Promise<void> {
  try {
    if (!(await navigator.storage.persisted())) await navigator.storage.persist();
  } catch {
    // a device that does not say
  }
}
