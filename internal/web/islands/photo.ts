// The box for a photo: it opens the camera, shows what was taken, and holds the
// small picture until the entry is put away.

import { say } from "./words";

export class PhotoBox extends HTMLElement {
  picture: ArrayBuffer | undefined;
  working: Promise<void> | undefined;
  private shown = "";

  connectedCallback(): void {
    if (this.firstElementChild) return;
    const label = document.createElement("label");
    label.className = "b quiet";
    const word = document.createElement("span");
    word.textContent = say("photo.take");
    const input = document.createElement("input");
    input.type = "file";
    input.accept = "image/*";
    if (!("any" in this.dataset)) input.setAttribute("capture", "environment"); // else one that is there may be chosen
    input.className = "unseen";
    label.append(word, input);
    const note = document.createElement("span");
    note.className = "photonote";
    note.setAttribute("role", "status");
    const img = document.createElement("img");
    img.hidden = true;
    img.alt = say("photo.alt");
    const off = document.createElement("button");
    off.type = "button";
    off.className = "b quiet";
    off.textContent = say("photo.drop");
    off.hidden = true;
    this.append(label, note, img, off);
    const show = (of: ArrayBuffer | undefined): void => {
      if (this.shown) URL.revokeObjectURL(this.shown);
      this.shown = of ? URL.createObjectURL(new Blob([of], { type: "image/jpeg" })) : "";
      if (of) img.src = this.shown;
      else img.removeAttribute("src");
      img.hidden = off.hidden = !of;
    };
    off.addEventListener("click", () => {
      this.picture = undefined;
      input.value = "";
      note.textContent = "";
      show(undefined);
    });
    input.addEventListener("change", () => {
      const file = input.files?.[0];
      if (!file) return;
      note.textContent = say("photo.working");
      this.working = import("./shrink")
        .then(({ shrink }) => shrink(file))
        .then((small) => {
          this.picture = small;
          note.textContent = say("photo.ready", Math.max(1, Math.round(small.byteLength / 1024)));
          show(small);
        })
        .catch(() => {
          this.picture = undefined;
          input.value = "";
          note.textContent = say("photo.unread");
          show(undefined);
        })
        .finally(() => (this.working = undefined));
    });
  }
}

export function definePhoto(): void {
  customElements.define("photo-box", PhotoBox);
}
