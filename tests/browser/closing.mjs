// Tells what ran, and ends with one line that counts it.
export default async function* closing(events) {
  const counts = { passed: 0, failed: 0, skipped: 0 };
  const began = process.hrtime.bigint();
  for await (const { type, data } of events) {
    if (type === "test:stdout" || type === "test:stderr") yield data.message;
    if (type !== "test:pass" && type !== "test:fail") continue;
    // A file is counted by its tests, unless it could not even run.
    if (data.details?.type === "suite" || (type === "test:pass" && data.nesting === 0 && data.name.endsWith(".mjs"))) continue;
    const how = data.skip !== undefined ? "skipped" : type === "test:pass" ? "passed" : "failed";
    counts[how] += 1;
    yield `${how}: ${data.name}\n`;
    if (how === "failed") yield `${data.details?.error?.cause?.stack ?? data.details?.error?.stack ?? ""}\n`;
  }
  const seconds = Number(process.hrtime.bigint() - began) / 1e9;
  yield `${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped in ${seconds.toFixed(1)}s\n`;
}
