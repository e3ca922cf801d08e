/** Encoders of the platform, which the language's own library does not declare. */
declare const btoa: (binary: string) => string;
declare const atob: (base64: string) => string;

/** Arguments of one call are limited. */
const PIECE = 0x8000;

export function toBase64(bytes: Uint8Array): string {
  let binary = '';
  for (let start = 0; start < bytes.length; start += PIECE)
    binary += String.fromCharCode(...bytes.subarray(start, start + PIECE));
  return btoa(binary);
}

export function fromBase64(base64: string): Uint8Array {
  const binary = atob(base64);
  const bytes = new Uint8Array(binary.length);
  for (let index = 0; index < binary.length; index++) bytes[index] = binary.charCodeAt(index);
  return bytes;
}
