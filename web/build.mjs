// Type-checks and bundles the pages into OUTDIR: index.html, app.js, app.css, and nothing else.
import { execFileSync } from "node:child_process";
import { copyFileSync, existsSync, mkdirSync, readdirSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const out = resolve(process.argv[2] ?? join(here, "dist"));

if (!existsSync(join(here, "node_modules", "esbuild"))) {
  console.error("leafturn: the page tools are missing (web/node_modules): run ./start --install, or: (cd web && npm ci)");
  process.exit(1);
}

try {
  execFileSync(join(here, "node_modules", ".bin", "tsc"), ["--noEmit", "-p", here], { stdio: "inherit" });
} catch {
  console.error("leafturn: the pages do not type-check (web/src): mend the lines above");
  process.exit(1);
}

const esbuild = await import("esbuild");
mkdirSync(out, { recursive: true });
await esbuild.build({
  entryPoints: { app: join(here, "src", "main.tsx") },
  outdir: out,
  bundle: true,
  minify: true,
  format: "esm",
  target: ["es2020"],
  jsx: "automatic",
  jsxImportSource: "preact",
  legalComments: "none",
  logLevel: "warning",
});
copyFileSync(join(here, "src", "index.html"), join(out, "index.html"));

const files = readdirSync(out).sort().join(" ");
if (files !== "app.css app.js index.html") {
  console.error(`leafturn: unexpected page files (${out}): ${files}`);
  process.exit(1);
}
