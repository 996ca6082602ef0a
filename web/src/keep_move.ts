// Entries that an earlier version of the pages left in localStorage, moved with their bytes as they are. The old list is cleared only once
// they are on the disk in their new place; a list that can't be read stays where it is and is shown.
import type { Keep } from "./keep";

export interface OldStore {
  getItem(key: string): string | null;
  removeItem(key: string): void;
}

interface Old {
  id?: unknown;
  bytes?: unknown;
  told?: unknown;
  refused?: unknown;
}

export interface Moved {
  entries: number;
  unreadable: string | null; // the old list, where it is no list of entries
}

export async function moveOld(store: OldStore, keep: Keep): Promise<Moved> {
  const writer = store.getItem("leafturn.writer");
  const seq = Number(store.getItem("leafturn.writer_seq") ?? "0");
  if (writer !== null && Number.isSafeInteger(seq)) await keep.goOn(writer, seq);
  const text = store.getItem("leafturn.queue");
  if (text === null) return { entries: 0, unreadable: null };
  let list: Old[];
  try {
    const parsed: unknown = JSON.parse(text);
    if (!Array.isArray(parsed)) return { entries: 0, unreadable: text };
    list = parsed as Old[];
  } catch {
    return { entries: 0, unreadable: text };
  }
  const good = list.filter((one) => typeof one.bytes === "string" && typeof one.id === "string");
  if (good.length < list.length) return { entries: 0, unreadable: text };
  const entries = await keep.take(good.map((one) => ({ bytes: one.bytes as string, told: typeof one.told === "string" ? one.told : "" })), []);
  for (const one of good) {
    if (typeof one.refused === "string") await keep.change(one.id as string, { state: "refused", reason: one.refused });
  }
  // Only what was read is cleared: a tab of the old pages may have added to it meanwhile.
  if (store.getItem("leafturn.queue") === text) store.removeItem("leafturn.queue");
  return { entries, unreadable: null };
}
