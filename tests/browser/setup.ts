/** Before all tests: the command line is built, so that no test's time is spent on it. */
import { execFileSync } from "node:child_process";
import { join } from "node:path";

/** Builds it. */
export default function build(): void {
  execFileSync(
    process.env.CARGO ?? "cargo",
    ["build", "--quiet", "--bin", "evenfold"],
    { cwd: join(import.meta.dirname, "../.."), stdio: "inherit" },
  );
}
