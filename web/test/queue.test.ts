import assert from "node:assert/strict";
import { test } from "node:test";
import { type Keep, memoryKeep } from "../src/keep";
import { moveOld, type OldStore } from "../src/keep_move";
import { flush, readSent, type RecordedAnswer, type Send, type Sent } from "../src/queue";

let made = 0;
const makeId = () => `00000000-0000-7000-8000-${String(++made).padStart(12, "0")}`;
const store = () => memoryKeep(makeId, () => 1_000);

function put(keep: Keep, told = "a count") {
  return keep.write((heading) => ({ bytes: JSON.stringify({ v: 1, ...heading, kind: "count_taken", bed: "3" }), told }));
}

function receipt(bytes: string, kind = "appended"): RecordedAnswer {
  const id = (JSON.parse(bytes) as { id: string }).id;
  return { receipt: { id, seq: Number(id.slice(-6)), link: "ab".repeat(32), kind } };
}

const accept: Send = (bytes) => Promise.resolve({ kind: "sent", answer: receipt(bytes), at: "2026-06-13T06:30:00-05:00" });

test("entries go out in order with the bytes they were made with, each leaving a receipt", async () => {
  const keep = store();
  const first = await put(keep, "first");
  const second = await put(keep, "second");
  const sent: string[] = [];
  await flush(keep, (bytes) => {
    sent.push(bytes);
    return accept(bytes);
  });
  assert.deepEqual(sent, [first.bytes, second.bytes]);
  assert.deepEqual(await keep.line(), []);
  assert.deepEqual((await keep.receipts(9)).map((one) => [one.id, one.told, one.at]),
    [[second.id, "second", "2026-06-13T06:30:00-05:00"], [first.id, "first", "2026-06-13T06:30:00-05:00"]]);
});

test("headings count up by one and name one writer", async () => {
  const keep = store();
  const all = [await put(keep), await put(keep), await put(keep)].map((one) => JSON.parse(one.bytes) as { writer: string; writer_seq: number });
  assert.deepEqual(all.map((one) => one.writer_seq), [1, 2, 3]);
  assert.equal(new Set(all.map((one) => one.writer)).size, 1);
});

for (const [kind, result] of [["no answer", { kind: "unreached" }], ["no pairing", { kind: "unpaired" }]] as [string, Sent][]) {
  test(`${kind} stops the line and keeps all of it`, async () => {
    const keep = store();
    const ids = [(await put(keep)).id, (await put(keep)).id, (await put(keep)).id];
    let calls = 0;
    const outcomes = await flush(keep, (bytes) => (++calls === 1 ? accept(bytes) : Promise.resolve(result)));
    assert.equal(calls, 2);
    assert.deepEqual(outcomes.map((one) => one.result.kind), ["sent", result.kind]);
    assert.deepEqual((await keep.line()).map((one) => [one.id, one.state]), [[ids[1], "waiting"], [ids[2], "waiting"]]);
  });
}

test("a page that is closed while sending has lost nothing, and sends the same bytes again", async () => {
  const keep = store();
  const { bytes, id } = await put(keep);
  await assert.rejects(flush(keep, () => Promise.reject(new Error("closed"))));
  assert.deepEqual((await keep.line()).map((one) => one.id), [id]);
  const again: string[] = [];
  await flush(keep, (sent) => {
    again.push(sent);
    return accept(sent);
  });
  assert.deepEqual(again, [bytes]);
});

test("a refusal is kept with its reason, isn't sent again by itself, and doesn't hold up the rest", async () => {
  const keep = store();
  const bad = await put(keep, "bad");
  await put(keep, "good");
  const error = { error: { code: "garden.no_such_bed", text: "no such bed" } };
  await flush(keep, (bytes) => (bytes === bad.bytes ? Promise.resolve({ kind: "refused", status: 422, answer: error }) : accept(bytes)));
  const [left, ...rest] = await keep.line();
  assert.deepEqual(rest, []);
  assert.deepEqual([left?.id, left?.state, left?.reason, left?.code, left?.bytes], [bad.id, "refused", "no such bed", "garden.no_such_bed", bad.bytes]);
  let calls = 0;
  await flush(keep, (bytes) => (calls++, accept(bytes)));
  assert.equal(calls, 0);
});

test("an entry that the ledger put into quarantine stays in sight", async () => {
  const keep = store();
  const { id } = await put(keep);
  await flush(keep, (bytes) => Promise.resolve({ kind: "sent", answer: receipt(bytes, "quarantined"), at: "" }));
  assert.deepEqual((await keep.line()).map((one) => [one.id, one.state]), [[id, "quarantined"]]);
  assert.deepEqual(await keep.receipts(9), []);
});

test("entries written while others are being sent go out in the same round, each once", async () => {
  const keep = store();
  await put(keep);
  let more = 3;
  const sent: string[] = [];
  await flush(keep, async (bytes) => {
    sent.push(bytes);
    if (more-- > 0) await put(keep);
    return accept(bytes);
  });
  assert.equal(sent.length, 4);
  assert.equal(new Set(sent).size, 4);
  assert.deepEqual(await keep.line(), []);
});

