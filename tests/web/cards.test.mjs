// The cards' pages: the list, and a label copied line by line by thumb, in both languages.
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

const line = (page, name) => page.locator("fieldset.card-line", { has: page.locator("legend", { hasText: new RegExp(`^${name}$`) }) });

async function says(page, name, value) {
  const field = line(page, name).first();
  const button = field.locator("button.card-said").first();
  if ((await button.count()) > 0) await button.click();
  const input = field.locator("input, textarea");
  if ((await input.count()) > 0) await input.first().fill(value);
  else await field.locator("select").selectOption(value);
}

async function openAll(page) {
  // Each click takes one out of those still closed.
  const closed = page.locator("details.card-section:not([open]) > summary");
  while ((await closed.count()) > 0) await closed.first().click();
}

describe("label cards", () => {
  test("a label is copied, what can't be read is told beside its line, and it is kept beside the earlier text", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await view.go("/cards");
      await view.page.locator(".card-version").first().waitFor();
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "cards-phone.png"), fullPage: true });
      const before = (await garden.api("/api/cards")).cards;
      await view.page.locator("a.button-main").click();
      await view.page.locator("details.card-section").first().waitFor();
      await openAll(view.page);
      await says(view.page, "Product name", before[0].product);
      await says(view.page, "Registration number", "0012");
      await says(view.page, "Crops", "BRSOK, group:4-16B");
      await says(view.page, "Except", "BRSJU");
      await says(view.page, "Days before harvest", "-3");
      await view.page.locator(".card-send button").first().click();
      await view.page.locator(".card-line-wrong").waitFor();
      assert.match(await view.page.locator(".card-line-wrong legend").innerText(), /Days before harvest/);
      await says(view.page, "Days before harvest", "3");
      await line(view.page, "Use before").locator("button.card-said").nth(1).click();
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "card-phone.png"), fullPage: true });
      await view.page.locator(".card-send button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      assert.match(await view.page.locator(".card-groups").innerText(), /left out/);
      const after = (await garden.api("/api/cards")).cards;
      assert.equal(after.length, before.length + 1);
      const [was] = before;
      assert.equal(after.find((card) => card.digest === was.digest).in_use, false, "the earlier text is no longer in use");
      const fresh = after.find((card) => card.product === was.product && card.in_use);
      assert.equal(fresh.whole, true);
      const text = (await garden.api(`/api/cards/${fresh.digest}`)).text;
      assert.match(text, /^registration = "0012"$/m);
      assert.match(text, /^expires = "none-stated"$/m);
      assert.doesNotMatch(text, /interval_days/);
      // The earlier one stays readable.
      await view.go(`/cards/${was.digest}`);
      assert.equal(await view.page.locator("h1").innerText(), was.product);
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("in Spanish, on a phone, nothing is in another language or out of reach", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone", "es");
      await view.go("/cards/new");
      await view.page.locator("details.card-section").first().waitFor();
      await openAll(view.page);
      assert.doesNotMatch(await view.page.locator("main").innerText(), /⟦/);
      assert.match(await view.page.locator("h1").innerText(), /Copiar una etiqueta/);
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "card-phone-es.png"), fullPage: true });
      await view.close();
    });
  });
});
