// Every page from made-up data: both widths, light and dark, with and without the script.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { after, before, test } from "node:test";
import { LOOKS, launch, open, root, wholePage } from "./browser.mjs";

const folder = `${root}/target/pages/`;
const names = readFileSync(`${folder}pages.txt`, "utf8").split("\n");
const POLICY = readFileSync(`${folder}policy.txt`, "utf8");
const KINDS = { html: "text/html; charset=utf-8", css: "text/css", js: "text/javascript" };
let browser, server, at;

before(async () => {
  server = createServer((asked, answer) => {
    const name = asked.url.slice(1).split(/[?#]/)[0];
    const text = /^[a-z-]+\.(html|css|js)$/.test(name) ? readFileSync(folder + name) : null;
    answer.writeHead(text ? 200 : 404, { "content-type": KINDS[name.split(".")[1]] ?? "text/plain", "content-security-policy": POLICY });
    answer.end(text ?? "");
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  at = `http://127.0.0.1:${server.address().port}`;
  browser = await launch();
});

after(async () => {
  await browser?.close();
  server?.close();
});

for (const look of LOOKS) {
  test(`every page, ${look.name}`, async () => {
    const { context, page, complaints } = await open(browser, look);
    const found = [];
    for (const name of names) {
      await page.goto(`${at}/${name}.html`);
      await wholePage(page, name, look).catch((why) => found.push(why.message));
    }
    assert.equal(found.join("\n"), "");
    assert.deepEqual(complaints, []);
    await context.close();
  });
}

test("the physical state is the first line of every job and electrician page", async () => {
  const { context, page } = await open(browser, LOOKS[0]);
  for (const name of names.filter((name) => /^(job|at)-/.test(name))) {
    await page.goto(`${at}/${name}.html`);
    const first = await page.evaluate(() => {
      const main = document.querySelector("main");
      const seen = [...main.querySelectorAll("*")].find((one) => one.children.length === 0 && one.textContent.trim() && one.checkVisibility());
      return Boolean(seen.closest(".physical"));
    });
    assert.ok(first, name);
  }
  await context.close();
});

test("switching goes slot by slot, with the script and without", async () => {
  for (const script of [true, false]) {
    const { context, page } = await open(browser, LOOKS[0], script);
    await page.goto(`${at}/at-switching.html`);
    for (const slot of ["1", "2", "3", "4"]) {
      const now = page.locator(`#slot-${slot}`);
      const box = await now.locator(".word").boundingBox();
      assert.ok(box && box.y > -1 && box.y < LOOKS[0].height, `slot ${slot} is not on the screen`);
      if (script) assert.equal(await page.locator(".slot:visible").count(), 1);
      await now.locator("a.button").click();
    }
    assert.match(page.url(), /#after-slots$/);
    assert.ok(await page.locator("button.act-end-run").isVisible());
    await context.close();
  }
});

test("a form that came back leads to what does not fit", async () => {
  const { context, page } = await open(browser, LOOKS[0]);
  await page.goto(`${at}/at-unfit.html`);
  const problem = page.locator("[data-first]");
  assert.ok(await problem.evaluate((one) => one === document.activeElement));
  await problem.locator("a").click();
  const field = page.locator("#read-point-volts");
  assert.ok(await field.evaluate((one) => one === document.activeElement));
  assert.equal(await field.inputValue(), "0,3 V");
  assert.equal(await field.getAttribute("inputmode"), "decimal");
  assert.ok(await field.evaluate((one) => document.getElementById(one.getAttribute("aria-describedby")) !== null));
  await context.close();
});

test("everything is reached by the keyboard", async () => {
  const { context, page } = await open(browser, LOOKS[2]);
  await page.goto(`${at}/at-accept.html`);
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
  const reached = new Set();
  for (let press = 0; press < 12; press += 1) {
    await page.keyboard.press("Tab");
    reached.add(await page.evaluate(() => document.activeElement.textContent.trim()));
  }
  const labels = await page.locator("button:visible, summary").allTextContents();
  for (const label of labels) assert.ok(reached.has(label.trim()), `${label}: ${[...reached]}`);
  await context.close();
});
