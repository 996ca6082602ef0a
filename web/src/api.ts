// Asking the garden's server.
import { language, units } from "./state";
import type { ApiError, ErrorAnswer } from "./types";
import type { Sent } from "./queue";

export type Got<T> = { ok: true; value: T } | { ok: false; error: ApiError | null };

function address(path: string): string {
  const url = new URL(path, location.origin);
  url.searchParams.set("lang", language.value);
  if (units.value !== "garden") url.searchParams.set("units", units.value);
  const at = new URL(location.href).searchParams.get("at");
  if (at !== null) url.searchParams.set("at", at);
  return url.pathname + url.search;
}

async function read<T>(response: Promise<Response>): Promise<Got<T>> {
  try {
    const answer = await response;
    const body: unknown = await answer.json();
    return answer.ok ? { ok: true, value: body as T } : { ok: false, error: (body as ErrorAnswer).error };
  } catch {
    return { ok: false, error: null };
  }
}

export function get<T>(path: string): Promise<Got<T>> {
  return read<T>(fetch(address(path)));
}

export function ask<T>(path: string, body: unknown): Promise<Got<T>> {
  return read<T>(fetch(address(path), { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) }));
}

// Sends one event's bytes. No answer, or an answer that says 'not now', means: keep it and try again.
export async function sendEvent(bytes: string): Promise<Sent> {
  try {
    const response = await fetch(address("/api/events"), { method: "POST", headers: { "Content-Type": "application/json" }, body: bytes });
    if (response.status >= 500) return { kind: "unreached" };
    const answer: unknown = await response.json();
    return { kind: response.ok ? "sent" : "refused", status: response.status, answer };
  } catch {
    return { kind: "unreached" };
  }
}
