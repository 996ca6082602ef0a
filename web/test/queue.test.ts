import assert from "node:assert/strict";
import { test } from "node:test";
import { aloneWith, enqueue, flush, letGo, nextHeading, type Send, type Store, waiting } from "../src/queue";

function memory(): Store & { kept: Map<string, string> } {
  const kept = new Map<string, string>();
  return { kept, getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => void kept.set(key, value) };
}
const item = (id: string) => ({ id, bytes: `{"id":"${id}", "n": 1.0}`, told: `told ${id}` });
const accept: Send = () => Promise.resolve({ kind: "sent", status: 201, answer: {} });
const alone = aloneWith(undefined);
const silence: Send = () => Promise.resolve({ kind: "unreached" });

test("a writer's count rises by one and outlives the page", () => {
  const store = memory();
  let made = 0;
  const makeId = () => `00000000-0000-7000-8000-00000000000${++made}`;
  const first = nextHeading(store, makeId);
  const second = nextHeading({ getItem: store.getItem, setItem: store.setItem }, makeId);
  assert.equal(first.writer_seq, 1);
  assert.equal(second.writer_seq, 2);
  assert.equal(first.writer, second.writer);
  assert.notEqual(first.id, second.id);
});

test("what doesn't reach the server is kept, in order, byte for byte", async () => {
  const store = memory();
  enqueue(store, item("a"));
  enqueue(store, item("b"));
  const tried: string[] = [];
  await flush(store, (bytes) => {
    tried.push(bytes);
    return silence(bytes);
  }, alone);
  assert.deepEqual(tried, [item("a").bytes], "the second waits behind the first");
  assert.deepEqual(waiting(store), [item("a"), item("b")]);
  const sent: string[] = [];
  await flush(store, (bytes) => {
    sent.push(bytes);
    return accept(bytes);
  }, alone);
  assert.deepEqual(sent, [item("a").bytes, item("b").bytes]);
  assert.deepEqual(waiting(store), []);
});

test("a page closed while sending has lost nothing", async () => {
  const store = memory();
  enqueue(store, item("a"));
  await assert.rejects(flush(store, () => Promise.reject(new Error("closed")), alone));
  assert.deepEqual(waiting(store), [item("a")]);
});

test("a refusal is kept with its reason, isn't sent again, and doesn't hold up the rest", async () => {
  const store = memory();
  enqueue(store, item("a"));
  enqueue(store, item("b"));
  const refuseFirst: Send = (bytes) =>
    Promise.resolve(bytes.includes('"a"') ? { kind: "refused", status: 422, answer: { error: { text: "no such bed" } } } : { kind: "sent", status: 201, answer: {} });
  await flush(store, refuseFirst, alone);
  assert.deepEqual(waiting(store), [{ ...item("a"), refused: "no such bed" }]);
  const again: string[] = [];
  await flush(store, (bytes) => {
    again.push(bytes);
    return accept(bytes);
  }, alone);
  assert.deepEqual(again, []);
  letGo(store, "a");
  assert.deepEqual(waiting(store), []);
});

test("an entry made while others are being sent is not lost", async () => {
  const store = memory();
  enqueue(store, item("a"));
  await flush(store, (bytes) => {
    enqueue(store, item("b"));
    return accept(bytes);
  }, alone);
  assert.deepEqual(waiting(store), [item("b")]);
});

test("with the browser's locks, headings of several tabs are made one after the other", async () => {
  // A lock manager that holds every grant back for a moment, as another process would.
  const order: string[] = [];
  let last: Promise<unknown> = Promise.resolve();
  const locks = { request: (name: string, work: () => unknown) => {
    order.push(name);
    const mine = last.then(() => new Promise((done) => setTimeout(() => done(work()), 1)));
    last = mine;
    return mine;
  } } as unknown as LockManager;
  const store = memory();
  const tabs = [aloneWith(locks), aloneWith(locks)];
  const made = await Promise.all(Array.from({ length: 20 }, (_, i) => (tabs[i % 2] ?? alone)(() => {
    const heading = nextHeading(store, () => `00000000-0000-7000-8000-${String(i).padStart(12, "0")}`);
    enqueue(store, item(heading.id));
    return heading.writer_seq;
  })));
  assert.deepEqual(made.sort((a, b) => a - b), Array.from({ length: 20 }, (_, i) => i + 1));
  assert.equal(waiting(store).length, 20);
  assert.equal(new Set(order).size, 1, "every tab asks for the same lock");
});
