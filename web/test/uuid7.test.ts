import assert from "node:assert/strict";
import { test } from "node:test";
import { newId, uuid7 } from "../src/uuid7";

// RFC 9562, appendix A.6: the example of a version-7 UUID (from memory): time 0x017F22E279B0, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
test("the worked example of RFC 9562 comes out", () => {
  const random = Uint8Array.from([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  assert.equal(uuid7(0x017f22e279b0, random), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("version and variant hold for any random bytes, and time orders the ids", () => {
  for (const byte of [0x00, 0xff, 0x5a]) {
    assert.match(uuid7(1, new Uint8Array(10).fill(byte)), /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  }
  const ids = [1, 2, 255, 256, 1_780_000_000_000, 1_780_000_000_001].map((time) => uuid7(time, new Uint8Array(10).fill(7)));
  assert.deepEqual([...ids].sort(), ids);
});

test("a thousand ids of one millisecond differ", () => {
  assert.equal(new Set(Array.from({ length: 1000 }, () => newId(1_780_000_000_000))).size, 1000);
});
