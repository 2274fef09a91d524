// What every page loads: the outbox and its bar, steppers, the box for a photo,
// and the service worker that keeps pages.

import { defineBar } from "./bar";
import { defineForms } from "./forms";
import { defineMix } from "./mix";
import { definePhoto } from "./photo";
import { fullAfter, persist } from "./room";
import { defineSteps } from "./steps";

const keepEvery = 30 * 60 * 1000;
const keepRest = 10 * 1000; // news in a burst are one
const undoFor = 60_000;

defineSteps();
definePhoto();
defineMix();
defineForms();
defineBar();
undoForAMinute();
forgetOnTheWayOut();
if (document.querySelector("form[data-try]")) void import("./try").then((m) => m.defineTry());
if (document.querySelector("live-round")) void import("./live");
if (document.querySelector("bin-scan")) void import("./scan");
if (document.querySelector("barn-map")) void import("./map");
if (document.querySelector("time-chart")) void import("./chart");
if (document.querySelector("bench-tally")) void import("./bench");
if (document.querySelector("photo-measure")) void import("./measure");
if (document.querySelector("sheet-back")) void import("./sheet");
document.addEventListener("wormyard-news", () => void keepSoon());
void keep();

/** Who leaves takes the pages along that this device kept. What waits stays. */
function forgetOnTheWayOut(): void {
  for (const f of document.querySelectorAll<HTMLFormElement>("form[action='/me/out'],form[action='/me/everywhere'],form[action='/switch']")) {
    f.addEventListener("submit", () => {
      navigator.serviceWorker?.controller?.postMessage({ do: "forget" });
      localStorage.removeItem("wormyard-keepfor");
      localStorage.removeItem("wormyard-keep");
    });
  }
}

/** The button that undoes what was just saved goes after a minute; striking stays. */
function undoForAMinute(): void {
  const b = document.querySelector<HTMLElement>(".said [data-undo]");
  if (b) setTimeout(() => (b.hidden = true), undoFor);
}

/** Begins the service worker, and has it fetch the pages that a barn without signal needs. */
async function keep(): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
    await persist();
    await fullAfter();
    if (document.documentElement.dataset["kept"]) return;
    await new Promise((done) => setTimeout(done, 1500)); // the page itself comes first
    await keepSoon();
  } catch {
    // a browser without service workers works while there is signal
  }
}

let waits: ReturnType<typeof setTimeout> | undefined;

/** Has the pages looked through when the farm is another than when they were last, or long after. */
async function keepSoon(): Promise<void> {
  const net = (navigator as Navigator & { connection?: { saveData?: boolean } }).connection;
  const { who, mark } = document.documentElement.dataset;
  if (!mark || net?.saveData || !navigator.onLine) return;
  const asked = (who ?? "") + " " + mark;
  const age = Date.now() - Number(localStorage.getItem("wormyard-keep") ?? 0);
  if (localStorage.getItem("wormyard-keepfor") === asked && age < keepEvery) return;
  clearTimeout(waits);
  if ((localStorage.getItem("wormyard-keepfor") ?? asked).startsWith((who ?? "") + " ") && age < keepRest) {
    waits = setTimeout(() => void keepSoon(), keepRest - age);
    return;
  }
  localStorage.setItem("wormyard-keep", String(Date.now()));
  localStorage.setItem("wormyard-keepfor", asked);
  (await navigator.serviceWorker.ready).active?.postMessage({ do: "keep" });
}
