// A spray from 'might treat' to the first harvest day, on a phone, in both languages: what refuses, the hours, the plan, the last look at
// the bed, the record, and what the board then says.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, open, pictures, problems, withGarden } from "./program.mjs";

let running;
before(async () => {
  running = await browser();
});
after(async () => {
  await running?.close();
});

const words = {
  en: { plan: "Plan it", no: "No", yes: "Yes", check: "Hold it against the limits", dont: /Don't begin/, may: /Nothing measured here speaks against/, made: "It has been sprayed as planned" },
  es: { no: "No", yes: "Sí", check: "Comparar con los límites", dont: /No empiece/, may: /Nada de lo medido aquí/ },
};

async function judged(garden) {
  const { beds, cards, at } = await garden.api("/api/garden");
  const out = {};
  for (const bed of beds.filter((one) => one.plantings.length > 0)) {
    for (const card of cards) {
      const response = await fetch(`${garden.url}/api/may-treat`, { method: "POST", headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ bed: bed.bed, product: card.product, rate: "1 floz/gal", on: at }) });
      out[(await response.json()).plantings[0].verdict] ??= { bed: bed.bed, product: card.product };
    }
  }
  return out;
}

async function askCard(view, { bed, product }) {
  await view.go(`/write/spray?bed=${bed}&product=${encodeURIComponent(product)}`);
  await view.page.locator('input[type="text"]').first().fill("1 floz/gal");
  await view.page.locator("button.button-main").click();
  await view.page.locator(".judged").first().waitFor();
}

describe("journey 5", () => {
  for (const language of ["en", "es"]) {
    const say = words[language];
    test(`from 'might treat' to the first harvest day (${language})`, async () => {
      await withGarden(async (garden) => {
        const found = await judged(garden);
        const allowed = found.allowed ?? found.conditional;
        assert.ok(allowed && found.refused, "the demo shows no permission or no refusal");
        const view = await open(running, garden, "phone", language);
        const { page } = view;

        await askCard(view, found.refused);
        assert.ok((await page.locator(".reason-refused .reason-field").count()) > 0, "no line of the card that refuses");
        assert.equal(await page.locator(".spray-hours").count(), 0, "hours are offered for what the card refuses");
        await page.screenshot({ path: join(pictures, `journey-5-refused-${language}.png`), fullPage: true });

        // The hours: as many cells as the program told, each with its mark, and open ones only where it said so.
        await askCard(view, allowed);
        await page.locator(".hour").first().waitFor();
        const query = `bed=${encodeURIComponent(allowed.bed)}&product=${encodeURIComponent(allowed.product)}`;
        await page.locator(".spray-hours .pick-one", { hasText: new RegExp(`^${say.no}$`) }).first().click();
        const told = await garden.api(`/api/spray-hours?${query}&in_flower=no`);
        await page.waitForFunction((open) => document.querySelectorAll(".hour-open").length === open, told.hours.filter((hour) => hour.open).length);
        assert.equal(await page.locator(".hour").count(), told.hours.length);
        assert.equal(await page.locator(".windows li").count(), told.windows.length);
        for (const cell of await page.locator(".hour").all().then((cells) => cells.slice(0, 12))) {
          assert.match(await cell.locator(".hour-mark").innerText(), /[●~×?]/);
          assert.ok((await cell.boundingBox()).height >= 44);
        }
        // One tab stop; arrows move, and what speaks against the hour is told below.
        assert.equal(await page.locator('.hour[tabindex="0"]').count(), 1);
        await page.locator('.hour[tabindex="0"]').focus();
        await page.keyboard.press("ArrowRight");
        assert.equal(await page.locator(':focus').getAttribute("data-hour"), "1");
        assert.ok((await page.locator(".hour-why .limit").count()) >= 8);
        assert.deepEqual(await problems(page), []);
        await page.screenshot({ path: join(pictures, `journey-5-hours-${language}.png`), fullPage: true });

        // The plan locks the bed.
        if (await page.locator(".confirm input").count()) await page.locator(".confirm input").check();
        await page.locator(".go .buttons button").first().click();
        await page.locator(".ending-saved").waitFor();
        const row = async () => (await garden.api("/api/board")).board.find((one) => one.bed === allowed.bed);
        assert.notEqual((await row()).enter, "yes");

        // At the bed: nothing answered, or calm, keeps it shut.
        const { plans } = await garden.api(`/api/beds/${encodeURIComponent(allowed.bed)}`);
        await view.go(`/write/plan?bed=${encodeURIComponent(allowed.bed)}&plan=${plans[0].id}`);
        await page.locator(".start-check").waitFor();
        const check = async () => {
          await page.getByRole("button", { name: say.check }).click();
          await page.locator(".start-check .limits").waitFor();
        };
        await check();
        assert.match(await page.locator(".start-check .no-way").innerText(), say.dont);
        const fields = page.locator('.start-check input[type="number"]');
        await fields.nth(0).fill("5");
        await fields.nth(1).fill("70");
        await fields.nth(2).fill("55");
        const questions = page.locator(".start-check fieldset");
        for (const [at, answer] of [[0, say.yes], [1, say.no], [2, say.yes], [3, say.yes], [4, say.no]]) {
          await questions.nth(at).locator(".pick-one", { hasText: new RegExp(`^${answer}$`) }).click();
        }
        await check();
        assert.match(await page.locator(".start-may").innerText(), say.may);
        assert.deepEqual(await problems(page), []);
        await page.screenshot({ path: join(pictures, `journey-5-start-${language}.png`), fullPage: true });
        await fields.nth(0).fill("1");
        await check();
        assert.match(await page.locator(".start-check .no-way").innerText(), say.dont);
        await fields.nth(0).fill("5");
        await check();

        // Sprayed, written down: the sign's hour and the first harvest day stand on the board, and the harvest page says not yet.
        if (await page.locator(".confirm input").count()) await page.locator(".confirm input").check();
        await page.locator(".go > button.button-main").click();
        await page.locator(".ending-saved").waitFor();
        const { events } = await garden.api("/api/health");
        const written = (await garden.api(`/api/events?from=${events}`)).events.at(-1).event;
        assert.equal(written.state, "made");
        assert.match(written.detail, /5 mph.*70 °F/, "the record keeps what was measured at the bed");
        const after = await row();
        assert.notEqual(after.enter, "yes");
        assert.notEqual(after.until, null);
        await view.go(`/write/harvest?bed=${encodeURIComponent(allowed.bed)}`);
        await page.locator("form.form").waitFor();
        if (after.pick !== "yes") await page.locator('.warning[role="alert"]').first().waitFor();
        assert.deepEqual(view.complaints, []);
        await view.close();
      });
    });
  }
});
