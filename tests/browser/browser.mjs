// A browser, the four ways a page is looked at, and what must hold on every page.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import AxeBuilder from "@axe-core/playwright";
import { chromium } from "playwright-core";

export const LOOKS = [
  { name: "phone-light", width: 390, height: 844, colorScheme: "light", hasTouch: true },
  { name: "phone-dark", width: 390, height: 844, colorScheme: "dark", hasTouch: true },
  { name: "desk-light", width: 1280, height: 900, colorScheme: "light", hasTouch: false },
  { name: "desk-dark", width: 1280, height: 900, colorScheme: "dark", hasTouch: false },
];

// WCAG levels, AAA contrast and target size among them, and good practice.
const TAGS = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const RULES = { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } };
const PAGE_BYTES = 60_000;

export const root = process.env.COLDLUG_ROOT ?? new URL("../..", import.meta.url).pathname;
export const shots = `${root}/target/pages/shots/`;
mkdirSync(shots, { recursive: true });

export function launch() {
  const args = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args });
}

// A window of one look. What the page complains of is gathered and must stay empty.
export async function open(browser, look, script = true) {
  const context = await browser.newContext({
    viewport: { width: look.width, height: look.height },
    colorScheme: look.colorScheme,
    hasTouch: look.hasTouch,
    javaScriptEnabled: script,
    deviceScaleFactor: 1,
  });
  const page = await context.newPage();
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(String(error)));
  page.on("console", (line) => {
    // The browser notes every answer of 400 and above; tests provoke those on purpose.
    if (line.type() === "error" && !/status of 4\d\d/.test(line.text())) complaints.push(line.text());
  });
  return { context, page, complaints };
}

// Visits in every look, each in a window that knows nobody; complaints are gathered in `found`.
export async function inEveryLook(browser, found, visit) {
  for (const look of LOOKS) {
    const { context, page, complaints } = await open(browser, look);
    await visit(page, look);
    found.push(...complaints);
    await context.close();
  }
}

export const press = (page, name) => page.getByRole("button", { name, exact: true }).click();

// A dispatcher comes in at a desk that tells its address, and whose name and password are known.
export async function signIn(page, { address, name, password }) {
  await page.goto(`${address}/sign-in`);
  await page.getByLabel("Name").fill(name);
  await page.getByLabel("Password").fill(password);
  await press(page, "Sign in");
  await page.waitForURL(`${address}/`);
}

export async function shot(page, name, look) {
  await page.screenshot({ path: `${shots}${name}-${look.name}.png`, fullPage: true });
}

export async function nothingFound(page, where) {
  const found = await new AxeBuilder({ page })
    .options({ runOnly: { type: "tag", values: TAGS }, rules: RULES })
    .analyze();
  const told = found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join(" | ")}`);
  assert.deepEqual(told, [], `${where}: ${told.join("\n")}`);
}

// Nothing runs out of the window, and hands find what they press.
export async function fits(page, where) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(wide <= 0, `${where}: ${wide} px too wide`);
  const least = (await page.evaluate(() => document.body.classList.contains("person"))) ? 56 : 44;
  const small = await page.evaluate((least) => {
    const pressed = "button, .button, summary, select, label.choice, nav a, input:not([type=hidden]):not([type=radio]):not([type=checkbox])";
    return [...document.querySelectorAll(pressed)]
      .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < least - 0.5)
      .map((one) => `${one.tagName} ${one.textContent.trim().slice(0, 30)} ${one.getBoundingClientRect().height}`);
  }, least);
  assert.deepEqual(small, [], `${where}: smaller than ${least} px`);
}

export async function light(page, where) {
  const bytes = await page.evaluate(() =>
    performance.getEntriesByType("resource").concat(performance.getEntriesByType("navigation"))
      .filter((one) => !/\/photos\//.test(one.name))
      .reduce((sum, one) => sum + one.encodedBodySize, 0));
  assert.ok(bytes > 0 && bytes < PAGE_BYTES, `${where}: ${bytes} bytes`);
}

// Looked at before anything else is done with the page: the tools leave styles of their own.
export async function bare(page, where) {
  const inline = await page.evaluate(() => document.querySelectorAll("[style], style, script:not([src])").length);
  assert.equal(inline, 0, `${where}: style or script in the page`);
  assert.equal(await page.locator("h1").count(), 1, `${where}: one first heading`);
}

// A whole page; what is wrong is gathered in `found`, so that one page does not hide the others.
export const looked = (page, name, look, found) => wholePage(page, name, look).catch((why) => found.push(why.message));

// Every sentence has what belongs into it, what is folded away included.
export async function said(page, where) {
  const text = await page.evaluate(() => document.body.textContent);
  const left = text.split("\n").filter((line) => line.includes("{$") || line.includes("{ $"));
  assert.deepEqual(left, [], where);
}

export async function wholePage(page, name, look) {
  const where = `${name} ${look.name}`;
  await bare(page, where);
  await said(page, where);
  await shot(page, name, look);
  await light(page, where);
  await fits(page, where);
  await nothingFound(page, where);
}
