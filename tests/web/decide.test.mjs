// A bed's options compared, and an old crop pulled, in a real browser.
import assert from "node:assert/strict";
import { after, before, suite, test } from "node:test";
import { browser, open, problems, serveDemo, sizes } from "./program.mjs";

let running, garden;
before(async () => {
  [running, garden] = await Promise.all([browser(), serveDemo()]);
});
after(async () => {
  await running.close();
  await garden.stop();
});

async function opened(view) {
  await view.go("/beds/1");
  await view.page.locator("details.compare > summary").click();
  await view.page.locator("details.compare .compared").first().waitFor();
}

suite("deciding", () => {
  for (const size of ["phone", "desktop"])
    for (const [language, scheme] of [["en", "light"], ["es", "dark"]])
      test(`options compared and a bed pulled on a ${size}, ${language}, ${scheme}`, async () => {
        const view = await open(running, garden, size, language, scheme);
        await opened(view);
        const check = async (where) => {
          assert.deepEqual(await problems(view.page), [], where);
          assert.ok(!(await view.page.locator("main").innerText()).includes("⟦"), where);
          const wide = await view.page.evaluate(() => document.documentElement.scrollWidth);
          assert.ok(wide <= sizes[size].width, `${where}: ${wide} px wide`);
        };
        await check("/beds/1");
        await view.go("/beds/1/pull");
        await view.page.locator(".ranking").first().waitFor();
        await view.page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
        await check("/beds/1/pull");
        assert.deepEqual(view.complaints, []);
        await view.close();
      });

  test("every option stands in the API's order with its share and its spread, and what is refused with the card's line", async () => {
    const compare = await garden.api("/api/beds/1/compare");
    const view = await open(running, garden, "phone");
    await opened(view);
    const means = compare.pests.flatMap((one) => [...new Set(one.options.map((option) => option.name))]);
    assert.deepEqual(await view.page.locator(".compared > .option-name > strong").allTextContents(), means);
    const shares = compare.pests.flatMap((one) => one.options).filter((one) => one.means !== "nothing");
    assert.ok(shares.length >= 3);
    assert.equal(await view.page.locator(".compared .between-bar").count(), shares.length);
    const text = await view.page.locator("details.compare").innerText();
    for (const one of compare.pests.flatMap((pest) => [pest.gate, ...pest.why])) assert.ok(text.includes(one.text), one.text);
    const refused = compare.pests.flatMap((one) => one.refused).filter((one) => one.reasons.length > 0);
    assert.ok(refused.length > 0);
    for (const reason of refused.flatMap((one) => one.reasons)) {
      assert.ok(text.includes(reason.text), reason.text);
      if (reason.card_line > 0) assert.ok(text.includes(String(reason.card_line)), "the card's line");
    }
    await view.close();
  });

  test("a pulled bed's receivers stand in the API's order, told by word, and what nobody knows is said", async () => {
    const pull = await garden.api("/api/beds/1/pull");
    const view = await open(running, garden, "phone");
    await view.go("/beds/1/pull");
    const pest = pull.pests[0];
    const told = pest.plans[0].beds.filter((one) => one.risk !== "little");
    const shown = await view.page.locator("section").first().locator(".ranking").first().locator("a").allTextContents();
    assert.deepEqual(shown, told.map((one) => `Bed ${one.bed}`));
    assert.equal(await view.page.locator("section").first().locator(".pull-plan").count(), pest.plans.length - 1);
    const text = await view.page.locator("main").innerText();
    for (const one of [...pest.knows, ...pest.cannot_know]) assert.ok(text.includes(one.text), one.text);
    await view.close();
  });

  test("a bed nobody counted says so", async () => {
    const compare = await garden.api("/api/beds/10/compare");
    assert.notEqual(compare.nothing, null);
    const view = await open(running, garden, "phone");
    await view.go("/beds/10");
    await view.page.locator("details.compare > summary").click();
    await view.page.locator("details.compare .unknown").waitFor();
    assert.equal(await view.page.locator("details.compare .unknown").innerText(), compare.nothing.text);
    await view.close();
  });
});
