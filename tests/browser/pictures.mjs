// Makes the two pictures of the README anew from the gallery: `node pictures.mjs` in the folder where
// the tests run.
import { mkdirSync } from "node:fs";
import { LOOKS, launch, root } from "./browser.mjs";

const folder = `${root}/tests/browser/pictures`;
mkdirSync(folder, { recursive: true });
const browser = await launch();
for (const [name, look, width, height] of [["job-contradicted", LOOKS[2], 1040, 640], ["at-test", LOOKS[0], 390, 844]]) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: look.colorScheme });
  await page.goto(`file://${root}/target/pages/${name}.html`);
  await page.screenshot({ path: `${folder}/${name}.png` });
}
await browser.close();
