// Phones without a signal, and what becomes of what they wrote: the queue, its receipts, clocks, conflicts, kept pages.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { behind, browser, countOnce, events, lineIn, open, pictures, problems, skewClock, withGarden, withLiveGarden } from "./program.mjs";

let running;
before(async () => {
  running = await browser();
});
after(async () => {
  await running?.close();
});

async function countForm(view, bed = "1", pest = "imported-cabbageworm") {
  await view.go(`/write/count?bed=${bed}&pest=${pest}`);
  await view.page.locator(".pick").nth(1).locator("button").first().click();
}

describe("kept and sent", () => {
  test("the pages always say when they were last in step, and what waits", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await view.go("/");
      await view.page.locator(".sync-standing", { hasText: /In step with the garden at \d\d:\d\d/ }).waitFor();
      await countForm(view);
      await view.page.context().setOffline(true);
      await countOnce(view.page, 2);
      await view.page.locator(".ending-waiting").waitFor();
      assert.match(await view.page.locator(".queue-note").innerText(), /Not sent yet: 1 entry[\s\S]*last in step at \d\d:\d\d/);
      await view.page.screenshot({ path: join(pictures, "sync-waiting-phone.png"), fullPage: true });
      const [kept] = await lineIn(view.page);
      await view.page.context().setOffline(false);
      await view.page.locator(".queue-note", { hasText: "Not sent yet" }).waitFor({ state: "detached" });
      const raw = await (await fetch(`${garden.url}/api/events?from=${(await garden.api("/api/health")).events}`)).text();
      assert.ok(raw.includes(kept.bytes), "the ledger holds the bytes that were kept");
      await view.go("/sync");
      const { seq, link } = JSON.parse(raw).events.at(-1);
      const receipt = await view.page.locator(".receipts li").first().innerText();
      assert.ok(receipt.includes(`${seq}:`) && receipt.includes(link.slice(0, 16)), receipt);
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "sync-page-phone.png"), fullPage: true });
      await view.close();
    });
  });

  test("what waits in the store of the pages of last season is moved and sent, its count gone on with", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const bytes = JSON.stringify({ v: 1, id: "0195a5c8-6c00-7b21-8f3a-2f6d1c9e4a10", writer: "page-2f6d1c9e4a10", writer_seq: 41, happened_at: "2026-05-12T07:40:00-05:00", by: "scout", kind: "count_taken", bed: "1", pest: "imported-cabbageworm", stage: "egg", plants: 5, count: 2 });
      await view.page.context().addInitScript((old) => {
        if (localStorage.getItem("leafturn.moved") !== null) return;
        localStorage.setItem("leafturn.moved", "1");
        localStorage.setItem("leafturn.writer", "page-2f6d1c9e4a10");
        localStorage.setItem("leafturn.writer_seq", "41");
        localStorage.setItem("leafturn.queue", JSON.stringify([{ id: "0195a5c8-6c00-7b21-8f3a-2f6d1c9e4a10", bytes: old, told: "old count" }]));
      }, bytes);
      await countForm(view);
      await countOnce(view.page);
      await view.page.locator(".ending-saved").waitFor();
      const [old, fresh] = (await events(garden)).slice(-2).map((one) => one.event);
      assert.equal(JSON.stringify(old), bytes);
      assert.deepEqual([fresh.writer, fresh.writer_seq], ["page-2f6d1c9e4a10", 42]);
      assert.equal(await view.page.evaluate(() => localStorage.getItem("leafturn.queue")), null);
      await view.close();
    });
  });

  test("two tabs of one phone never make the same count, offline or not", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await countForm(view);
      const other = await view.page.context().newPage();
      await other.goto(`${garden.url}/write/count?bed=1&pest=imported-cabbageworm`);
      await other.locator(".stepper, .pick").first().waitFor();
      await view.page.context().setOffline(true);
      for (let i = 0; i < 5; i++) await Promise.all([countOnce(view.page), countOnce(other)]);
      assert.equal((await lineIn(view.page)).length, 10);
      await view.page.context().setOffline(false);
      await Promise.all([view.page, other].map((page) => page.locator(".queue-note", { hasText: "Not sent yet" }).waitFor({ state: "detached" })));
      const mine = (await events(garden)).map((one) => one.event).filter((event) => event.writer.startsWith("page-"));
      assert.deepEqual(mine.map((event) => event.writer_seq).sort((a, b) => a - b), [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
      assert.equal(new Set(mine.map((event) => event.writer)).size, 1);
      await view.close();
    });
  });

  test("a refused entry stays, with its reason, until somebody has looked", async () => {
    for (const language of ["en", "es"]) {
      await withGarden(async (garden) => {
        const view = await open(running, garden, "phone", language);
        await countForm(view);
        await view.page.context().setOffline(true);
        await countOnce(view.page);
        // Meanwhile the bed was emptied by somebody else, before this count.
        await garden.post({ kind: "work_done", happened_at: "2026-06-10T06:00:00-05:00", work: "pull", bed: "1" });
        await view.page.context().setOffline(false);
        await view.page.locator(".queue-note", { hasText: language === "en" ? "1 entry needs a look" : "Hay 1 anotación que revisar" }).waitFor();
        await view.go("/sync");
        const conflict = view.page.locator('section[aria-labelledby="clash-title"]');
        await conflict.waitFor();
        assert.match(await conflict.innerText(), language === "en" ? /The server said no/ : /El servidor dijo que no/);
        assert.deepEqual(await problems(view.page), []);
        await view.page.screenshot({ path: join(pictures, `sync-conflict-phone-${language}.png`), fullPage: true });
        await conflict.locator("button").last().click();
        await view.page.locator("details", { hasText: language === "en" ? "Set aside: 1 entry" : "Apartada: 1 anotación" }).waitFor();
        assert.equal((await lineIn(view.page)).length, 1, "set aside, not gone");
        await view.close();
      });
    }
  });

  test("a device without room says plainly that nothing was written down", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await view.page.context().addInitScript(() => {
        const add = IDBObjectStore.prototype.add;
        IDBObjectStore.prototype.add = function (...values) {
          if (window.full && this.name === "line") throw new DOMException("full", "QuotaExceededError");
          return add.apply(this, values);
        };
      });
      await countForm(view);
      await view.page.evaluate(() => { window.full = true; });
      await countOnce(view.page);
      await view.page.locator(".ending-saved").waitFor();
      const sent = (await events(garden)).at(-1).event;
      assert.equal(sent.kind, "count_taken", "with a signal it is sent all the same");
      await view.page.context().setOffline(true);
      await countOnce(view.page);
      await view.page.locator(".ending-refused", { hasText: "NOT written down" }).waitFor();
      await view.page.evaluate(() => { window.full = false; });
      await countOnce(view.page);
      await view.page.locator(".ending-waiting").waitFor();
      const [kept] = await lineIn(view.page);
      assert.equal(JSON.parse(kept.bytes).writer_seq, 1, "what failed took no number");
      await view.close();
    });
  });

  test("an answer that isn't the garden's is no answer: a log-in page of some network says 200 too", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await countForm(view);
      await view.page.route("**/api/events*", (route) => route.fulfill({ status: 200, contentType: "text/html", body: "<h1>Welcome, log in</h1>" }));
      await countOnce(view.page);
      await view.page.locator(".ending-waiting").waitFor();
      assert.equal((await lineIn(view.page)).length, 1);
      await view.page.unroute("**/api/events*");
      await view.page.locator(".queue-note button").click();
      await view.page.locator(".queue-note", { hasText: "Not sent yet" }).waitFor({ state: "detached" });
      await view.close();
    });
  });

  test("a phone that is no longer paired keeps its queue and says so", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await countForm(view);
      await view.page.route("**/api/events*", (route) => route.fulfill({ status: 401, json: { error: { code: "access.no_session", text: "no session" } } }));
      await countOnce(view.page);
      await view.page.locator(".ending-waiting", { hasText: "not paired" }).waitFor();
      await view.page.locator(".sync-grave", { hasText: "This device is not paired" }).waitFor();
      assert.match(await view.page.locator(".sync-grave").innerText(), /1 entry is kept here/);
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "sync-unpaired-phone.png"), fullPage: true });
      assert.equal((await lineIn(view.page))[0].state, "waiting");
      await view.page.unroute("**/api/events*");
      await view.page.locator(".queue-note button").click();
      await view.page.locator(".sync-grave").waitFor({ state: "detached" });
      assert.deepEqual(await lineIn(view.page), []);
      await view.close();
    });
  });

  test("pages older than the server's offer to be loaded anew; what waits stays", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await countForm(view);
      await view.page.route("**/api/events*", (route) => route.abort());
      await countOnce(view.page);
      await view.page.route("**/api/health*", async (route) => {
        const response = await route.fetch();
        await route.fulfill({ response, headers: { ...response.headers(), "x-leafturn-pages": "later" } });
      });
      await view.page.evaluate(() => fetch("/api/health"));
      await view.page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
      const banner = view.page.locator(".sync-banner", { hasText: "newer pages" });
      await banner.waitFor();
      await view.page.screenshot({ path: join(pictures, "sync-newer-phone.png") });
      // The note stands on the old page too: wait for the new one before looking into its line.
      await Promise.all([view.page.waitForEvent("load"), banner.locator("button").click()]);
      await view.page.locator(".queue-note", { hasText: "Not sent yet: 1 entry" }).waitFor();
      assert.equal((await lineIn(view.page)).length, 1);
      await view.close();
    });
  });
});

