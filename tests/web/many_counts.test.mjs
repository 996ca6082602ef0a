// Five hundred counts on two pages with the network cut; the browser killed and opened again; clocks off; all of it sent twice: each is in the
// ledger exactly once, read back over the API and by the command line.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, test } from "node:test";
import { browserPids, events, homeThatTrusts, lasting, lineIn, liveGarden, pairPhone, program } from "./program.mjs";

const total = 500;

// What a thumb would do, without a driver's round trip for each tap: the page's own buttons, clicked from within.
async function countMany(page, n, pageName) {
  return await page.evaluate(async ({ n, pageName }) => {
    const wait = (ms) => new Promise((done) => setTimeout(done, ms));
    const until = async (what) => {
      for (let i = 0; i < 2_000; i++) {
        const found = what();
        if (found) return found;
        await wait(5);
      }
      throw new Error(`${pageName}: waited in vain`);
    };
    const main = () => document.querySelector("button.button-main");
    for (let i = 0; i < n; i++) {
      const stage = document.querySelectorAll(".pick")[1].querySelector("button");
      if (stage.getAttribute("aria-pressed") !== "true") stage.click();
      const more = await until(() => document.querySelectorAll(".stepper")[1]?.querySelector(".step-more"));
      for (let k = 0; k < i % 4; k++) more.click();
      await until(() => main() && !main().disabled);
      main().click();
      await until(() => document.querySelector(".ending-saved, .ending-waiting"));
      await until(() => main() && main().disabled);
    }
  }, { n, pageName });
}

async function openForm(context, url, path, pair) {
  const page = context.pages()[0] ?? await context.newPage();
  await pair(page);
  await page.goto(url + path);
  const bed = page.locator("select").first();
  await bed.selectOption("1");
  await page.locator(".pick").first().locator(".pick-one").first().click();
  await page.locator(".pick").nth(1).waitFor();
  return page;
}

