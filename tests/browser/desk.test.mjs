// A dispatcher's way through a real desk: from the first code to a job that phones can take up.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { LOOKS, inEveryLook, launch, looked, open, press, signIn, wholePage } from "./browser.mjs";
import { mapSheet, startDesk } from "./desk.mjs";
import { Phone } from "./phone.mjs";

const PASSWORD = "four grey herons standing";
let browser, desk;

before(async () => {
  [browser, desk] = await Promise.all([launch(), startDesk("browser-desk")]);
});

after(async () => {
  await browser?.close();
  await desk?.end();
});

// An id of some service of the made-up sheet.
function aService() {
  const sheet = JSON.parse(readFileSync(mapSheet, "utf8"));
  return sheet.features.map((one) => one.properties).find((one) => one.kind === "service").id;
}

// The electrician's page of a link, in every look, in windows that know nobody.
async function theirPage(link) {
  const complaints = [];
  await inEveryLook(browser, complaints, async (page, look) => {
    const answer = await page.goto(link);
    assert.equal(answer.status(), 200);
    await wholePage(page, "desk-at-where", look);
  });
  assert.deepEqual(complaints, []);
}

// The first dispatcher.
const who = () => ({ address: desk.address, name: "dispatcher-1", password: PASSWORD });

async function fresh(look = LOOKS[2], script = true) {
  const window = await open(browser, look, script);
  return window;
}

test("nobody comes in without a name, and nothing is learned outside", async () => {
  const { context, page } = await fresh();
  await page.goto(`${desk.address}/`);
  assert.match(page.url(), /\/(sign-in|start)$/);
  const seen = [];
  for (const path of ["/at/AAAAAAAAAAAAAAAAAAAAAA", "/at/nothing", "/no-such-page"]) {
    const answer = await page.goto(desk.address + path);
    assert.equal(answer.status(), 404, path);
    seen.push(await page.locator("main").innerText());
  }
  assert.equal(new Set(seen).size, 1, "every stranger reads the same");
  await wholePage(page, "desk-not-here", LOOKS[2]);
  await context.close();
});

test("the first dispatcher begins with the printed code, without the script", async () => {
  const { context, page } = await fresh(LOOKS[0], false);
  await page.goto(`${desk.address}/start`);
  await page.getByLabel("One-time code").fill("AAAAAAAAAA");
  await page.getByLabel("Name").fill("dispatcher-1");
  await page.getByLabel("New password").fill(PASSWORD);
  await press(page, "Begin");
  assert.ok(await page.getByRole("alert").isVisible(), "a wrong code is refused with its reason");
  assert.equal(await page.getByLabel("Name").inputValue(), "dispatcher-1");
  await page.getByLabel("One-time code").fill(desk.code);
  await page.getByLabel("New password").fill(PASSWORD);
  await press(page, "Begin");
  await page.waitForURL(`${desk.address}/`);
  await press(page, /Sign out/);
  await page.goto(`${desk.address}/`);
  assert.match(page.url(), /\/sign-in$/);
  await context.close();
});

test("map sheet, code for a phone, a job prepared", async () => {
  const { context, page, complaints } = await fresh();
  await signIn(page, who());

  await page.goto(`${desk.address}/map-sheets`);
  await page.getByLabel("Name", { exact: true }).fill("broken");
  await page.getByLabel("Map sheet (GeoJSON)").setInputFiles({ name: "broken.geojson", mimeType: "application/geo+json", buffer: Buffer.from("{}") });
  await press(page, "Take it in");
  assert.ok(await page.getByRole("alert").isVisible(), "a sheet that is none is refused with its reason");
  await page.getByLabel("Name", { exact: true }).fill("made-up-town");
  await page.getByLabel("Map sheet (GeoJSON)").setInputFiles(mapSheet);
  await press(page, "Take it in");
  await page.getByRole("heading", { name: /made-up-town/ }).waitFor();

  await page.goto(`${desk.address}/devices`);
  await page.getByLabel("Name of the device").fill("phone-pad");
  await page.getByLabel("Who carries it").fill("lineworker-1");
  await press(page, "Make a code");
  const code = await page.locator("[data-code]").innerText();
  assert.match(code, /^[A-Z0-9]{10}$/);
  const picture = page.locator(".qr svg");
  assert.ok((await picture.boundingBox()).width > 150);
  await wholePage(page, "desk-devices", LOOKS[2]);
  const phone = new Phone(desk.address, "phone-pad");
  const { desk_key: deskKey, person } = await phone.enrol(code);
  assert.equal(person, "lineworker-1");
  assert.ok(deskKey.startsWith(await page.locator(".code .letters").nth(1).innerText()), "the key's digits beside the code");
  await page.goto(`${desk.address}/devices`);
  assert.equal(await page.locator("[data-code]").count(), 0, "a code is shown once");

  await page.goto(`${desk.address}/jobs/new`);
  await page.getByLabel("Service, premises or meter").fill("zzzz");
  await press(page, "Find");
  assert.ok(await page.getByRole("status").first().isVisible());
  await wholePage(page, "desk-new-job-none", LOOKS[2]);
  await page.getByLabel("Service, premises or meter").fill(aService());
  await press(page, "Find");
  await page.getByLabel("Electrician 1").fill("electrician-1");
  await press(page, "Prepare the job");
  assert.ok(await page.getByRole("alert").isVisible(), "what is missing is said");
  await page.getByRole("radio").first().check({ force: true });
  await page.getByLabel("Meter base, both sides").check({ force: true });
  await page.getByRole("checkbox", { name: /lineworker-1/ }).check({ force: true });
  await page.getByLabel("Electrician 1").fill("electrician-1");
  await page.getByLabel("What the work is").fill("new meter base");
  await wholePage(page, "desk-new-job-found", LOOKS[2]);
  await press(page, "Prepare the job");
  await page.waitForURL(/\/jobs\/J-0001$/);
  assert.ok(await page.locator(".physical").first().isVisible());

  const { body, rest } = await phone.offer();
  assert.deepEqual(Object.keys(body.jobs), ["J-0001"]);
  assert.match(rest.toString(), /"job-opened"/);

  await press(page, "Make a link for electrician-1");
  const link = await page.locator("[data-link]").getAttribute("href");
  await wholePage(page, "desk-link", LOOKS[2]);
  await theirPage(link);

  await page.goto(`${desk.address}/jobs/J-0001`);
  await page.locator("summary", { hasText: "Stop, make safe" }).click();
  const stop = page.locator("details.more", { hasText: "Stop, make safe" });
  for (const field of await stop.locator("input:not([type=hidden])").all()) await field.fill("gas smell at the pad");
  await stop.getByRole("button").click();
  await page.locator(".verdict.stop").first().waitFor();
  assert.deepEqual(complaints, []);
  await context.close();
});

test("every page of the desk, both widths, light and dark", async () => {
  const found = [];
  await inEveryLook(browser, found, async (page, look) => {
    const visit = async (path) => {
      await page.goto(desk.address + path);
      await looked(page, `desk${path.replaceAll("/", "-")}`, look, found);
    };
    for (const path of ["/sign-in", "/start"]) await visit(path);
    await signIn(page, who());
    for (const path of ["/", "/jobs/new", "/map-sheets", "/devices", "/dispatchers", "/jobs/J-0001", "/jobs/none"]) await visit(path);
  });
  assert.equal(found.join("\n"), "");
});
