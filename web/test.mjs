// Bundles test/*.test.ts and runs them with Node's own test runner.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const esbuild = await import("esbuild");
const out = mkdtempSync(join(tmpdir(), "leafturn-pages-"));
const tests = readdirSync(join(here, "test")).filter((name) => name.endsWith(".test.ts"));
await esbuild.build({
  entryPoints: tests.map((name) => join(here, "test", name)),
  outdir: out,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  platform: "node",
  format: "esm",
  jsx: "automatic",
  jsxImportSource: "preact",
  logLevel: "warning",
});
const run = spawnSync(process.execPath, ["--test", ...tests.map((name) => join(out, name.replace(/ts$/, "mjs")))], { stdio: "inherit" });
rmSync(out, { recursive: true });
process.exit(run.status ?? 1);