// `path`: the page counted on. `hours`: how far each of the two phones' clocks is off.
async function run({ path, garden, args = [], env = {}, url, hours }) {
  const profiles = [0, 1].map((i) => mkdtempSync(join(tmpdir(), `leafturn-phone-${i}-`)));
  const start = (i) => lasting(profiles[i], { args, env, skewHours: hours[i] });
  // Two people's phones. A cookie of the last half minute doesn't outlive a browser that is killed; paired again as the same person, what the
  // phone kept is that person's still.
  const pair = (i) => (page) => (args.length === 0 ? undefined : pairPhone(page, url, garden, ["Ana", "Ben"][i]));
  let phones = await Promise.all([start(0), start(1)]);
  try {
    let pages = [];
    for (const [i, phone] of phones.entries()) pages.push(await openForm(phone, url, path, pair(i)));
    // First with the garden in reach, so that a clock's error is known; then the network is cut, on one phone in the browser, for the other at
    // the server.
    await Promise.all(pages.map((page, i) => countMany(page, 5, `phone ${i}`)));
    await phones[0].setOffline(true);
    await garden.kill();
    const half = total / 2 - 5;
    const first = Math.floor(half / 2);
    await Promise.all(pages.map((page, i) => countMany(page, first, `phone ${i}`)));

    // Killed as by a battery that falls out, in the middle of one more.
    pages.forEach((page) => page.evaluate(() => document.querySelector("button.button-main").click()).catch(() => undefined));
    for (const profile of profiles) for (const pid of browserPids(profile)) process.kill(pid, "SIGKILL");
    await Promise.all(phones.map((phone) => phone.close().catch(() => undefined)));
    for (const profile of profiles) for (const name of readdirSync(profile)) if (name.startsWith("Singleton")) rmSync(join(profile, name), { force: true });

    // Opened again, once the garden can be reached for the page itself; cut again before anything could be sent.
    phones = await Promise.all([start(0), start(1)]);
    for (const phone of phones) await phone.route("**/api/events*", (route) => route.abort());
    await garden.restart();
    pages = [];
    for (const [i, phone] of phones.entries()) pages.push(await openForm(phone, url, path, pair(i)));
    await garden.kill();
    const kept = await Promise.all(pages.map((page) => lineIn(page)));
    kept.forEach((line, i) => assert.ok(line.length === first || line.length === first + 1, `phone ${i} kept ${line.length} of ${first}`));
    await Promise.all(pages.map((page, i) => countMany(page, half - kept[i].length, `phone ${i}`)));
    const written = await Promise.all(pages.map((page) => lineIn(page)));
    const bytes = written.flat().map((one) => one.bytes);
    assert.equal(bytes.length, total - 10);

    // In reach again; answers get lost for a while, so that much of it is sent twice and more.
    for (const phone of phones) {
      await phone.unroute("**/api/events*");
      let n = 0;
      await phone.route("**/api/events*", async (route) => {
        if (route.request().method() !== "POST" || ++n % 10 !== 0) return route.continue();
        await route.fetch().catch(() => undefined);
        await route.abort();
      });
    }
    await garden.restart();
    const deadline = Date.now() + 120_000;
    for (const page of pages) {
      while ((await lineIn(page)).some((one) => one.state === "waiting")) {
        assert.ok(Date.now() < deadline, "not all of it was sent in two minutes");
        await page.locator(".queue-note button, section.queue > button").first().click({ timeout: 1_000 }).catch(() => undefined);
      }
      assert.deepEqual(await lineIn(page), [], "nothing refused either");
    }
    for (const phone of phones) await phone.unroute("**/api/events*");

    // All of it once more, as a phone restored from a copy would.
    for (const one of bytes) {
      const answer = await garden.send(one);
      assert.equal(answer.receipt.kind, "had-it");
    }

    const ledger = (await events(garden)).filter((one) => one.event.writer.startsWith("page-"));
    assert.equal(ledger.length, total);
    assert.equal(new Set(ledger.map((one) => one.event.id)).size, total);
    for (const writer of new Set(ledger.map((one) => one.event.writer))) {
      const seqs = ledger.filter((one) => one.event.writer === writer).map((one) => one.event.writer_seq).sort((a, b) => a - b);
      assert.deepEqual(seqs, seqs.map((_, i) => i + 1), `${writer} counts without a gap`);
    }
    for (const { event } of ledger) assert.ok(hours.some((h) => Math.abs(event.clock_offset_s - h * 3600) <= 5), `${event.clock_offset_s}`);
    const text = await garden.raw();
    for (const one of bytes) assert.equal(text.split(one).length, 2, "byte for byte, once");

    await garden.kill();
    const verified = spawnSync(program(), ["ledger", "verify", "--garden", garden.folder, "--json"], { encoding: "utf8" });
    assert.equal(verified.status, 0, verified.stdout + verified.stderr);
    assert.equal(JSON.parse(verified.stdout).notes?.length ?? 0, 0, verified.stdout);
    const exported = spawnSync(program(), ["ledger", "export", "--garden", garden.folder], { encoding: "utf8", maxBuffer: 1 << 26 });
    const lines = exported.stdout.trim().split("\n").map((line) => JSON.parse(line)).filter((line) => line.event !== undefined);
    for (const one of bytes) assert.equal(lines.filter((line) => line.event === one).length, 1);
  } finally {
    await Promise.all(phones.map((phone) => phone.close().catch(() => undefined)));
    for (const profile of profiles) rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

const name = "shed.local";
// Names lead where the garden is; nothing about certificates is waived.
const here = [`--host-resolver-rules=MAP ${name} 127.0.0.1`];

describe("five hundred counts, each in the ledger once", { timeout: 900_000 }, () => {
  test("on the pages of the garden, from this computer", async () => {
    const garden = await liveGarden();
    try {
      await run({ path: "/write/count", garden, url: garden.url, hours: [3, -26] });
    } finally {
      await garden.stop();
    }
  });

  test("on a name of its own over https, the garden's authority trusted", async () => {
    const garden = await liveGarden({ name });
    const home = homeThatTrusts(garden);
    const stranger = mkdtempSync(join(tmpdir(), "leafturn-stranger-"));
    const url = `https://${name}:${garden.securePort}`;
    try {
      const untrusting = await lasting(stranger, { args: here, env: { HOME: stranger } });
      const page = await untrusting.newPage();
      await assert.rejects(page.goto(url), /ERR_CERT_AUTHORITY_INVALID/, "who doesn't trust the authority gets nowhere");
      await untrusting.close();
      await run({ path: "/write/count", garden, args: here, env: { HOME: home }, url, hours: [-5, 1] });
    } finally {
      await garden.stop();
      for (const folder of [home, stranger]) rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    }
  });

  test("on the page that is one file, over plain http", async () => {
    const garden = await liveGarden({ name });
    try {
      await run({ path: "/counting", garden, args: here, url: `http://${name}:${garden.port}`, hours: [0.5, -3] });
    } finally {
      await garden.stop();
    }
  });
});
