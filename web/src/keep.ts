// What a phone keeps: entries that wait for the garden's server, receipts of those that arrived, and a few facts about itself. Each entry's
// bytes are kept as they were made and sent exactly so; the server answers the same id and bytes with the same receipt, so sending twice is
// harmless. keep_idb.ts keeps them on the device; `memoryKeep` only as long as the page is open.

export interface Heading {
  id: string;
  writer: string;
  writer_seq: number;
}

// waiting: to be sent · refused: the server understood it and said no · quarantined: the ledger holds other bytes under its id ·
// set_aside: a person has seen it and needs it no more. Nothing leaves the device but by a receipt.
export type LineState = "waiting" | "refused" | "quarantined" | "set_aside";

export interface Draft {
  bytes: string;
  told: string; // what it says, for people
}

export interface Kept extends Draft {
  id: string;
  n: number; // order on this device
  made: number; // Unix milliseconds by this device's clock
  state: LineState;
  reason: string; // why it was refused, in the reader's language of then
  code: string;
}

export interface Receipt {
  id: string;
  seq: number;
  link: string;
  told: string;
  at: string; // the server's clock, ISO 8601 with the garden's offset; empty = it didn't say
  outside: boolean; // a spray judged to be outside its label
}

export type Change = Partial<Pick<Kept, "state" | "reason" | "code">>;

export interface Keep {
  lasting: boolean; // stays when the page is closed
  // Heading and entry in one go: no two pages of this device ever make the same count.
  write(build: (heading: Heading) => Draft): Promise<Kept>;
  line(): Promise<Kept[]>;
  change(id: string, change: Change): Promise<void>;
  // Out of the line, its receipt in its place, in one go.
  receive(receipt: Receipt): Promise<void>;
  receipts(most: number): Promise<Receipt[]>; // latest first
  // Entries and receipts of a file: what is here already, waiting or received, is left alone. How many entries were new.
  take(entries: Draft[], receipts: Receipt[]): Promise<number>;
  // The count goes on from at least here: an older store of this device, or the server, has seen it.
  goOn(writer: string, seq: number): Promise<void>;
  memo(key: string): Promise<unknown>;
  remember(key: string, value: unknown): Promise<void>;
}

// Keeping failed: storage is full, or the browser refuses. Nothing was kept of this entry.
export class NotKept extends Error {}

export interface Told {
  id: string;
  kind: string;
  bed: string;
  spray: { product: string; state: string } | null;
}

// What the pages need to know of an entry's bytes; nothing when they can't be read.
export function told(bytes: string): Told | null {
  try {
    const event = JSON.parse(bytes) as Record<string, unknown>;
    const text = (name: string) => (typeof event[name] === "string" ? (event[name] as string) : "");
    if (text("id") === "") return null;
    const spray = text("kind") === "application" ? { product: text("product"), state: text("state") } : null;
    return { id: text("id"), kind: text("kind"), bed: text("bed"), spray };
  } catch {
    return null;
  }
}

export function newWriter(makeId: () => string): string {
  return `page-${makeId().slice(-12)}`;
}

export function asKept(draft: Draft, id: string, n: number, made: number): Kept {
  return { id, n, made, bytes: draft.bytes, told: draft.told, state: "waiting", reason: "", code: "" };
}

export function memoryKeep(makeId: () => string, now: () => number = Date.now): Keep {
  const line = new Map<string, Kept>();
  const had: Receipt[] = [];
  const memos = new Map<string, unknown>();
  let writer = newWriter(makeId);
  let seq = 0;
  let n = 0;
  return {
    lasting: false,
    write(build) {
      const heading = { id: makeId(), writer, writer_seq: ++seq };
      const kept = asKept(build(heading), heading.id, ++n, now());
      line.set(kept.id, kept);
      return Promise.resolve(kept);
    },
    line: () => Promise.resolve([...line.values()]),
    change(id, change) {
      const was = line.get(id);
      if (was !== undefined) line.set(id, { ...was, ...change });
      return Promise.resolve();
    },
    receive(receipt) {
      line.delete(receipt.id);
      if (!had.some((one) => one.id === receipt.id)) had.push(receipt);
      return Promise.resolve();
    },
    receipts: (most) => Promise.resolve([...had].reverse().slice(0, most)),
    take(entries, receipts) {
      for (const receipt of receipts) {
        if (line.delete(receipt.id)) had.push(receipt);
      }
      let fresh = 0;
      for (const draft of entries) {
        const id = told(draft.bytes)?.id;
        if (id === undefined || line.has(id) || had.some((one) => one.id === id)) continue;
        line.set(id, asKept(draft, id, ++n, now()));
        fresh++;
      }
      return Promise.resolve(fresh);
    },
    goOn(was, least) {
      if (seq === 0) writer = was;
      if (writer === was) seq = Math.max(seq, least);
      return Promise.resolve();
    },
    memo: (key) => Promise.resolve(memos.get(key)),
    remember(key, value) {
      memos.set(key, value);
      return Promise.resolve();
    },
  };
}
