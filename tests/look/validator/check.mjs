// Prints what the Khronos glTF validator finds in each file named: {file: {errors, warnings, messages}}.
import { readFile } from "node:fs/promises";
import { validateBytes } from "gltf-validator";

const found = {};
for (const path of process.argv.slice(2)) {
  const report = await validateBytes(new Uint8Array(await readFile(path)), { maxIssues: 50 });
  const { numErrors: errors, numWarnings: warnings, messages } = report.issues;
  found[path] = { errors, warnings, messages: messages.map((m) => `${m.code} ${m.pointer ?? ""}: ${m.message}`) };
}
console.log(JSON.stringify(found));