describe("clocks", () => {
  for (const hours of [3, -26]) {
    test(`a clock ${hours} hours off is written down as it is, with its error, and read right`, async () => {
      await withLiveGarden(async (garden) => {
        const view = await open(running, garden, "phone");
        await skewClock(view.page.context(), hours * 3_600_000);
        await countForm(view);
        await view.page.locator(".clock-note", { hasText: hours > 0 ? "3 h 0 min ahead" : "26 h 0 min behind" }).waitFor();
        if (hours > 0) await view.page.screenshot({ path: join(pictures, "sync-clock-phone.png"), fullPage: true });
        const before = Date.now();
        await view.page.context().setOffline(true);
        await countOnce(view.page);
        await view.page.context().setOffline(false);
        await view.page.locator(".queue-note", { hasText: "Not sent yet" }).waitFor({ state: "detached" });
        const { event } = (await events(garden)).at(-1);
        const said = Date.parse(event.happened_at);
        assert.ok(Math.abs(said - before - hours * 3_600_000) < 20_000, `as the phone's clock says: ${event.happened_at}`);
        assert.ok(Math.abs(event.clock_offset_s - hours * 3600) <= 3, `${event.clock_offset_s}`);
        const history = (await garden.api("/api/beds/1")).history.find((one) => one.id === event.id);
        assert.ok(Math.abs(Date.parse(history.at) - before) < 20_000, "read by the garden's clock");
        assert.equal(Date.parse(history.clock.said), Math.floor(said / 1000) * 1000);
        await view.go("/beds/1");
        await view.page.locator(".history-clock", { hasText: hours > 0 ? "ahead" : "behind" }).first().waitFor();
        await view.close();
      });
    });
  }

  test("a time typed by hand is that person's word: no offset goes with it", async () => {
    await withLiveGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await skewClock(view.page.context(), 3 * 3_600_000);
      await countForm(view);
      const { now } = await garden.api("/api/garden");
      const typed = new Date(Date.parse(`${now.slice(0, 16)}:00Z`) - 3_600_000).toISOString().slice(0, 16);
      await view.page.locator('input[type="datetime-local"]').fill(typed);
      await countOnce(view.page);
      await view.page.locator(".ending-saved").waitFor();
      const { event } = (await events(garden)).at(-1);
      assert.equal(event.happened_at.slice(0, 16), typed);
      assert.equal(event.clock_offset_s, undefined);
      await view.close();
    });
  });

  test("a clock that jumps is noticed, and said until somebody has seen it", async () => {
    await withLiveGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await skewClock(view.page.context(), 0);
      await countForm(view);
      await countOnce(view.page);
      await view.page.evaluate(() => { window.skewMs = -2 * 3_600_000; });
      await countOnce(view.page);
      await view.page.locator(".ending-saved").waitFor();
      const { event } = (await events(garden)).at(-1);
      assert.ok(Math.abs(event.clock_offset_s + 7200) <= 5, "set back while the page is open: known at once");
      await view.page.locator('nav a[href="/settings"]').click();
      await view.page.locator('main a[href="/sync"]').click();
      await view.page.locator(".warning", { hasText: "was set by 2 h 0 min" }).waitFor();
      await view.page.screenshot({ path: join(pictures, "sync-jump-phone.png"), fullPage: true });
      await view.page.getByRole("button", { name: "Seen" }).click();
      await view.page.locator(".warning", { hasText: "was set by" }).waitFor({ state: "detached" });
      await view.close();
    });
  });
});

