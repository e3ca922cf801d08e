/**
 * Content hash of a text as 14 hexadecimal digits (53 bits). It tells changed content from unchanged content;
 * it is not cryptographic and protects against no one.
 * The mixing is cyrb53 (public domain): two 32-bit multiplicative lanes with a final avalanche.
 */
export function contentHash(text: string, seed = 0): string {
  let high = 0xdeadbeef ^ seed;
  let low = 0x41c6ce57 ^ seed;
  for (let index = 0; index < text.length; index++) {
    const code = text.charCodeAt(index);
    high = Math.imul(high ^ code, 2654435761);
    low = Math.imul(low ^ code, 1597334677);
  }
  high = Math.imul(high ^ (high >>> 16), 2246822507) ^ Math.imul(low ^ (low >>> 13), 3266489909);
  low = Math.imul(low ^ (low >>> 16), 2246822507) ^ Math.imul(high ^ (high >>> 13), 3266489909);
  const value = 4294967296 * (2097151 & low) + (high >>> 0);
  return value.toString(16).padStart(14, '0');
}
