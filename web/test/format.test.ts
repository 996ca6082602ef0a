import assert from "node:assert/strict";
import { test } from "node:test";
import { minutesBefore, withOffset } from "../src/clock";
import { about, addDays, daysBetween, fill, monthAndWeekday, time, weekday } from "../src/format";

test("figures are never more exact than they are known", () => {
  assert.equal(about(0.42, "en"), "0.4");
  assert.equal(about(1.234, "en"), "1.2");
  assert.equal(about(12.7, "en"), "13");
  assert.equal(about(437, "en"), "440");
  assert.equal(about(1234.5, "es"), "1,200");
  assert.equal(about(0, "en"), "0");
  assert.equal(about(0.01, "en"), "<0.05");
  assert.equal(about(Number.NaN, "en"), "?");
});

test("days are those of the calendar, whatever the reader's zone", () => {
  assert.equal(weekday("2026-06-13T23:59:00-05:00"), 6);
  assert.equal(weekday("2026-06-14"), 7);
  assert.equal(addDays("2026-02-27", 2), "2026-03-01");
  assert.equal(daysBetween("2026-03-07", "2026-03-09"), 2);
  assert.deepEqual(monthAndWeekday("2026-06-13", "es"), { month: "junio", weekday: "sábado" });
  assert.equal(time("2026-06-13T16:30:00-05:00"), "16:30");
});

test("templates fill as the server fills them", () => {
  assert.equal(fill("Bed {bed}: {n?one egg|{n} eggs}", { bed: "7", n: 1 }), "Bed 7: one egg");
  assert.equal(fill("Bed {bed}: {n?one egg|{n} eggs}", { bed: "7", n: 3 }), "Bed 7: 3 eggs");
  assert.equal(fill("{Crop} picked", { crop: "kale" }), "Kale picked");
  assert.equal(fill("{lost}", {}), "⟦lost⟧");
});

test("a garden's civil time gets its zone's offset, on both sides of a change", () => {
  assert.equal(withOffset("2026-06-13T06:30", "America/Chicago", "2026-01-01T00:00:00-06:00"), "2026-06-13T06:30:00-05:00");
  assert.equal(withOffset("2026-12-13T06:30", "America/Chicago", "2026-06-01T00:00:00-05:00"), "2026-12-13T06:30:00-06:00");
  assert.equal(withOffset("2026-03-08T01:59", "America/Chicago", ""), "2026-03-08T01:59:00-06:00");
  assert.equal(withOffset("2026-03-08T03:00", "America/Chicago", ""), "2026-03-08T03:00:00-05:00");
  assert.equal(withOffset("2026-06-13T06:30", "UTC", ""), "2026-06-13T06:30:00+00:00");
  assert.equal(withOffset("2026-06-13T06:30", "Nowhere/Land", "2026-06-13T00:00:00+05:30"), "2026-06-13T06:30:00+05:30");
});

test("a minute ago crosses midnight", () => assert.equal(minutesBefore("2026-06-01T00:00", 1), "2026-05-31T23:59"));