describe("without a signal", () => {
  // A page under the service worker, which takes over once it is installed.
  async function installed(garden, language = "en") {
    const view = await open(running, garden, "phone", language);
    await view.go("/");
    await view.page.evaluate(() => navigator.serviceWorker.ready);
    await view.page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    return view;
  }

  test("pages open as they last were, and after an hour send people to the sign at the bed", async () => {
    for (const language of ["en", "es"]) {
      await withGarden(async (garden) => {
        const view = await installed(garden, language);
        for (const path of ["/board", "/beds/1", "/"]) await view.go(path);
        await garden.kill();
        await view.page.reload();
        await view.page.locator("main h1").waitFor();
        assert.equal(await view.page.locator(".old-note").count(), 0, "not an hour old yet");
        await view.go("/board");
        await view.page.locator(".board tbody tr").first().waitFor();
        assert.equal(await view.page.locator(".old-note").count(), 0);
        await view.page.context().addInitScript(() => {
          const real = Date.now.bind(Date);
          Date.now = () => real() + 3_700_000;
        });
        const sign = language === "en" ? "Check the sign at the bed" : "Mirar el letrero en la cama";
        for (const path of ["/board", "/beds/1", "/"]) {
          await view.go(path);
          await view.page.locator(".old-note", { hasText: sign }).waitFor();
          if (path !== "/") assert.ok(await view.page.locator(path === "/beds/1" ? ".clearance" : ".answer", { hasText: sign }).count() > 0, path);
          assert.equal(await view.page.locator(".answer-yes").count(), 0, "no yes of an hour ago");
          assert.deepEqual(await problems(view.page), []);
          await view.page.screenshot({ path: join(pictures, `old${path.replaceAll("/", "-")}-phone-${language}.png`), fullPage: true });
        }
        await garden.restart();
        await view.close();
      });
    }
  });

  test("a newer worker takes over at once and leaves nothing of the older one behind; its pages are offered", async () => {
    await withGarden(async (garden) => {
      const version = (await fetch(`${garden.url}/api/health`)).headers.get("x-leafturn-pages");
      let served = version;
      const server = await behind(garden, (path, text) => (path.startsWith("/api/") ? text : text.replaceAll(version, served)));
      const view = await installed({ ...garden, url: server.url });
      const shells = () => view.page.evaluate(async () => (await caches.keys()).filter((name) => name.startsWith("leafturn-shell-")));
      assert.deepEqual(await shells(), [`leafturn-shell-${version}`]);
      served = "0123456789ab";
      await view.page.reload();
      await view.page.locator(".sync-banner", { hasText: "newer pages" }).waitFor();
      await view.page.waitForFunction(async () => {
        const names = (await caches.keys()).filter((name) => name.startsWith("leafturn-shell-"));
        return names.length === 1 && names[0] === "leafturn-shell-0123456789ab";
      });
      assert.equal(await view.page.evaluate(() => document.querySelector("script[src]").getAttribute("src")), "/app.js?v=0123456789ab");
      await view.close();
      await server.stop();
    });
  });

  test("a page is the server's newest whenever there is a server, worker or not", async () => {
    await withGarden(async (garden) => {
      const view = await installed(garden);
      await view.page.context().route(`${garden.url}/board`, (route) => route.fulfill({ status: 200, contentType: "text/html", body: "<!doctype html><title>newer</title><main><h1>newer</h1></main>" }));
      await view.page.goto(`${garden.url}/board`);
      assert.equal(await view.page.title(), "newer");
      await view.close();
    });
  });

  test("a spray written down without a signal closes its bed here at once, and there once it is judged", async () => {
    for (const [language, rate, verdict] of [["en", "1 qt/gal", "outside_label"], ["es", "1 floz/gal", "within_label"]]) {
      await withGarden(async (garden) => {
        const view = await installed(garden, language);
        await view.go("/beds/1");
        await view.go("/board");
        await view.go("/write/spray?bed=1&product=Demo%20Spin%20Two");
        const said = language === "en" ? ["Rate", "not yet judged"] : ["Dosis", "todavía sin juzgar"];
        await view.page.locator("main input[type=text]").first().fill(rate);
        await garden.kill();
        await view.page.locator("button.button-main").click();
        const now = view.page.locator(".no-way");
        await now.waitFor();
        assert.deepEqual(await problems(view.page), []);
        await now.locator("input[type=checkbox]").check();
        await now.locator("button").click();
        await view.page.locator(".ending-waiting").waitFor({ timeout: 15_000 });
        await view.page.locator(".locks-here", { hasText: said[1] }).waitFor();
        await view.page.screenshot({ path: join(pictures, `unjudged-phone-${language}.png`), fullPage: true });
        await view.go("/board");
        const row = view.page.locator(".board tbody tr").first();
        assert.match(await row.innerText(), new RegExp(said[1]));
        assert.equal(await row.locator(".answer-no").count(), 2);
        await view.page.screenshot({ path: join(pictures, `unjudged-board-phone-${language}.png`), fullPage: true });
        await garden.restart();
        await view.page.locator(".queue-note button").click();
        await view.page.locator(".locks-here").waitFor({ state: "detached" });
        const [made, judged] = (await events(garden)).slice(-2).map((one) => one.event);
        assert.equal(made.not_judged, true);
        assert.deepEqual([judged.kind, judged.application, judged.verdict], ["application_judged", made.id, verdict]);
        const { pick, text } = (await garden.api("/api/board")).board.find((one) => one.bed === "1");
        assert.equal(pick, "no");
        assert.match(text, verdict === "outside_label" ? /outside its label: do not pick or give away/ : /pick from/);
        await view.go("/sync");
        await view.page.locator(".receipts li").first().waitFor();
        assert.equal(await view.page.locator(".receipts .warning").count(), verdict === "outside_label" ? 1 : 0);
        await view.go("/beds/1");
        await view.page.locator(".history li").first().waitFor();
        await view.page.screenshot({ path: join(pictures, `judged-bed-phone-${language}.png`), fullPage: true });
        await view.close();
      });
    }
  });
});

describe("news", () => {
  test("an open page shows what somebody else wrote down", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "desktop");
      // However the server tells its news; where it doesn't, the page asks.
      await view.page.clock.install();
      await view.go("/beds/1");
      const before = await view.page.locator(".history li").count();
      await garden.post({ kind: "count_taken", happened_at: "2026-06-11T06:00:00-05:00", bed: "1", pest: "imported-cabbageworm", stage: "egg", plants: 5, count: 4 });
      for (let i = 0; i < 20 && await view.page.locator(".history li").count() === before; i++) {
        await view.page.clock.runFor(10_000);
        await new Promise((done) => setTimeout(done, 200));
      }
      assert.equal(await view.page.locator(".history li").count(), before + 1);
      await view.close();
    });
  });
});
