// What a device keeps: entries that wait, photos that go with them, and a few
// values of its own. IndexedDB, shared by all pages and the service worker.

import { openDB, type DBSchema, type IDBPDatabase } from "idb";

export interface Problem {
  field: string;
  say: string;
  try: string;
}

export interface Fact {
  kind: string;
  body: unknown;
}

export type State = "waiting" | "sent" | "refused" | "doubtful";

/** One entry made on this device. Either what was typed in a form or facts stands in it. */
export interface Item {
  seq?: number; // the order in which they were made
  id: string; // of the entry
  kind: string;
  form?: [string, string][];
  facts?: Fact[];
  strikes?: string;
  title: string; // what it says, for the person
  lines: string[];
  head?: string; // what tells it from others of its kind, where it was typed in boxes
  about: string[]; // bins
  page: string; // where its form stands
  back: string; // where one goes after it
  next?: string; // where without signal, when that is another page
  stops?: string[]; // all that it settles, where those are several
  stop?: string; // of the round that it settles
  since?: number; // when that round was made
  made: number; // by this device's clock
  units: string;
  who: string;
  photo: boolean;
  photoLost?: boolean;
  state: State;
  problems?: Problem[];
  yes?: string; // what confirms its doubts
  said?: string; // what the farm said when it took it
  see?: string; // the page to look at next
  ended?: number;
}

/** How much of what the farm names is on this device. */
export interface Kept {
  state: "fetching" | "part" | "ready";
  mark: string; // of the farm, when it named it
}

interface Shelf extends DBSchema {
  outbox: { key: number; value: Item; indexes: { id: string } };
  photo: { key: string; value: ArrayBuffer };
  value: { key: string; value: unknown };
}

let opened: Promise<IDBPDatabase<Shelf>> | undefined;

function db(): Promise<IDBPDatabase<Shelf>> {
  opened ??= openDB<Shelf>("wormyard", 1, {
    upgrade(d) {
      d.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true }).createIndex("id", "id", { unique: true });
      d.createObjectStore("photo");
      d.createObjectStore("value");
    },
    blocking(_now, _wanted, event) {
      (event.target as IDBDatabase).close();
      opened = undefined;
    },
    terminated() {
      opened = undefined;
    },
  });
  opened.catch(() => (opened = undefined));
  return opened;
}

export async function value<T>(key: string): Promise<T | undefined> {
  return (await (await db()).get("value", key)) as T | undefined;
}

export async function setValue(key: string, v: unknown): Promise<void> {
  await (await db()).put("value", v, key);
}

/** Puts an entry and its photo away, both or neither; an id that is there already is left as it is. */
export async function add(item: Item, photo?: ArrayBuffer): Promise<void> {
  const tx = (await db()).transaction(["outbox", "photo"], "readwrite", { durability: "strict" });
  const box = tx.objectStore("outbox");
  const known = await box.index("id").get(item.id);
  if (known) {
    if (known.state === "sent" || known.state === "waiting") {
      await tx.done;
      return;
    }
    if (known.seq !== undefined) item.seq = known.seq;
    if (!photo && known.photo) item.photo = true;
  }
  const todo: Promise<unknown>[] = [box.put(item)];
  if (photo) todo.push(tx.objectStore("photo").put(photo, item.id));
  await Promise.all([...todo, tx.done]);
}

export async function items(): Promise<Item[]> {
  return (await db()).getAll("outbox");
}

export async function item(id: string): Promise<Item | undefined> {
  return (await db()).getFromIndex("outbox", "id", id);
}

/** Changes an entry that is there; gives whether it was. */
export async function change(id: string, by: (i: Item) => void): Promise<boolean> {
  const tx = (await db()).transaction("outbox", "readwrite", { durability: "strict" });
  const found = await tx.store.index("id").get(id);
  if (found) {
    by(found);
    await tx.store.put(found);
  }
  await tx.done;
  return found !== undefined;
}

export async function photo(id: string): Promise<ArrayBuffer | undefined> {
  return (await db()).get("photo", id);
}

export async function dropPhoto(id: string): Promise<void> {
  await (await db()).delete("photo", id);
}

export async function drop(id: string): Promise<void> {
  const tx = (await db()).transaction(["outbox", "photo"], "readwrite");
  const key = await tx.objectStore("outbox").index("id").getKey(id);
  if (key !== undefined) await tx.objectStore("outbox").delete(key);
  await tx.objectStore("photo").delete(id);
  await tx.done;
}

const keepSent = 24 * 60 * 60 * 1000;

/** Forgets entries that were taken long ago, or all that were taken. */
export async function tidy(all = false): Promise<void> {
  for (const i of await items()) {
    if (i.state === "sent" && (all || (i.ended ?? 0) < Date.now() - keepSent)) await drop(i.id);
  }
}

export function waiting(list: Item[]): Item[] {
  return list.filter((i) => i.state === "waiting");
}
