// Makes a photo small on the device, before it is put away: at most 1600 pixels
// along its longer side, as JPEG, which leaves out where it was taken. A
// picture of 40 megapixels is decoded straight to the small size where the
// browser can.

const most = 1600;
const heavy = 700_000;

export async function shrink(file: Blob): Promise<ArrayBuffer> {
  const size = await sizeOf(file);
  const by = Math.min(1, most / Math.max(size.w, size.h));
  const w = Math.max(1, Math.round(size.w * by));
  const h = Math.max(1, Math.round(size.h * by));
  const picture = await createImageBitmap(file, { resizeWidth: w, resizeHeight: h, resizeQuality: "high", imageOrientation: "from-image" });
  const canvas = document.createElement("canvas");
  canvas.width = w;
  canvas.height = h;
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no canvas");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, w, h);
  pen.drawImage(picture, 0, 0, w, h);
  picture.close();
  let out: Blob | null = null;
  for (const quality of [0.82, 0.7, 0.55, 0.4]) {
    out = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", quality));
    if (out && out.size <= heavy) break;
  }
  canvas.width = canvas.height = 0;
  if (!out) throw new Error("no picture");
  return out.arrayBuffer();
}

/** The size as it is looked at: a browser turns a picture by its own mark. */
async function sizeOf(file: Blob): Promise<{ w: number; h: number }> {
  const at = URL.createObjectURL(file);
  try {
    const img = new Image();
    img.src = at;
    await new Promise<void>((done, fail) => {
      img.onload = () => done();
      img.onerror = () => fail(new Error("no picture"));
    });
    return { w: img.naturalWidth, h: img.naturalHeight };
  } finally {
    URL.revokeObjectURL(at);
  }
}
