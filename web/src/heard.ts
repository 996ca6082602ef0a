// What every answer of the garden's server tells besides its content: the server's clock, which version of the pages it serves, and whether it
// still knows this device.
import { signal } from "@preact/signals";
import { compare, type Jump, PhoneClock } from "./phone_clock";

declare const __PAGES__: string;
export const pagesVersion: string = __PAGES__;

export const clock = new PhoneClock(() => Date.now(), () => performance.now());
export const lastHeard = signal<string>(""); // the server's clock, ISO 8601 with the garden's offset
export const paired = signal(true);
export const newerPages = signal(false);
export const clockJump = signal<Jump | null>(null);
export const offsetMs = signal<number | null>(null);

export interface Heard {
  at: string; // the server's clock when it answered; empty = it didn't say
  kept: boolean; // no answer of now: one the device kept
}

export function heard(response: Response, sent: number): Heard {
  const at = response.headers.get("X-Leafturn-Now") ?? "";
  if (response.headers.get("X-Leafturn-Kept") !== null) return { at, kept: true };
  if (response.status === 401) {
    paired.value = false;
    // What a device that is no longer paired has kept of the garden is not its to show.
    if (typeof caches !== "undefined") void caches.delete("leafturn-answers");
  } else if (response.ok) {
    paired.value = true;
  }
  const version = response.headers.get("X-Leafturn-Pages");
  if (version !== null) newerPages.value = version !== pagesVersion;
  const compared = at === "" ? null : compare(sent, Date.now(), at);
  if (compared !== null) {
    clockJump.value = clock.note(compared) ?? clockJump.value;
    offsetMs.value = clock.offsetMs();
    lastHeard.value = at;
  }
  return { at, kept: false };
}
