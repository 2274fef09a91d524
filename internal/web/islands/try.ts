// A form that only asks: while a number is changed, the page is asked what it
// makes, and the part that answers is put in place. Nothing is kept.

const settle = 350;

/** Takes over every form with data-try, which names the part that answers. */
export function defineTry(): void {
  for (const f of document.querySelectorAll<HTMLFormElement>("form[data-try]")) new Trying(f);
}

class Trying {
  private timer = 0;
  private asked: AbortController | undefined;

  constructor(private form: HTMLFormElement) {
    form.addEventListener("input", () => {
      clearTimeout(this.timer);
      this.timer = window.setTimeout(() => void this.ask(), settle);
    });
  }

  private async ask(): Promise<void> {
    this.asked?.abort();
    const mine = (this.asked = new AbortController());
    const to = new URL(this.form.action);
    to.search = new URLSearchParams(Array.from(new FormData(this.form)).map(([k, v]) => [k, String(v)])).toString();
    try {
      const r = await fetch(to, { signal: mine.signal });
      if (!r.ok) return;
      const page = new DOMParser().parseFromString(await r.text(), "text/html");
      for (const old of document.querySelectorAll<HTMLElement>(`[data-answers=${this.form.dataset["try"]}]`)) {
        const fresh = page.getElementById(old.id);
        if (fresh) old.replaceChildren(...fresh.childNodes);
      }
      history.replaceState(history.state, "", to);
    } catch {
      // without signal the button still asks, and says what is amiss
    }
  }
}
