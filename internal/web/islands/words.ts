// The words of the catalogue that islands say; they come with the page.

let said: Record<string, string> | undefined;

function all(): Record<string, string> {
  if (!said) {
    const raw = document.querySelector("outbox-bar")?.getAttribute("data-words");
    said = raw ? (JSON.parse(raw) as Record<string, string>) : {};
  }
  return said;
}

/** Gives the sentence of a key with its values in the places {1}, {2} and so on. */
export function say(key: string, ...values: (string | number)[]): string {
  const s = all()[key] ?? "«" + key + "»";
  return s.replace(/\{(\d)\}/g, (_, n: string) => String(values[Number(n) - 1] ?? ""));
}

/** Gives the sentence about n things, which is its first value. */
export function count(key: string, n: number, ...values: (string | number)[]): string {
  return say(key + (n === 1 ? ".one" : ".many"), n, ...values);
}

/** Gives a time as one says it: the clock today, with the day before that. */
export function moment(ms: number): string {
  const t = new Date(ms);
  const lang = document.documentElement.lang;
  const clock = t.toLocaleTimeString(lang, { hour: "numeric", minute: "2-digit" });
  if (t.toDateString() === new Date().toDateString()) return clock;
  return t.toLocaleDateString(lang, { weekday: "long", day: "numeric", month: "long" }) + " " + clock;
}
