// A UUIDv7 (RFC 9562): 48 bits of time in milliseconds, the rest chance. Two of
// the same millisecond made here keep their order by a counter in the 12 bits
// after the version.

let last = 0;
let count = 0;

export function uuid7(now: number = Date.now()): string {
  const b = crypto.getRandomValues(new Uint8Array(16));
  if (now <= last) {
    now = last;
    count++;
    if (count > 0xfff) {
      now++;
      count = 0;
    }
  } else {
    count = 0x3ff & ((b[6]! << 8) | b[7]!);
  }
  last = now;
  let t = now;
  for (let i = 5; i >= 0; i--) {
    b[i] = t % 256;
    t = Math.floor(t / 256);
  }
  b[6] = 0x70 | (count >> 8);
  b[7] = count & 0xff;
  b[8] = 0x80 | (b[8]! & 0x3f);
  const hex = Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
