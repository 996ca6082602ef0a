// Events as docs/events.md has them: one JSON object, its bytes made once and kept.
import { sendEvent } from "./api";
import { aloneWith, enqueue, flush, letGo, nextHeading, refusalText, type Sent, type Store } from "./queue";
import { by, refreshQueue } from "./state";
import { newId } from "./uuid7";

const alone = aloneWith(navigator.locks as LockManager | undefined);

// Without locks between tabs every page load is a writer of its own, with a count of its own.
const ownCount = new Map<string, string>();
const ownWriter: Store = { getItem: (key) => ownCount.get(key) ?? null, setItem: (key, value) => void ownCount.set(key, value) };
const writers: Store = (navigator.locks as LockManager | undefined) === undefined ? ownWriter : localStorage;

export type Fields = Record<string, string | number | boolean | undefined>;

export function eventBytes(heading: { id: string; writer: string; writer_seq: number }, happenedAt: string, who: string, kind: string, fields: Fields): string {
  const event: Record<string, unknown> = { v: 1, ...heading, happened_at: happenedAt };
  if (who !== "") event["by"] = who;
  event["kind"] = kind;
  for (const [name, value] of Object.entries(fields)) {
    if (value !== undefined && value !== "") event[name] = value;
  }
  return JSON.stringify(event);
}

// Kept on this device first, then sent with everything that waits before it. A refusal takes it out of the line again: the form that made
// it is still open and shows why.
export async function writeDown(kind: string, happenedAt: string, fields: Fields, told: string): Promise<Sent> {
  const heading = await alone(() => {
    const made = nextHeading(writers, newId);
    enqueue(localStorage, { id: made.id, bytes: eventBytes(made, happenedAt, by.value, kind, fields), told });
    return made;
  });
  refreshQueue();
  const outcomes = await flush(localStorage, sendEvent, alone);
  const mine = outcomes.find((outcome) => outcome.id === heading.id)?.result ?? { kind: "unreached" as const };
  if (mine.kind === "refused") await throwAway(heading.id);
  refreshQueue();
  return mine;
}

export async function sendWaiting(): Promise<void> {
  await flush(localStorage, sendEvent, alone);
  refreshQueue();
}

export async function throwAway(id: string): Promise<void> {
  await alone(() => letGo(localStorage, id));
  refreshQueue();
}

export function receiptSeq(sent: Sent): number | null {
  if (sent.kind !== "sent") return null;
  const seq = (sent.answer as { receipt?: { seq?: unknown } } | null)?.receipt?.seq;
  return typeof seq === "number" ? seq : null;
}

export { refusalText };
