// A phone's clock and its file.
import assert from "node:assert/strict";
import { test } from "node:test";
import { civilAt, isoAt } from "../src/clock";
import { memoryKeep } from "../src/keep";
import { compare, jumped, PhoneClock } from "../src/phone_clock";
import { readPhoneFile, writePhoneFile } from "../src/phone_file";
import { isShown, named, trimmed } from "../src/worker/rules";

const server = Date.parse("2026-06-13T11:30:00Z");

test("how far a clock is ahead is measured from the middle of the way there and back", () => {
  const threeHours = 3 * 3_600_000;
  const sent = server + 500 + threeHours - 200;
  assert.equal(compare(sent, sent + 400, "2026-06-13T06:30:00-05:00")?.offset_ms, threeHours);
  assert.equal(compare(server - 60_000, server - 59_000, "2026-06-13T11:30:00Z")?.offset_ms, -60_000);
  assert.equal(compare(server, server + 60_000, "2026-06-13T11:30:00Z"), null, "too long on the way to tell");
  assert.equal(compare(server + 10, server, "2026-06-13T11:30:00Z"), null, "set back on the way");
  assert.equal(compare(server, server, "no time"), null);
});

test("a jump is one of a minute or more between two comparisons", () => {
  const was = { offset_ms: 1_000, at: server };
  assert.equal(jumped(null, was), null);
  assert.equal(jumped(was, { offset_ms: 50_000, at: server + 1 }), null);
  assert.deepEqual(jumped(was, { offset_ms: -3_600_000, at: server + 9 }), { from_ms: 1_000, to_ms: -3_600_000, after: server, before: server + 9 });
});

test("a clock set back while the page is open is noticed at once; one that went forward may have slept", () => {
  let now = server;
  let steady = 0;
  const clock = new PhoneClock(() => now, () => steady);
  assert.equal(clock.offsetMs(), null);
  clock.note({ offset_ms: 2_000, at: server });
  now += 600_000;
  steady += 600_000;
  assert.equal(clock.offsetMs(), 2_000);
  now -= 3_600_000;
  assert.equal(clock.offsetMs(), 2_000 - 3_600_000);
  assert.equal(clock.serverNow(), server + 600_000 - 2_000);
  now += 2 * 3_600_000;
  assert.equal(clock.offsetMs(), 2_000);
});

test("a moment in the garden's zone, to the millisecond, over both changes of the clocks", () => {
  // 2026-03-08 and 2026-11-01: US summer time begins and ends (15 U.S.C. 260a).
  for (const [utc, civil, offset] of [
    ["2026-03-08T07:59:59.250Z", "2026-03-08T01:59:59.250", "-06:00"], ["2026-03-08T08:00:00.000Z", "2026-03-08T03:00:00.000", "-05:00"],
    ["2026-11-01T06:30:00.000Z", "2026-11-01T01:30:00.000", "-05:00"], ["2026-11-01T07:30:00.000Z", "2026-11-01T01:30:00.000", "-06:00"],
  ] as const) {
    assert.equal(civilAt(Date.parse(utc), "America/Chicago", ""), civil);
    assert.equal(isoAt(Date.parse(utc), "America/Chicago", ""), civil + offset);
    assert.equal(Date.parse(isoAt(Date.parse(utc), "America/Chicago", "")), Date.parse(utc));
  }
  assert.equal(isoAt(server, "Nowhere/Unknown", "2026-06-13T06:30:00-04:30"), "2026-06-13T07:00:00.000-04:30");
});

test("a device's file comes back as it was, byte for byte", async () => {
  let n = 0;
  const keep = memoryKeep(() => `id-${++n}`, () => 5);
  const kept = await keep.write((heading) => ({ bytes: JSON.stringify({ ...heading, detail: "a \"line\"\n and </script> ñ 🐛" }), told: "work\nin two lines" }));
  const receipt = { id: "id-0", seq: 4, link: "ff", told: "before", at: "2026-06-13T06:30:00-05:00", outside: true };
  const read = readPhoneFile(writePhoneFile([kept], [receipt], "2026-06-13T11:30:00Z"));
  assert.deepEqual(read, { entries: [{ bytes: kept.bytes, told: kept.told }], receipts: [receipt] });
});

test("a file that was cut, changed or is another's is refused whole, with its line", async () => {
  const keep = memoryKeep(() => "one", () => 5);
  const text = writePhoneFile([await keep.write(() => ({ bytes: "{}", told: "x" }))], [], "now");
  assert.deepEqual(readPhoneFile(""), { line: 1, newer: false });
  assert.deepEqual(readPhoneFile("[1,2]"), { line: 1, newer: false });
  assert.deepEqual(readPhoneFile(text.slice(0, -8)), { line: 2, newer: false });
  assert.deepEqual(readPhoneFile(text + '{"neither":1}\n'), { line: 3, newer: false });
  assert.deepEqual(readPhoneFile(text.replace('"form":1', '"form":2')), { line: 1, newer: true });
});

test("a loaded file adds each entry once, and its receipts close what waits here", async () => {
  const keep = memoryKeep(() => "w", () => 5);
  const entry = (id: string) => ({ bytes: `{"id":"${id}"}`, told: id });
  assert.equal(await keep.take([entry("a"), entry("b")], []), 2);
  assert.equal(await keep.take([entry("a"), entry("c")], []), 1);
  const receipt = { id: "a", seq: 1, link: "", told: "", at: "", outside: false };
  assert.equal(await keep.take([], [receipt, { ...receipt, id: "never ours" }]), 0);
  assert.deepEqual((await keep.line()).map((one) => one.id), ["b", "c"]);
  assert.deepEqual((await keep.receipts(9)).map((one) => one.id), ["a"]);
  assert.equal(await keep.take([entry("a")], []), 0, "received already");
});

test("the worker keeps what the pages show of the garden, and nothing of people or sessions", () => {
  for (const path of ["/api/brief", "/api/board", "/api/garden", "/api/words", "/api/beds/3", "/api/seasons/leek-moth"]) assert.equal(named(path), "answer", path);
  for (const path of ["/api/me", "/api/people", "/api/sessions", "/api/events", "/api/news", "/api/health", "/api/beds/3/compare"]) assert.equal(named(path), null, path);
  for (const path of ["/", "/board", "/beds/3", "/write/count", "/sync"]) assert.ok(isShown(path), path);
  for (const path of ["/api/brief", "/counting", "/pair", "/worker.js", "/app.js"]) assert.ok(!isShown(path), path);
  assert.deepEqual(trimmed(["old", "mid", "new"], 2), ["old"]);
});
