// The garden's own clock: forms show and take its civil time, events carry its offset.

// `2026-06-13T06:30` in a zone → `2026-06-13T06:30:00-05:00`. The offset is that zone's at that time, from the browser's own tables; where
// they don't know the zone, `fallback` (a time of the same garden with its offset) lends its own.
export function withOffset(civil: string, zone: string, fallback: string): string {
  const full = civil.length === 16 ? `${civil}:00` : civil;
  const offset = offsetOf(full, zone) ?? fallback.match(/(Z|[+-]\d\d:\d\d)$/)?.[1] ?? "Z";
  return full + offset;
}

function offsetOf(civil: string, zone: string): string | null {
  try {
    // A civil time's offset is found from the same figures read as UTC: off by the offset itself, which matters only within a change.
    const first = offsetAt(new Date(`${civil}Z`), zone);
    return offsetAt(new Date(civil + first), zone);
  } catch {
    return null;
  }
}

// A moment in a zone's civil time, `2026-06-13T06:30:12.345`; where the browser's tables don't know the zone, by the offset of `fallback`.
export function civilAt(unixMs: number, zone: string, fallback: string): string {
  return new Date(unixMs + offsetMsAt(new Date(unixMs), zone, fallback)).toISOString().slice(0, 23);
}

export function isoAt(unixMs: number, zone: string, fallback: string): string {
  const ms = offsetMsAt(new Date(unixMs), zone, fallback);
  const minutes = Math.abs(Math.round(ms / 60_000));
  const two = (n: number) => String(n).padStart(2, "0");
  return `${civilAt(unixMs, zone, fallback)}${ms < 0 ? "-" : "+"}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

function offsetMsAt(at: Date, zone: string, fallback: string): number {
  let name: string;
  try {
    name = offsetAt(at, zone);
  } catch {
    name = fallback.match(/([+-]\d\d:\d\d)$/)?.[1] ?? "+00:00";
  }
  const sign = name.startsWith("-") ? -1 : 1;
  return sign * (Number(name.slice(1, 3)) * 60 + Number(name.slice(4, 6))) * 60_000;
}

function offsetAt(at: Date, zone: string): string {
  const parts = new Intl.DateTimeFormat("en-US", { timeZone: zone, timeZoneName: "longOffset" }).formatToParts(at);
  const name = parts.find((part) => part.type === "timeZoneName")?.value ?? "GMT";
  return name === "GMT" ? "+00:00" : name.slice(3);
}

// What a datetime-local field takes.
export function civilOf(iso: string): string {
  return iso.slice(0, 16);
}

export function minutesBefore(civil: string, minutes: number): string {
  return new Date(Date.parse(`${civil}:00Z`) - minutes * 60_000).toISOString().slice(0, 16);
}
