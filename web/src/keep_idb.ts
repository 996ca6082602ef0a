// Keeping in IndexedDB. Transactions of all tabs take turns there, with and without HTTPS, and are written to the disk before they end
// ('strict'): a browser that is killed afterwards has lost nothing, one that is killed before has kept nothing of it.
import { asKept, type Change, type Draft, type Heading, type Keep, type Kept, newWriter, NotKept, type Receipt, told } from "./keep";

const version = 1;

function answered<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error ?? new Error("IndexedDB"));
  });
}

function opened(factory: IDBFactory): Promise<IDBDatabase> {
  const request = factory.open("leafturn", version);
  request.onupgradeneeded = () => {
    const db = request.result;
    const line = db.createObjectStore("line", { keyPath: "n", autoIncrement: true });
    line.createIndex("id", "id", { unique: true });
    const receipts = db.createObjectStore("receipts", { keyPath: "n", autoIncrement: true });
    receipts.createIndex("id", "id", { unique: true });
    db.createObjectStore("memos");
  };
  return answered(request).then((db) => {
    // A newer version of the pages in another tab may want to change the stores: this one lets go and opens again when next used.
    db.onversionchange = () => db.close();
    return db;
  });
}

type Stores = { line: IDBObjectStore; receipts: IDBObjectStore; memos: IDBObjectStore };

export async function idbKeep(factory: IDBFactory, makeId: () => string, now: () => number = Date.now): Promise<Keep> {
  let db = await opened(factory);

  async function within<T>(mode: IDBTransactionMode, work: (stores: Stores) => Promise<T>): Promise<T> {
    const names = ["line", "receipts", "memos"];
    let transaction: IDBTransaction;
    try {
      transaction = db.transaction(names, mode, { durability: "strict" });
    } catch {
      db = await opened(factory);
      transaction = db.transaction(names, mode, { durability: "strict" });
    }
    const ended = new Promise<void>((done, fail) => {
      transaction.oncomplete = () => done();
      transaction.onabort = () => fail(new NotKept(transaction.error?.name ?? "aborted"));
      transaction.onerror = () => undefined; // an abort follows
    });
    const store = (name: string) => transaction.objectStore(name);
    const value = work({ line: store("line"), receipts: store("receipts"), memos: store("memos") });
    try {
      const [result] = await Promise.all([value, ended]);
      return result;
    } catch (error) {
      try {
        transaction.abort();
      } catch {
        // it has ended already
      }
      throw error instanceof NotKept ? error : new NotKept(error instanceof Error ? error.name : "unknown");
    }
  }

  async function byId(store: IDBObjectStore, id: string): Promise<Kept | undefined> {
    return await answered(store.index("id").get(id)) as Kept | undefined;
  }

  async function add(stores: Stores, draft: Draft, id: string): Promise<Kept> {
    const { n: _, ...fresh } = asKept(draft, id, 0, now());
    const n = await answered(stores.line.add(fresh)) as number;
    return { ...fresh, n };
  }

  async function receiveIn(stores: Stores, receipt: Receipt): Promise<void> {
    const waiting = await byId(stores.line, receipt.id);
    if (waiting !== undefined) stores.line.delete(waiting.n);
    if (await answered(stores.receipts.index("id").count(receipt.id)) === 0) stores.receipts.add(receipt);
  }

  return {
    lasting: true,
    write: (build) => within("readwrite", async (stores) => {
      const writer = (await answered(stores.memos.get("writer")) as string | undefined) ?? newWriter(makeId);
      const seq = ((await answered(stores.memos.get("writer_seq")) as number | undefined) ?? 0) + 1;
      stores.memos.put(writer, "writer");
      stores.memos.put(seq, "writer_seq");
      const heading: Heading = { id: makeId(), writer, writer_seq: seq };
      return await add(stores, build(heading), heading.id);
    }),
    line: () => within("readonly", async ({ line }) => await answered(line.getAll()) as Kept[]),
    change: (id, change: Change) => within("readwrite", async ({ line }) => {
      const was = await byId(line, id);
      if (was !== undefined) line.put({ ...was, ...change });
    }),
    receive: (receipt) => within("readwrite", (stores) => receiveIn(stores, receipt)),
    receipts: (most) => within("readonly", ({ receipts }) => new Promise<Receipt[]>((done, fail) => {
      const found: Receipt[] = [];
      const walk = receipts.openCursor(null, "prev");
      walk.onerror = () => fail(walk.error ?? new Error("IndexedDB"));
      walk.onsuccess = () => {
        const cursor = walk.result;
        if (cursor === null || found.length >= most) return done(found);
        found.push(cursor.value as Receipt);
        cursor.continue();
      };
    })),
    take: (entries, receipts) => within("readwrite", async (stores) => {
      for (const receipt of receipts) {
        if (await byId(stores.line, receipt.id) !== undefined) await receiveIn(stores, receipt);
      }
      let fresh = 0;
      for (const draft of entries) {
        const id = told(draft.bytes)?.id;
        if (id === undefined || await byId(stores.line, id) !== undefined) continue;
        if (await answered(stores.receipts.index("id").count(id)) > 0) continue;
        await add(stores, draft, id);
        fresh++;
      }
      return fresh;
    }),
    goOn: (writer, least) => within("readwrite", async ({ memos }) => {
      const mine = await answered(memos.get("writer")) as string | undefined;
      if (mine !== undefined && mine !== writer) return;
      const seq = (await answered(memos.get("writer_seq")) as number | undefined) ?? 0;
      memos.put(writer, "writer");
      memos.put(Math.max(seq, least), "writer_seq");
    }),
    memo: (key) => within("readonly", ({ memos }) => answered(memos.get(key)) as Promise<unknown>),
    remember: (key, value) => within("readwrite", async ({ memos }) => {
      await answered(memos.put(value, key));
    }),
  };
}