test("two tabs that send at the same time leave one receipt each", async () => {
  const keep = store();
  for (let i = 0; i < 20; i++) await put(keep);
  const slowly: Send = async (bytes) => {
    await new Promise((done) => setTimeout(done, 1));
    return accept(bytes);
  };
  await Promise.all([flush(keep, slowly), flush(keep, slowly)]);
  assert.deepEqual(await keep.line(), []);
  const ids = (await keep.receipts(99)).map((one) => one.id);
  assert.equal(ids.length, 20);
  assert.equal(new Set(ids).size, 20);
});

test("only an answer of the garden's own shape counts", () => {
  const bytes = JSON.stringify({ id: "x-1" });
  const good = { receipt: { id: "x-1", seq: 7, link: "ab", kind: "appended" } };
  assert.equal(readSent(201, good, "", bytes).kind, "sent");
  assert.equal(readSent(200, { welcome: "hotel" }, "", bytes).kind, "unreached");
  assert.equal(readSent(200, null, "", bytes).kind, "unreached");
  assert.equal(readSent(201, { receipt: { ...good.receipt, id: "x-2" } }, "", bytes).kind, "unreached", "another entry's receipt");
  assert.equal(readSent(404, null, "", bytes).kind, "unreached", "a proxy's own page");
  assert.equal(readSent(422, { error: { code: "garden.no_such_bed", text: "" } }, "", bytes).kind, "refused");
  assert.equal(readSent(401, { error: { code: "access.no_session" } }, "", bytes).kind, "unpaired");
  assert.equal(readSent(403, { error: { code: "access.no_token", text: "" } }, "", bytes).kind, "unreached");
  assert.equal(readSent(403, { error: { code: "access.not_your_role", text: "" } }, "", bytes).kind, "refused");
  for (const status of [408, 425, 429, 500, 502, 503]) assert.equal(readSent(status, { error: { code: "server.broken" } }, "", bytes).kind, "unreached");
});

function oldStore(values: Record<string, string>): OldStore & { values: Record<string, string> } {
  return { values, getItem: (key) => values[key] ?? null, removeItem: (key) => void delete values[key] };
}

const oldEntry = (n: number, refused?: string) => ({ id: `old-${n}`, bytes: `{"id":"old-${n}","writer":"page-abc","writer_seq":${n}}`, told: `count ${n}`, ...(refused === undefined ? {} : { refused }) });

test("what waits in an older store moves with its bytes, its refusals, its writer and its count", async () => {
  const keep = store();
  const old = oldStore({ "leafturn.queue": JSON.stringify([oldEntry(6), oldEntry(7, "no such bed")]), "leafturn.writer": "page-abc", "leafturn.writer_seq": "7" });
  assert.deepEqual(await moveOld(old, keep), { entries: 2, unreadable: null });
  assert.deepEqual((await keep.line()).map((one) => [one.bytes, one.told, one.state, one.reason]),
    [[oldEntry(6).bytes, "count 6", "waiting", ""], [oldEntry(7).bytes, "count 7", "refused", "no such bed"]]);
  assert.equal(old.values["leafturn.queue"], undefined);
  const next = JSON.parse((await put(keep)).bytes) as { writer: string; writer_seq: number };
  assert.deepEqual([next.writer, next.writer_seq], ["page-abc", 8]);
  assert.deepEqual(await moveOld(old, keep), { entries: 0, unreadable: null });
});

test("an older store is cleared only once it is kept, and what can't be read stays", async () => {
  const failing = { ...store(), take: () => Promise.reject(new Error("full")) };
  const old = oldStore({ "leafturn.queue": JSON.stringify([oldEntry(1)]) });
  await assert.rejects(moveOld(old, failing));
  assert.notEqual(old.values["leafturn.queue"], undefined);
  for (const broken of ["{not json", "7", JSON.stringify([oldEntry(1), { id: "old-2" }])]) {
    const kept = oldStore({ "leafturn.queue": broken });
    assert.deepEqual(await moveOld(kept, store()), { entries: 0, unreadable: broken });
    assert.equal(kept.values["leafturn.queue"], broken);
  }
});

test("what another tab adds to the older store while it is moved isn't cleared with it", async () => {
  const keep = store();
  const old = oldStore({ "leafturn.queue": JSON.stringify([oldEntry(1)]) });
  const take = keep.take.bind(keep);
  keep.take = (entries, receipts) => {
    old.values["leafturn.queue"] = JSON.stringify([oldEntry(1), oldEntry(2)]);
    return take(entries, receipts);
  };
  await moveOld(old, keep);
  await moveOld(old, keep);
  assert.deepEqual((await keep.line()).map((one) => one.id), ["old-1", "old-2"]);
  assert.equal(old.values["leafturn.queue"], undefined);
});
