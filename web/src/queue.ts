// Sending what waits, in order, and what came of it.
import type { Keep, Kept, Receipt } from "./keep";

export type Sent =
  | { kind: "sent"; answer: RecordedAnswer; at: string }
  | { kind: "refused"; status: number; answer: unknown }
  | { kind: "unreached" } // no answer, or one that means 'not now': kept and tried again
  | { kind: "unpaired" } // this device is not, or no longer, paired: kept until it is
  | { kind: "unkept"; reason: string }; // it could neither be kept here nor sent

export interface RecordedAnswer {
  receipt: { id: string; seq: number; link: string; kind: string };
  judgement?: unknown;
  judged?: { verdict: "within_label" | "outside_label"; rule: string };
}

export type Send = (bytes: string) => Promise<Sent>;

// Only an answer of the garden's own shape counts: a hotel's log-in page or a broken proxy also says 200, or 404.
export function readSent(status: number, answer: unknown, at: string, bytes: string): Sent {
  if (status === 401) return { kind: "unpaired" };
  if (status === 408 || status === 425 || status === 429 || status >= 500) return { kind: "unreached" };
  const recorded = answer as Partial<RecordedAnswer> | null;
  if (status >= 200 && status < 300) {
    const receipt = recorded?.receipt;
    const whole = typeof receipt?.seq === "number" && typeof receipt.link === "string" && typeof receipt.id === "string" && bytes.includes(receipt.id);
    return whole ? { kind: "sent", answer: recorded as RecordedAnswer, at } : { kind: "unreached" };
  }
  // An older token is the page's matter, not the entry's.
  return ["", "access.no_token"].includes(refusalCode(answer)) ? { kind: "unreached" } : { kind: "refused", status, answer };
}

export interface Outcome {
  id: string;
  result: Sent;
}

export function receiptOf(item: Kept, answer: RecordedAnswer, at: string): Receipt {
  return { id: item.id, seq: answer.receipt.seq, link: answer.receipt.link, told: item.told, at, outside: answer.judged?.verdict === "outside_label" };
}

async function settle(keep: Keep, item: Kept, result: Sent): Promise<void> {
  if (result.kind === "sent" && result.answer.receipt.kind === "quarantined") return await keep.change(item.id, { state: "quarantined" });
  if (result.kind === "sent") return await keep.receive(receiptOf(item, result.answer, result.at));
  if (result.kind === "refused") await keep.change(item.id, { state: "refused", reason: refusalText(result.answer), code: refusalCode(result.answer) });
}

// Stops at the first that doesn't get through, because later entries may rest on it. What waits is read again as it goes: another tab may
// have sent some of it, and more may have been written. `tell`: how many are done so far.
export async function flush(keep: Keep, send: Send, tell: (done: number) => void = () => undefined): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  const tried = new Set<string>();
  for (;;) {
    const batch = (await keep.line()).filter((item) => item.state === "waiting" && !tried.has(item.id));
    if (batch.length === 0) return outcomes;
    for (const item of batch) {
      tried.add(item.id);
      const result = await send(item.bytes);
      outcomes.push({ id: item.id, result });
      if (result.kind !== "sent" && result.kind !== "refused") return outcomes;
      await settle(keep, item, result);
      tell(outcomes.length);
    }
  }
}

function errorField(answer: unknown, name: "text" | "code"): string {
  const error = (answer as { error?: Record<string, unknown> } | null)?.error;
  const value = error?.[name];
  return typeof value === "string" ? value : "";
}

export function refusalText(answer: unknown): string {
  return errorField(answer, "text");
}

export function refusalCode(answer: unknown): string {
  return errorField(answer, "code");
}
