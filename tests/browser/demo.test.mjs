// Both made-up jobs as the demo leaves them: the contradiction and the map's correction; then the
// electrician's part of the first job, taken by hand: own test, accept, work, release.
import assert from "node:assert/strict";
import { test } from "node:test";
import { LOOKS, inEveryLook, launch, looked, open, signIn } from "./browser.mjs";
import { startDemo } from "./desk.mjs";

test("both jobs as the demo leaves them: the contradiction, the correction, the refusals", async () => {
  const [browser, desk] = [await launch(), await startDemo([])];
  const found = [];
  try {
    await inEveryLook(browser, found, async (page, way) => {
      await signIn(page, desk);
      await looked(page, "demo-board", way, found);
      for (const job of ["J-0001", "J-0002"]) {
        await page.goto(`${desk.address}/jobs/${job}`);
        await looked(page, `demo-${job}`, way, found);
        await page.goto(`${desk.address}/jobs/${job}`);
        for (const hand of await page.locator("details.hand").all()) await hand.locator("summary").first().click();
        await looked(page, `demo-${job}-open`, way, found);
      }
      const contradicted = page.locator("tr.contradicts");
      assert.ok((await contradicted.count()) > 0, "the claim that the field contradicts");
      const seen = contradicted.first().locator("a").first();
      const href = await seen.getAttribute("href");
      await page.goto(`${desk.address}/jobs/J-0002${href}`);
      const entry = page.locator(`[id="${href.split("#")[1]}"]`);
      assert.ok(await entry.isVisible(), "what was seen stands in the timeline");
    });
    const { context, page } = await open(browser, LOOKS[2]);
    await signIn(page, desk);
    await page.goto(`${desk.address}/jobs/J-0001`);
    const picture = page.locator(".photos img").first();
    await picture.scrollIntoViewIfNeeded();
    await page.waitForFunction((one) => one.complete && one.naturalWidth > 0, await picture.elementHandle());
    await page.goto(`${desk.address}/jobs/J-0001?timeline=all`);
    assert.ok((await page.locator(".timeline li").count()) > 40);
    const answer = await context.request.get(`${desk.address}/corrections.geojson`);
    assert.ok((await answer.json()).features.length > 0, "the map's correction");
    await context.close();
  } finally {
    await browser.close();
    await desk.end();
  }
  assert.equal(found.join("\n"), "");
});

// Opens the form of an act where it is folded, and gives it.
async function form(page, act) {
  const one = page.locator(`form.act[action$="/${act}"]`);
  const folded = page.locator("details.more:not([open])", { has: one });
  if (await folded.count()) await folded.locator("summary").click();
  return one;
}

async function answer(page, act, answers) {
  const one = await form(page, act);
  for (const [field, value] of Object.entries(answers)) {
    const typed = one.locator(`[name="${field}"]`);
    if ((await typed.count()) === 0) continue;
    const kind = await typed.first().evaluate((e) => (e.tagName === "SELECT" ? "select" : e.type));
    if (kind === "select") await typed.selectOption(value);
    else if (kind === "radio" || kind === "checkbox") await one.locator(`[name="${field}"][value="${value}"]`).check({ force: true });
    else await typed.fill(value);
  }
  await one.locator("button").last().click();
}

const TESTER = {
  "instrument-name": "own-tester", "instrument-class": "low-impedance-voltmeter", category: "cat-iv", "category-volts": "600",
  range: "600", resolution: "0.1", "accuracy-percent": "1.5", "accuracy-counts": "5", "calibration-due": "2029-12-31",
};

test("a clearance is tested for, taken, held and released on the electrician's phone", async () => {
  const [browser, desk] = [await launch(), await startDemo(["--hold"])];
  const found = [];
  try {
    await inEveryLook(browser, found, async (page, way) => {
      await page.goto(desk.link);
      await looked(page, "demo-at-offered", way, found);
    });
    const { context, page, complaints } = await open(browser, LOOKS[0]);
    await page.goto(desk.link);
    const says = page.locator(".verdict strong");
    assert.match(await says.innerText(), /^Hands out/);
    await answer(page, "enter-instrument", TESTER);
    let points = 0;
    while (await page.locator(".points .next form").count()) {
      const field = await page.locator('.points .next [name^="volts-"]').first().getAttribute("name");
      if (points === 1) {
        await answer(page, "read-point", { [field]: "nothing", tester: "own-tester" });
        await page.getByRole("alert").getByRole("link").click();
        assert.equal(await page.evaluate(() => document.activeElement.name), field);
        await looked(page, "demo-at-unfit", LOOKS[0], found);
      }
      const known = field.includes("known-source");
      await answer(page, "read-point", { [field]: known ? "120.3" : "0.1", "known-source": "truck inverter", tester: "own-tester" });
      points += 1;
      assert.ok(points < 40, "the test comes to an end");
    }
    assert.ok(points > 4);
    await looked(page, "demo-at-accept", LOOKS[0], found);
    assert.match(await says.innerText(), /^Hands out.*accept/);
    await answer(page, "accept", {});
    assert.ok(await page.locator(".verdict.go").isVisible(), await page.locator("main").innerText());
    assert.match(await says.innerText(), /^You hold this clearance\. Nothing is closed/);
    await inEveryLook(browser, found, async (other, way) => {
      await other.goto(desk.link);
      await looked(other, "demo-at-held", way, found);
    });

    const at = await open(browser, LOOKS[2]);
    await signIn(at.page, desk);
    await at.page.goto(`${desk.address}/jobs/J-0001`);
    await at.page.locator(".clearance.held").waitFor();
    await looked(at.page, "demo-job-held", LOOKS[2], found);

    await answer(page, "work-done", { findings: "meter base replaced" });
    await answer(page, "release", { "all-clear": "yes" });
    assert.equal(await page.locator(".verdict.go").count(), 0);
    assert.equal((await page.goto(desk.link)).status(), 404, "the link ends with the clearance");
    await at.page.reload();
    assert.equal(await at.page.locator(".clearance.held").count(), 0);
    found.push(...complaints);
    await context.close();
  } finally {
    await browser.close();
    await desk.end();
  }
  assert.equal(found.join("\n"), "");
});
