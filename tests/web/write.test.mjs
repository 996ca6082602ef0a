// Writing down from the pages: counts, work, plantings, harvests, mistakes; what is sent, what is kept, what is refused.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, lineEmpty, lineIn, open, pictures, problems, withGarden } from "./program.mjs";

let running;
before(async () => {
  running = await browser();
});
after(async () => {
  await running?.close();
});

describe("writing down", () => {
  test("a count by thumb ends in the ledger, byte for byte, and in the bed's history", async () => {
    await withGarden(async (garden) => {
      const brief = await garden.api("/api/brief");
      const visit = brief.walk[0];
      const view = await open(running, garden, "phone");
      await view.go("/");
      await view.page.locator(".walk-item a.button").first().click();
      await view.page.locator(".stepper").first().waitFor();
      const found = view.page.locator(".stepper").nth(1);
      for (let i = 0; i < 3; i++) await found.locator(".step-more").tap();
      await found.locator(".step-less").tap();
      let sent;
      view.page.on("request", (request) => {
        if (request.method() === "POST" && request.url().includes("/api/events")) sent = request.postData();
      });
      await view.page.screenshot({ path: join(pictures, "count-filled-phone.png"), fullPage: true });
      await view.page.locator("button.button-main").tap();
      await view.page.locator(".ending-saved").waitFor();
      const ledger = await garden.api("/api/events?from=1");
      const events = await garden.api(`/api/events?from=${ledger.last_seq}`);
      const last = events.events.at(-1).event;
      assert.equal(last.kind, "count_taken");
      assert.equal(last.bed, visit.bed);
      assert.equal(last.pest, visit.pest);
      assert.equal(last.count, 2);
      assert.equal(last.plants, visit.plants);
      assert.equal(last.writer_seq, 1);
      assert.match(last.id, /^[0-9a-f]{8}-[0-9a-f]{4}-7/);
      const raw = await (await fetch(`${garden.url}/api/events?from=${ledger.last_seq}`)).text();
      assert.ok(raw.includes(sent), "the ledger holds the bytes that were sent");
      await view.page.locator(".ending-saved a").first().click();
      await view.page.locator(".history li").first().waitFor();
      assert.match(await view.page.locator(".history li").first().innerText(), /2 on/);
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("what can't be sent is kept, shown and sent later with the same bytes", async () => {
    await withGarden(async (garden) => {
      const { bed, pest } = (await garden.api("/api/brief")).walk[0];
      const view = await open(running, garden, "phone", "es");
      await view.go(`/write/count?bed=${bed}&pest=${pest}`);
      await view.page.locator(".pick").nth(1).locator("button").first().click();
      await garden.kill();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-waiting").waitFor();
      assert.match(await view.page.locator(".queue-note").innerText(), /Sin enviar: 1 anotación/);
      const [{ bytes: kept }] = await lineIn(view.page);
      await view.page.screenshot({ path: join(pictures, "count-waiting-phone-es.png"), fullPage: true });
      await garden.restart();
      await view.page.reload();
      await lineEmpty(view.page);
      await view.page.locator(".queue-note", { hasText: "Sin enviar" }).waitFor({ state: "detached" });
      const last = await (await fetch(`${garden.url}/api/events?from=${(await garden.api("/api/health")).events}`)).text();
      assert.ok(last.includes(kept));
      await view.close();
    });
  });

  test("a planting", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "desktop");
      const { beds: all } = await garden.api("/api/garden");
      const empty = all.find((bed) => bed.plantings.length === 0) ?? all[0];
      await view.go(`/write/planting?bed=${empty.bed}`);
      await view.page.getByLabel("Crop", { exact: true }).selectOption("LACSA");
      await view.page.getByLabel("Plants", { exact: true }).fill("30");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      const { plantings } = await garden.api(`/api/beds/${empty.bed}`);
      assert.ok(plantings.some((planting) => planting.crop === "LACSA" && planting.plants === 30 && planting.removed === null));
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("a harvest taken, in the garden's own unit, and one planned", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const described = await garden.api("/api/garden");
      const free = (await garden.api("/api/board")).board.find((row) => row.pick === "yes" && row.crop !== null);
      await view.go(`/write/harvest?bed=${free.bed}`);
      await view.page.locator('input[type="number"]').fill("2.5");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      const last = (await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event;
      assert.equal(last.kind, "harvest_taken");
      assert.ok(Math.abs(last.amount_g - 2.5 * (described.units === "us" ? 453.59237 : 1000)) < 1e-6);
      const first = await view.page.locator(".ending-saved p").first().textContent();
      await view.page.getByRole("button", { name: "It will be picked" }).click();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved p").filter({ hasNotText: first }).first().waitFor();
      assert.equal((await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event.kind, "harvest_planned");
      await view.close();
    });
  });

  test("work that the brief asks for is written down from its own line", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await view.go("/");
      const link = view.page.locator(".todo .done-link").first();
      const address = new URL(await link.getAttribute("href"), garden.url);
      await link.click();
      await view.page.locator(".pick-one[aria-pressed=true]").waitFor();
      assert.deepEqual(await problems(view.page), []);
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      const last = (await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event;
      assert.equal(last.kind, "work_done");
      assert.equal(last.work, address.searchParams.get("work"));
      assert.equal(last.bed, address.searchParams.get("bed"));
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("every kind of work is a large button, and pulling says first which beds are then at risk", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const { beds: all } = await garden.api("/api/brief");
      const old = all.find((bed) => bed.do.some((one) => one.code.startsWith("do.old_crop")));
      const planted = old ?? all.find((bed) => bed.planting !== null);
      await view.go(`/beds/${planted.bed}`);
      await view.page.locator('.bed-write a[href^="/write/work"]').click();
      await view.page.locator(".pick-one").first().waitFor();
      assert.equal(await view.page.locator(".pick-one").count(), 8);
      await view.page.getByRole("button", { name: "Crop pulled" }).click();
      await view.page.locator(".consequence").waitFor();
      if (old) assert.equal(await view.page.locator(".at-risk").first().innerText(), old.do.find((one) => one.code.startsWith("do.old_crop")).text);
      const save = view.page.locator("button.button-main");
      assert.ok(await save.isDisabled());
      await view.page.locator(".confirm input").check();
      await view.page.screenshot({ path: join(pictures, "work-pull-phone.png"), fullPage: true });
      await save.click();
      await view.page.locator(".ending-saved").waitFor();
      assert.ok((await garden.api(`/api/beds/${planted.bed}`)).plantings.every((one) => one.removed !== null));
      await view.close();
    });
  });

  for (const language of ["en", "es"]) {
    test(`a mistake is withdrawn with a reason, and stays readable (${language})`, async () => {
      await withGarden(async (garden) => {
        const view = await open(running, garden, "phone", language);
        const { bed, pest } = (await garden.api("/api/brief")).walk[0];
        await view.go(`/write/count?bed=${bed}&pest=${pest}`);
        await view.page.locator(".pick").nth(1).locator("button").first().click();
        await view.page.getByLabel(language === "en" ? "Who" : "Quién", { exact: true }).fill("lead");
        await view.page.locator("button.button-main").click();
        await view.page.locator(".ending-saved").waitFor();
        const { id } = (await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event;
        await view.go(`/beds/${bed}`);
        await view.page.locator(`.history a.undo[href$="id=${id}"]`).click();
        const submit = view.page.locator("button.button-main");
        await submit.waitFor();
        assert.ok(await submit.isDisabled(), "a reason is needed");
        await view.page.locator("textarea").fill("It was bed 4.");
        assert.deepEqual(await problems(view.page), []);
        await submit.click();
        await view.page.locator(".ending-saved").waitFor();
        await view.go(`/beds/${bed}`);
        const struck = view.page.locator(".history li", { has: view.page.locator("del") }).first();
        assert.match(await struck.locator(".put-right").innerText(), /lead.*It was bed 4\./);
        assert.equal(await struck.locator(".undo").count(), 0);
        assert.equal(await view.page.locator(`.history a.undo[href$="id=${id}"]`).count(), 0);
        assert.deepEqual(await problems(view.page), []);
        await view.page.screenshot({ path: join(pictures, `bed-withdrawn-phone-${language}.png`), fullPage: true });
        assert.deepEqual(view.complaints, []);
        await view.close();
      });
    });
  }

  test("two tabs that write at once number their entries apart and lose none", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const { bed } = (await garden.api("/api/brief")).walk[0];
      const before = (await garden.api("/api/health")).events;
      const other = await view.page.context().newPage();
      const tabs = [view.page, other];
      await Promise.all(tabs.map((tab) => tab.goto(`${garden.url}/write/work?bed=${bed}&work=water`)));
      await Promise.all(tabs.map((tab) => tab.locator("button.button-main:enabled").waitFor()));
      for (let round = 0; round < 5; round++) {
        await Promise.all(tabs.map(async (tab) => {
          await tab.locator("button.button-main").click();
          await tab.locator(".ending-saved").waitFor();
          await tab.getByRole("button", { name: "Washed off with water" }).click();
          await tab.locator(".ending-saved").waitFor({ state: "detached" });
        }));
      }
      const { events } = await garden.api(`/api/events?from=${before + 1}`);
      assert.equal(events.length, 10);
      assert.deepEqual(events.map((one) => one.event.writer_seq).sort((a, b) => a - b), Array.from({ length: 10 }, (_, i) => i + 1));
      assert.equal(new Set(events.map((one) => one.event.writer)).size, 1);
      assert.equal(await view.page.locator(".queue-note:not(.queue-quiet)").count(), 0);
      await view.close();
    });
  });

  test("a refusal by the server is shown as it says it, and nothing is written", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const { bed, pest } = (await garden.api("/api/brief")).walk[0];
      const before = (await garden.api("/api/health")).events;
      await view.go(`/write/count?bed=${bed}&pest=${pest}`);
      await view.page.locator(".pick").nth(1).locator("button").first().click();
      await view.page.locator('input[type="datetime-local"]').fill("2026-01-01T06:30");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-refused").waitFor();
      assert.equal((await garden.api("/api/health")).events, before);
      assert.equal(await view.page.locator(".queue-note:not(.queue-quiet)").count(), 0);
      await view.close();
    });
  });
});
