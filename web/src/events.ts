// Events as docs/events.md has them: one JSON object, its bytes made once and kept.
import type { Heading } from "./keep";
import type { Sent } from "./queue";
import { by, signedFor } from "./state";
import type { Told } from "./types";
import { keepAndSend, whoWrites } from "./sync";

export type Fields = Record<string, string | number | boolean | Told | undefined>;

// When something happened. `clock_offset_s` only where the time was read off this device's clock: how far that was ahead of the server's when
// last compared. A time that a person typed is that person's word, and the right one.
export interface Moment {
  happened_at: string;
  clock_offset_s?: number;
}

export function eventBytes(heading: Heading, moment: Moment, who: string, kind: string, fields: Fields): string {
  const event: Record<string, unknown> = { v: 1, ...heading, ...moment };
  if (who !== "") event["by"] = who;
  event["kind"] = kind;
  for (const [name, value] of Object.entries(fields)) {
    if (value !== undefined && value !== "") event[name] = value;
  }
  return JSON.stringify(event);
}

export async function writeDown(kind: string, moment: Moment, fields: Fields, told: string): Promise<Sent> {
  // A paired device writes as its person, a lead's for whom they chose; on the garden's own computer what was chosen or typed is all there is.
  const own = await whoWrites(by.value);
  const who = own === by.value ? own : signedFor.value ?? own;
  return await keepAndSend((heading) => ({ bytes: eventBytes(heading, moment, who, kind, fields), told }));
}

export function receiptSeq(sent: Sent): number | null {
  return sent.kind === "sent" ? sent.answer.receipt.seq : null;
}
