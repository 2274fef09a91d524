// The part of the decoder that the scan page calls.
declare module "jsqr" {
  export default function jsQR(data: Uint8ClampedArray, width: number, height: number, options?: { inversionAttempts?: "dontInvert" | "attemptBoth" }): { data: string } | null;
}
