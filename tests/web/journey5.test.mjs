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
  en: { plan: "Plan it", no: "No", yes: "Yes", check: "Hold it against the limits", dont: /Don't begin/, may: /Nothing measured here speaks against/, advice: /advice speaks against/, despite: "Begin all the same", begin: "Begin now", early: "Kept apart until an authority answers" },
  es: { no: "No", yes: "Sí", check: "Comparar con los límites", dont: /No empiece/, may: /Nada de lo medido aquí/, advice: /el consejo está en contra/, despite: "Empezar de todos modos", begin: "Empezar ahora", early: "Apartado hasta que responda una autoridad" },
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
        for (const [at, answer] of [[0, say.yes], [1, say.no], [2, say.yes], [3, say.yes], [4, say.no], [5, say.no]]) {
          await questions.nth(at).locator(".pick-one", { hasText: new RegExp(`^${answer}$`) }).click();
        }
        await check();
        assert.match(await page.locator(".start-may").innerText(), say.may);
        assert.deepEqual(await problems(page), []);
        await page.locator(".start-check").screenshot({ path: join(pictures, `journey-5-start-${language}.png`) });
        // Calm air is advice, not the card's: begun all the same only by somebody who says why.
        await fields.nth(0).fill("1");
        await check();
        assert.match(await page.locator(".start-check .no-way").innerText(), say.advice);
        assert.ok(await page.getByRole("button", { name: say.despite }).isDisabled());
        await page.locator(".start-check .no-way input").fill("a hedge on every side");
        assert.ok(await page.getByRole("button", { name: say.despite }).isEnabled());
        await fields.nth(0).fill("5");
        await check();

        // Begun: what was measured stands in the ledger, and the page says since when.
        const last = async () => {
          const { events } = await garden.api("/api/health");
          return (await garden.api(`/api/events?from=${events}`)).events.at(-1).event;
        };
        await page.getByRole("button", { name: say.begin }).click();
        await page.locator(".begun").waitFor();
        const begun = await last();
        assert.equal(begun.kind, "spray_begun");
        assert.ok(Math.abs(begun.wind_m_s - 5 * 0.44704) < 1e-9 && Math.abs(begun.temperature_c - 190 / 9) < 1e-9 && begun.humidity === 0.55);
        assert.deepEqual([begun.people_clear, begun.in_flower, begun.dry, begun.dry_ahead, begun.drought, begun.overcast], [true, false, true, true, false, false]);
        assert.deepEqual(await problems(page), []);

        // Sprayed, written down: the sign's hour and the first harvest day stand on the board, and the harvest page says not yet.
        if (await page.locator(".confirm input").count()) await page.locator(".confirm input").check();
        await page.locator(".go > button.button-main").click();
        await page.locator(".ending-saved").waitFor();
        const written = await last();
        assert.equal(written.state, "made");
        assert.equal(written.plan, begun.plan);
        const { records } = await garden.api("/api/records?for=all");
        const record = records.find((one) => one.id === written.id);
        assert.equal(new Date(record.fields.started.at).getTime(), new Date(begun.happened_at).getTime(), "the record says when it was begun");
        const after = await row();
        assert.notEqual(after.enter, "yes");
        assert.notEqual(after.until, null);
        await view.go(`/write/harvest?bed=${encodeURIComponent(allowed.bed)}`);
        await page.locator("form.form").waitFor();
        await page.locator('.warning[role="alert"]').first().waitFor();

        // The harvest is refused before its day: by the page, and by the ledger. What was picked all the same is held.
        const before = (await garden.api("/api/health")).events;
        await page.locator("form.form > button.button-main").click();
        await page.locator(".ending-refused").waitFor();
        assert.equal((await garden.api("/api/health")).events, before, "a harvest before its day was written down as food");
        await page.screenshot({ path: join(pictures, `journey-5-harvest-${language}.png`), fullPage: true });
        assert.deepEqual(await problems(page), []);
        await page.locator(".pick-one", { hasText: say.early }).click();
        await page.locator("form.form > button.button-main").click();
        await page.locator(".ending-saved").waitFor();
        assert.equal((await last()).early, "held");
        assert.deepEqual(view.complaints.filter((line) => !line.includes("422")), [], "the refused harvest is the only complaint");
        await view.close();
      });
    });
  }
});
