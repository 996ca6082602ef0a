// Version-7 ids (RFC 9562 section 5.7): 48 bits of Unix milliseconds, then random bits. Made with getRandomValues alone, because
// randomUUID and subtle crypto do not exist on plain http.

export function uuid7(unixMilliseconds: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  let rest = Math.floor(unixMilliseconds);
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

export function newId(now: number = Date.now()): string {
  return uuid7(now, crypto.getRandomValues(new Uint8Array(10)));
}
