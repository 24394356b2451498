// Two files from one source: viewer.js, a module for the notebook view; page.js, a
// plain script for the client page. The licence of what they contain stands at their end.
import { readFile } from "node:fs/promises";
import { build } from "esbuild";

const licence = await readFile("node_modules/three/LICENSE", "utf8");

const common = {
  bundle: true,
  minify: true,
  target: "es2022",
  loader: { ".glsl": "text" },
  legalComments: "eof",
  footer: { js: `/*!\nthree.js\n${licence.trim()}\n*/` },
  charset: "utf8",
  logLevel: "warning",
};

await build({ ...common, entryPoints: ["src/viewer.js"], outfile: "dist/viewer.js", format: "esm" });
await build({ ...common, entryPoints: ["src/page.js"], outfile: "dist/page.js", format: "iife" });
