// What the tests that run in Node share: the native examples and their output.

import { execFileSync } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = join(dirname(fileURLToPath(import.meta.url)), "..");

/** Runs a program and gives the lines of its standard output. */
export function output(program, words) {
  const options = { cwd: root, encoding: "utf8", maxBuffer: Infinity, stdio: ["ignore", "pipe", "inherit"] };
  return execFileSync(program, words, options).trim().split("\n");
}

/** A native example, built together with the whole workspace as the Rust tests build it. */
export function example(name) {
  const words = ["test", "--workspace", "--no-run", "--message-format=json-render-diagnostics"];
  const messages = output(process.env.CARGO ?? "cargo", words).map((line) => JSON.parse(line));
  const isIt = ({ target, executable }) => executable && target.name === name && target.kind.includes("example");
  return messages.find(isIt).executable;
}
