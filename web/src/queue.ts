// What was written down but has not reached the garden's server yet. Each event's bytes are kept as they were made and sent again
// exactly so: the server answers the same id and bytes with the same receipt, so sending twice is harmless.

export interface Store {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
}

export interface Waiting {
  id: string;
  bytes: string;
  told: string; // what it says, for people
  refused?: string; // the server understood it and said no: kept until the person lets go of it
}

export type Sent =
  | { kind: "sent"; status: number; answer: unknown }
  | { kind: "refused"; status: number; answer: unknown }
  | { kind: "unreached" };

export type Send = (bytes: string) => Promise<Sent>;

// Runs a piece of work while no other tab of this browser runs one: what is kept is read, changed and written back in one go.
export type Alone = <T>(work: () => T) => Promise<T>;

// Where the browser has no locks (plain http over a network) the tab's own turn of the event loop is all there is; a writer of its own
// keeps its count from meeting another tab's (events.ts).
export function aloneWith(locks: LockManager | undefined): Alone {
  if (locks === undefined) return (work) => Promise.resolve().then(work);
  return async <T>(work: () => T) => await locks.request("leafturn.kept", () => work()) as T;
}

const key = "leafturn.queue";
const writerKey = "leafturn.writer";
const sequenceKey = "leafturn.writer_seq";

export function waiting(store: Store): Waiting[] {
  const text = store.getItem(key);
  if (text === null) return [];
  const parsed: unknown = JSON.parse(text);
  return Array.isArray(parsed) ? (parsed as Waiting[]) : [];
}

function keep(store: Store, list: Waiting[]): void {
  store.setItem(key, JSON.stringify(list));
}

// The writer's name is kept by the browser; its count rises by one for every event made here, so that a gap shows. Only ever called
// alone: two tabs that read the same count would both write the next one.
export function nextHeading(store: Store, makeId: () => string): { id: string; writer: string; writer_seq: number } {
  let writer = store.getItem(writerKey);
  if (writer === null) {
    writer = `page-${makeId().slice(-12)}`;
    store.setItem(writerKey, writer);
  }
  const sequence = Number(store.getItem(sequenceKey) ?? "0") + 1;
  store.setItem(sequenceKey, String(sequence));
  return { id: makeId(), writer, writer_seq: sequence };
}

// Kept first, sent second: a page that is closed in between has lost nothing.
export function enqueue(store: Store, item: Waiting): void {
  keep(store, [...waiting(store), item]);
}

export function letGo(store: Store, id: string): void {
  keep(store, waiting(store).filter((item) => item.id !== id));
}

export interface Outcome {
  id: string;
  result: Sent;
}

// Sends in order. Stops at the first that doesn't reach the server, because later events may rest on it.
export async function flush(store: Store, send: Send, alone: Alone): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  for (const item of waiting(store)) {
    if (item.refused !== undefined) continue;
    const result = await send(item.bytes);
    outcomes.push({ id: item.id, result });
    if (result.kind === "unreached") break;
    await alone(() => {
      if (result.kind === "sent") return letGo(store, item.id);
      const reason = refusalText(result.answer);
      keep(store, waiting(store).map((other) => (other.id === item.id ? { ...other, refused: reason } : other)));
    });
  }
  return outcomes;
}

export function refusalText(answer: unknown): string {
  const error = (answer as { error?: { text?: unknown } } | null)?.error;
  return typeof error?.text === "string" ? error.text : "";
}
