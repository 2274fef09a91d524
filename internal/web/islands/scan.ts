// The camera of the scan page: it reads the square code of a label and opens the
// bin, or says why it does not. A label is told from the list of bins that came
// with the page, so that it works where there is no signal.

import { say } from "./words";

interface Detector {
  detect(of: CanvasImageSource): Promise<{ rawValue: string }[]>;
}
interface DetectorMaker {
  new (o: { formats: string[] }): Detector;
  getSupportedFormats(): Promise<string[]>;
}
type Reader = (canvas: HTMLCanvasElement, pen: CanvasRenderingContext2D) => Promise<string>;

interface Bin {
  check: string;
  retired?: boolean;
}

const widest = 640; // pixels of a picture that is read
const pause = 120; // ms between two pictures

/** Reads a code by what the browser brings along, else by our own decoder. */
async function reader(): Promise<Reader> {
  const maker = (window as unknown as { BarcodeDetector?: DetectorMaker }).BarcodeDetector;
  if (maker && (await maker.getSupportedFormats().catch((): string[] => [])).includes("qr_code")) {
    const d = new maker({ formats: ["qr_code"] });
    return async (canvas) => (await d.detect(canvas))[0]?.rawValue ?? "";
  }
  const { default: decode } = await import("jsqr");
  return async (canvas, pen) => decode(pen.getImageData(0, 0, canvas.width, canvas.height).data, canvas.width, canvas.height, { inversionAttempts: "dontInvert" })?.data ?? "";
}

/** The letters and the numbers of a name or a place, as barn.Key has them. */
export function keyOf(text: string): string {
  const same: Record<string, string> = { middle: "mid", medio: "mid", bottom: "low", abajo: "low", arriba: "top" };
  const words = (text.toLowerCase().match(/[\p{L}\p{M}]+|[0-9]+/gu) ?? []).map((w) => same[w] ?? w.replace(/^0+(?=[0-9])/, ""));
  if (words.length > 1 && ["bin", "bins", "box", "boxes", "caja", "cajas"].includes(words[0]!)) words.shift();
  return words.join(" ");
}

class BinScan extends HTMLElement {
  private bins: Record<string, Bin> = {};
  private keys: Record<string, string> = {};
  private stream: MediaStream | undefined;
  private asking = false;
  private last = "";

  connectedCallback(): void {
    this.bins = JSON.parse(this.dataset["bins"] ?? "{}") as Record<string, Bin>;
    this.keys = JSON.parse(this.dataset["keys"] ?? "{}") as Record<string, string>;
    const form = document.querySelector<HTMLFormElement>("form[action='/b']");
    form?.addEventListener("submit", (e) => {
      const text = String(new FormData(form).get("bin") ?? "").trim();
      const name = this.typed(text);
      if (!name && navigator.onLine) return; // the farm says what is near
      if (!name) {
        e.preventDefault();
        this.tell(say("scan.unknown", text));
        return;
      }
      e.preventDefault();
      location.assign("/bin/" + encodeURIComponent(name));
    });
    document.addEventListener("visibilitychange", () => void (document.hidden ? this.stop() : this.begin()));
    window.addEventListener("pagehide", () => this.stop());
    void this.begin();
  }

  private tell(text: string): void {
    const at = this.querySelector<HTMLElement>("[role=status]");
    if (at && at.textContent !== text) at.textContent = text;
  }

  private stop(): void {
    for (const t of this.stream?.getTracks() ?? []) t.stop();
    this.stream = undefined;
  }

