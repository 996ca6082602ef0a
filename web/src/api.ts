// Asking the garden's server.
import { heard } from "./heard";
import { readSent, refusalCode, type Sent } from "./queue";
import { language, units } from "./state";
import type { ApiError, ErrorAnswer, Me } from "./types";

// `at`: the server's clock when it answered; `kept`: the device's own copy of an earlier answer, as there is no signal.
export type Got<T> = { ok: true; value: T; at: string; kept: boolean } | { ok: false; error: ApiError | null };

// Without a signal a phone may wait for minutes; what waits is kept meanwhile.
const patience = 20_000;

let token = "";
let seen = 0; // the latest entry sent from here: no answer may be older

// The token that a paired device's writes need beside its cookie; on the garden's own computer there is none.
export function useToken(of: Me | null): void {
  token = of?.token ?? "";
}

function address(path: string): string {
  const url = new URL(path, location.origin);
  url.searchParams.set("lang", language.value);
  if (units.value !== "garden") url.searchParams.set("units", units.value);
  const at = new URL(location.href).searchParams.get("at");
  if (at !== null) url.searchParams.set("at", at);
  return url.pathname + url.search;
}

function posting(body: string): RequestInit {
  const headers: Record<string, string> = { "Content-Type": "application/json" };
  if (token !== "") headers["X-Leafturn-Token"] = token;
  return { method: "POST", headers, body, signal: AbortSignal.timeout(patience) };
}

// A write whose token is no longer the session's (paired again in another tab) asks who it is, and is sent once more.
async function post(path: string, body: string): Promise<Response> {
  const first = await fetch(address(path), posting(body));
  if (first.status !== 403 || refusalCode(await first.clone().json().catch(() => null)) !== "access.no_token") return first;
  const who = await get<Me>("/api/me");
  useToken(who.ok ? who.value : null);
  return await fetch(address(path), posting(body));
}

async function read<T>(asking: () => Promise<Response>): Promise<Got<T>> {
  const sent = Date.now();
  try {
    const answer = await asking();
    const { at, kept } = heard(answer, sent);
    const body: unknown = await answer.json();
    return answer.ok ? { ok: true, value: body as T, at, kept } : { ok: false, error: (body as ErrorAnswer).error };
  } catch {
    return { ok: false, error: null };
  }
}

export function get<T>(path: string): Promise<Got<T>> {
  return read<T>(() => fetch(address(path), seen === 0 ? {} : { headers: { "X-Leafturn-Seen": String(seen) } }));
}

export function ask<T>(path: string, body: unknown): Promise<Got<T>> {
  return read<T>(() => post(path, JSON.stringify(body)));
}

// Sends one event's bytes. No answer, or an answer that says 'not now', means: keep it and try again.
export async function sendEvent(bytes: string): Promise<Sent> {
  const sent = Date.now();
  try {
    const response = await post("/api/events", bytes);
    const { at } = heard(response, sent);
    const result = readSent(response.status, await response.json().catch(() => null), at, bytes);
    if (result.kind === "sent") seen = Math.max(seen, result.answer.receipt.seq);
    return result;
  } catch {
    return { kind: "unreached" };
  }
}
