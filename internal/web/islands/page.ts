// What every page loads: the outbox and its bar, steppers, the box for a photo,
// and the service worker that keeps pages.

import { defineBar } from "./bar";
import { defineForms } from "./forms";
import { defineMix } from "./mix";
import { definePhoto } from "./photo";
import { fullAfter, persist } from "./room";
import { defineSteps } from "./steps";

const keepEvery = 30 * 60 * 1000;
const undoFor = 60_000;

defineSteps();
definePhoto();
defineMix();
defineForms();
defineBar();
undoForAMinute();
forgetOnTheWayOut();
if (document.querySelector("live-round")) void import("./live");
if (document.querySelector("bin-scan")) void import("./scan");
if (document.querySelector("barn-map")) void import("./map");
if (document.querySelector("time-chart")) void import("./chart");
if (document.querySelector("sheet-back")) void import("./sheet");
void keep();

/** Who leaves takes the pages along that this device kept. What waits stays. */
function forgetOnTheWayOut(): void {
  for (const f of document.querySelectorAll<HTMLFormElement>("form[action='/me/out'],form[action='/me/everywhere'],form[action='/switch']")) {
    f.addEventListener("submit", () => {
      navigator.serviceWorker?.controller?.postMessage({ do: "forget" });
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
    const reg = await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
    await persist();
    await fullAfter();
    if (document.documentElement.dataset["kept"] || !navigator.onLine) return;
    const net = (navigator as Navigator & { connection?: { saveData?: boolean } }).connection;
    const who = document.documentElement.dataset["who"] ?? "";
    const last = localStorage.getItem("wormyard-keepfor") === who ? Number(localStorage.getItem("wormyard-keep") ?? 0) : 0;
    if (net?.saveData || Date.now() - last < keepEvery) return;
    await navigator.serviceWorker.ready;
    await new Promise((done) => setTimeout(done, 1500)); // the page itself comes first
    reg.active?.postMessage({ do: "keep" });
    localStorage.setItem("wormyard-keep", String(Date.now()));
    localStorage.setItem("wormyard-keepfor", who);
  } catch {
    // a browser without service workers works while there is signal
  }
}