  private async begin(): Promise<void> {
    const video = this.querySelector("video");
    if (!video || this.stream || this.asking) return;
    if (!navigator.mediaDevices?.getUserMedia) return this.without(say("scan.nocamera"));
    let stream: MediaStream;
    this.asking = true;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: 1280 } }, audio: false });
    } catch (e) {
      return this.without(say(e instanceof DOMException && e.name === "NotAllowedError" ? "scan.notallowed" : "scan.nocamera"));
    } finally {
      this.asking = false;
    }
    this.stream = stream;
    if (document.hidden) return this.stop(); // looked away while the phone asked
    video.hidden = false;
    video.srcObject = stream;
    this.tell(say("scan.hold"));
    this.torch(stream);
    const read = await reader();
    await video.play().catch(() => undefined);
    void this.look(video, stream, read);
  }

  /** Without a camera the box for the painted number is what there is: one can type at once. */
  private without(text: string): void {
    this.tell(text);
    document.querySelector<HTMLInputElement>("form[action='/b'] input[name=bin]")?.focus();
  }

  private torch(stream: MediaStream): void {
    const track = stream.getVideoTracks()[0];
    const b = this.querySelector("button");
    if (!track || !b || !(track.getCapabilities?.() as { torch?: boolean } | undefined)?.torch) return;
    b.hidden = false;
    b.onclick = () => {
      const on = b.getAttribute("aria-pressed") !== "true";
      void track.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] }).then(() => b.setAttribute("aria-pressed", String(on)));
    };
  }

  private async look(video: HTMLVideoElement, stream: MediaStream, read: Reader): Promise<void> {
    const canvas = document.createElement("canvas");
    const pen = canvas.getContext("2d", { willReadFrequently: true });
    while (pen && this.stream === stream) {
      if (video.videoWidth > 0) {
        const part = Math.min(1, widest / video.videoWidth);
        canvas.width = Math.round(video.videoWidth * part);
        canvas.height = Math.round(video.videoHeight * part);
        pen.drawImage(video, 0, 0, canvas.width, canvas.height);
        const text = await read(canvas, pen).catch(() => "");
        if (text && text !== this.last) {
          this.last = text;
          const to = this.found(text);
          if (to) {
            this.stop();
            location.assign(to);
            return;
          }
        }
      }
      await new Promise((done) => setTimeout(done, pause));
    }
  }

  /** Where a code leads; where it leads nowhere it is said why. */
  private found(text: string): string {
    let path = "";
    try {
      path = new URL(text).pathname;
    } catch {
      this.tell(say("scan.nolabel", text.slice(0, 80)));
      return "";
    }
    const line = /^\/r\/([0-9a-z]+)$/i.exec(path);
    if (line) return "/r/" + line[1]!;
    const sheet = /^\/s\/([0-9a-z]+)$/i.exec(path);
    if (sheet) return "/S/" + sheet[1]!.toUpperCase();
    const label = /^\/b\/([^/]+)\/([^/]+)$/i.exec(path);
    if (!label) {
      this.tell(say("scan.nolabel", text.slice(0, 80)));
      return "";
    }
    const said = unescaped(label[1]!);
    const tail = label[2]!.toUpperCase();
    const own = this.dataset["mark"] ?? "";
    const name = this.named(said);
    const bin = name === "" ? undefined : this.bins[name];
    if (tail.length !== own.length + 1) this.tell(say("scan.garbled"));
    else if (!tail.startsWith(own)) this.tell(say("scan.other", said, tail.slice(0, own.length), own));
    else if (!bin) this.tell(say("scan.gone", said));
    else if (tail.slice(own.length) !== bin.check) this.tell(say("scan.garbled"));
    else if (bin.retired) this.tell(say("scan.retired", name));
    else return "/bin/" + encodeURIComponent(name);
    return "";
  }

  private named(said: string): string {
    if (said in this.bins) return said;
    const same = Object.keys(this.bins).filter((n) => n.toUpperCase() === said.toUpperCase());
    return same.length === 1 ? same[0]! : "";
  }

  /** The one bin that was typed, by its name, its number or where it stands. */
  private typed(text: string): string {
    if (text in this.bins) return text;
    // two numbers with but blanks between are two bins and no place
    return /[0-9]\s+[0-9]+(?![0-9]*(nd|rd|th)\b)/i.test(text) ? "" : (this.keys[keyOf(text)] ?? "");
  }
}

function unescaped(s: string): string {
  try {
    return decodeURIComponent(s);
  } catch {
    return s;
  }
}

customElements.define("bin-scan", BinScan);
