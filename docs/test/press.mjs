// How long the whole demo job takes in the page, from the press of its button: till the
// answer stands, and till all that it rests on stands below it. First at once after
// opening, then after ten seconds of reading, each pressed three times.
//
//	node press.mjs SITE
import { resolve } from "node:path";
import { close, ready, start } from "./chromium.mjs";
import { finish } from "./support.mjs";

const { server, disk, visit, end } = await start(resolve(process.argv[2]));
for (const [base, where] of [[server.url, "from a server"], [disk, "from a folder"]]) {
  for (const reading of [0, 10]) {
    const page = await visit("live/job.html", { base });
    await ready(page);
    await page.waitForTimeout(1000 * reading);
    for (const press of ["first", "second", "third"]) {
      const { answer, whole } = await page.evaluate(async () => {
        const study = document.getElementById("study");
        const begun = performance.now();
        const until = (test) => new Promise((done) => {
          const look = () => (test() ? done(performance.now() - begun) : requestAnimationFrame(look));
          look();
        });
        delete study.dataset.first;
        study.dataset.state = "waiting";
        document.getElementById("demo").click();
        const answer = await until(() => study.dataset.first !== undefined && document.querySelector("#answer"));
        return { answer, whole: await until(() => study.dataset.state === "answered") };
      });
      console.log(`${where}, ${reading} s after opening, ${press} press: answer ${(answer / 1000).toFixed(2)} s, all of it ${(whole / 1000).toFixed(2)} s`);
    }
    await close(page);
  }
}
await end();
finish();
