// Sprays: what the card says decides, a plan is carried out or called off, and nothing gets past a refusal.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, open, pictures, problems, serveDemo, withGarden } from "./program.mjs";

let running;
let demo;
before(async () => {
  running = await browser();
  demo = await serveDemo();
});
after(async () => {
  await running?.close();
  await demo?.stop();
});

describe("a spray", () => {
  // Every bed against every card, as the API judges them: the pages must agree.
  async function verdicts(garden) {
    const { beds: all, cards, at } = await garden.api("/api/garden");
    const out = {};
    for (const bed of all.filter((one) => one.plantings.length > 0)) {
      for (const card of cards) {
        const response = await fetch(`${garden.url}/api/may-treat`, { method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ bed: bed.bed, product: card.product, rate: "1 floz/gal", on: at }) });
        const answer = await response.json();
        out[answer.plantings[0].verdict] ??= { bed: bed.bed, product: card.product };
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

  for (const language of ["en", "es"]) {
    test(`refused or not known (${language}): reasons with the card's line, and no way past them`, async () => {
      const found = await verdicts(demo);
      assert.ok(found.refused, "the demo shows no refusal");
      const view = await open(running, demo, "phone", language);
      for (const verdict of ["refused", "unknown"]) {
        if (!found[verdict]) continue;
        await askCard(view, found[verdict]);
        assert.ok((await view.page.locator(`.reason-${verdict}`).count()) > 0);
        assert.match(await view.page.locator(`.reason-${verdict} .reason-field`).first().innerText(), /use|conditions|card|\d/);
        // Besides answers to choose, the only button is the question itself; the only way on is the page for what was already done.
        assert.equal(await view.page.locator("main button:not([aria-pressed])").count(), 1);
        assert.equal(await view.page.locator("main a.button").count(), 0);
        assert.equal(await view.page.locator('main a[href^="/write/outside-label"]').count(), 1);
        assert.deepEqual(await problems(view.page), []);
        await view.page.screenshot({ path: join(pictures, `spray-${verdict}-phone-${language}.png`), fullPage: true });
      }
      await view.close();
    });
  }

  test("allowed with conditions: they must be confirmed, cautions stand beside it, a plan locks the bed", async () => {
    await withGarden(async (garden) => {
      const found = await verdicts(garden);
      const allowed = found.conditional ?? found.allowed;
      assert.ok(allowed, "the demo shows no permission");
      const view = await open(running, garden, "desktop");
      await askCard(view, allowed);
      assert.ok(await view.page.locator(".answer-card .cautions").isVisible());
      const plan = view.page.getByRole("button", { name: "Plan it" });
      assert.ok(await plan.isDisabled());
      await view.page.locator(".confirm input").check();
      await view.page.screenshot({ path: join(pictures, "spray-conditional-desktop.png"), fullPage: true });
      // A changed question loses its answer.
      await view.page.locator('input[type="text"]').first().fill("2 floz/gal");
      assert.equal(await plan.count(), 0);
      await view.page.locator("button.button-main").click();
      await view.page.locator(".judged").first().waitFor();
      await view.page.locator(".confirm input").check();
      await plan.click();
      await view.page.locator(".ending-saved").waitFor();
      const row = (await garden.api("/api/board")).board.find((one) => one.bed === allowed.bed);
      assert.notEqual(row.enter, "yes", "a planned spray must lock its bed");
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  async function planIt(view, { bed, product }) {
    await askCard(view, { bed, product });
    if (await view.page.locator(".confirm input").count()) await view.page.locator(".confirm input").check();
    await view.page.getByRole("button", { name: "Plan it" }).click();
    await view.page.locator(".ending-saved").waitFor();
  }
  async function lastEvent(garden) {
    return (await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event;
  }
  const rowOf = async (garden, bed) => (await garden.api("/api/board")).board.find((one) => one.bed === bed);

  test("a plan is carried out from its bed, by its id: then the spray's own waits hold, and it can't be withdrawn", async () => {
    await withGarden(async (garden) => {
      const found = await verdicts(garden);
      const allowed = found.conditional ?? found.allowed;
      const view = await open(running, garden, "phone");
      await planIt(view, allowed);
      const plan = await lastEvent(garden);
      assert.equal((await rowOf(garden, allowed.bed)).until, null, "a plan locks without an end");
      await view.go(`/beds/${allowed.bed}`);
      assert.match(await view.page.locator(".plans").innerText(), new RegExp(allowed.product));
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "bed-planned-phone.png"), fullPage: true });
      await view.page.locator(".plans a.button[href^=\"/write/plan\"]").click();
      await view.page.locator(".judged").first().waitFor();
      assert.ok(await view.page.locator(".answer-card .cautions").isVisible());
      const made = view.page.getByRole("button", { name: "It has been sprayed as planned" });
      assert.ok(await made.isDisabled());
      await view.page.locator(".confirm input").check();
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "plan-phone.png"), fullPage: true });
      await made.click();
      await view.page.locator(".ending-saved").waitFor();
      const event = await lastEvent(garden);
      assert.equal(event.state, "made");
      assert.equal(event.plan, plan.id);
      const page = await garden.api(`/api/beds/${allowed.bed}`);
      assert.deepEqual(page.plans, []);
      const row = await rowOf(garden, allowed.bed);
      assert.notEqual(row.enter, "yes");
      assert.notEqual(row.until, null, "the card's waits end at a time");
      assert.ok(!row.text.includes("planned"));
      await view.go(`/beds/${allowed.bed}`);
      assert.equal(await view.page.locator(`.history a.undo[href$="id=${event.id}"]`).count(), 0);
      assert.match(await view.page.locator(".history").innerText(), /what was sprayed was sprayed/);
      await view.go(`/write/plan?bed=${allowed.bed}&plan=${plan.id}`);
      assert.match(await view.page.locator("main").innerText(), /made or called off already/);
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("a plan is called off from the spray page, after its verdict was shown again: the bed is free", async () => {
    await withGarden(async (garden) => {
      const found = await verdicts(garden);
      const allowed = found.conditional ?? found.allowed;
      const before = await rowOf(garden, allowed.bed);
      const view = await open(running, garden, "phone", "en");
      await planIt(view, allowed);
      const plan = await lastEvent(garden);
      await view.go(`/write/spray?bed=${allowed.bed}`);
      await view.page.locator(".plans a.button[href^=\"/write/plan\"]").click();
      await view.page.locator(".judged").first().waitFor();
      await view.page.getByRole("button", { name: "Call it off" }).click();
      await view.page.locator(".ending-saved").waitFor();
      const event = await lastEvent(garden);
      assert.equal(event.state, "cancelled");
      assert.equal(event.plan, plan.id);
      const after = await rowOf(garden, allowed.bed);
      assert.deepEqual([after.pick, after.enter, after.until], [before.pick, before.enter, before.until]);
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("already sprayed against its card: the consequence first, then the bed is locked until it is released", async () => {
    await withGarden(async (garden) => {
      const { refused } = await verdicts(garden);
      const view = await open(running, garden, "phone");
      await askCard(view, refused);
      await view.page.locator('main a[href^="/write/outside-label"]').click();
      await view.page.locator(".consequence").waitFor();
      assert.match(await view.page.locator(".consequence").innerText(), /do not pick or give away/);
      const submit = view.page.locator("button.button-main");
      assert.ok(await submit.isDisabled());
      await view.page.locator("textarea").fill("Sprayed last night before anyone had read the card.");
      assert.ok(await submit.isDisabled());
      await view.page.locator(".confirm input").check();
      await view.page.screenshot({ path: join(pictures, "outside-filled-phone.png"), fullPage: true });
      await submit.click();
      await view.page.locator(".ending-saved").waitFor();
      await view.go("/board");
      const row = view.page.locator(".board tbody tr", { has: view.page.locator(".board-bed", { hasText: new RegExp(`^${refused.bed}$`) }) });
      assert.match(await row.innerText(), /don't pick/);
      assert.match(await row.innerText(), /outside its label/);
      await view.go("/");
      assert.match(await view.page.locator(".entry").first().innerText(), /Locked[\s\S]*do not pick or give away/);
      await view.go(`/beds/${refused.bed}`);
      await view.page.screenshot({ path: join(pictures, "bed-locked-phone.png"), fullPage: true });
      await view.page.locator('a[href^="/write/release"]').click();
      await view.page.getByRole("button", { name: "An authority has answered" }).click();
      await view.page.locator("textarea").fill("Letter of 12 June: wait seven days.");
      await view.page.locator(".confirm input").check();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      assert.notEqual((await garden.api(`/api/beds/${refused.bed}`)).brief.urgency, "lock");
      await view.close();
    });
  });
});
