import assert from "node:assert/strict";
import { test } from "node:test";
import { blockOf, cardText, draftOf, emptyDraft, use } from "../src/card_lines";

test("a line that isn't copied is left out, one that says none says so", () => {
  const draft = emptyDraft();
  draft.card["product"] = { said: "says", value: "Demo \"Oil\"" };
  draft.card["restricted_use"] = { said: "says", value: "no" };
  draft.card["expires"] = { said: "none", value: "" };
  draft.card["registered_in"] = { said: "says", value: "US-WI, US-MN" };
  const text = cardText(draft);
  assert.match(text, /^\[card\]\nwhole = true\nproduct = "Demo \\"Oil\\""$/m);
  assert.match(text, /^restricted_use = false$/m);
  assert.match(text, /^expires = "none-stated"$/m);
  assert.match(text, /^registered_in = \["US-WI", "US-MN"\]$/m);
  assert.doesNotMatch(text, /first_aid|\[\[active\]\]|\[conditions\]/);
});

test("directions are written as the reader wants them", () => {
  const draft = emptyDraft();
  const one = blockOf(use);
  const say = (key: string, value: string) => { one[key] = { said: "says", value }; };
  say("crops", "BRSOK, group:4-16B");
  say("rate.min", "1 floz/gal");
  say("rate.max", "2 floz/gal");
  say("pests", "PLUTMA = 1 floz/gal, PIERRA");
  say("growth_stage", "10-49");
  say("reentry_hours", "12");
  say("pre_harvest_days", "0,5");
  say("max_active", "1.5 lb/acre per season");
  say("plant_back", "BRSOK 30, other 120");
  one["water.min"] = { said: "none", value: "" };
  draft.uses = [one];
  const text = cardText(draft);
  for (const line of [
    'crops = ["BRSOK", "group:4-16B"]', 'rate = { min = "1 floz/gal", max = "2 floz/gal" }', 'pests = [{ pest = "PLUTMA", rate = "1 floz/gal" }, "PIERRA"]',
    "growth_stage = [10, 49]", "reentry_hours = 12", "pre_harvest_days = 0.5", 'max_active = { amount = "1.5 lb/acre", per = "season" }',
    'plant_back = [{ crop = "BRSOK", days = 30 }, { crop = "other", days = 120 }]', 'water = { min = "none-stated" }',
  ]) assert.ok(text.split("\n").includes(line), `${line}\n${text}`);
});

test("a file's lines come back into the form, and what it has no line for stays", () => {
  const draft = draftOf({
    card: { product: "Demo", organic_listed: true, copied_on: "2026-03-02", restricted_use: "none-stated" },
    active: [{ name: "soap", content: "49 %" }],
    use: [{ crops: ["BRSOK"], rate: "1 floz/gal", growth_stage: [10, 49], max_product: { amount: "6 qt/acre", per: "year" } }],
    conditions: { max_temp_c: 29, bees: "visiting" },
    shaking: "before use",
  });
  assert.deepEqual(draft.card["organic_listed"], { said: "says", value: "yes" });
  assert.deepEqual(draft.card["restricted_use"], { said: "none", value: "" });
  assert.deepEqual(draft.card["expires"], { said: "not", value: "" });
  assert.equal(draft.uses[0]?.["rate.min"]?.value, "1 floz/gal");
  assert.equal(draft.uses[0]?.["rate.max"]?.value, "1 floz/gal");
  assert.equal(draft.uses[0]?.["growth_stage"]?.value, "10-49");
  assert.equal(draft.uses[0]?.["max_product"]?.value, "6 qt/acre per year");
  assert.equal(draft.conditions["max_temp"]?.value, "29C");
  assert.match(cardText(draft), /^"shaking" = "before use"$/m);
});
