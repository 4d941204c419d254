// A power cut while files are written: whatever is on the disk then is whole.
import { readdirSync, readFileSync } from "node:fs";
import { setTimeout as pause } from "node:timers/promises";
import { expect, it } from "vitest";
import { Workshop } from "./harness";

it("leaves whole files only when the server is killed in mid-write", async () => {
  const shop = await Workshop.open();
  try {
    const names = readdirSync(shop.file("outlines"));
    const versions = new Map<string, Set<string>>();
    let cuts = 0;
    for (let round = 0; round < 12; round++) {
      const token = await shop.token();
      let writing = true;
      const write = async () => {
        for (let n = 0; writing; n++) {
          const there = (await (await fetch(`${shop.address}api/outlines/tug`)).json()) as { opening: unknown; digest: string };
          const title = `Tug ${round} ${n} ${"x".repeat(40 + (n % 50))}`;
          const body = JSON.stringify({ title, opening: there.opening });
          const headers = { "content-type": "application/json", "if-match": `"${there.digest}"`, "x-pinfold-token": token };
          await fetch(`${shop.address}api/outlines/tug`, { method: "PUT", headers, body });
        }
      };
      const ended = write().catch(() => undefined);
      await pause(25 + 17 * round);
      await shop.kill();
      writing = false;
      await ended;
      cuts += 1;
      // Every file is read whole, and is one of the versions that were sent.
      const text = readFileSync(shop.file("outlines/tug.toml"), "utf8");
      expect(text).toMatch(/^title = "Tug[^"\n]*"\nnumber = 1\ndrawing = """\n[^"]*"""\n$/);
      versions.set("tug", (versions.get("tug") ?? new Set()).add(text.split("\n")[0] ?? ""));
      expect(readdirSync(shop.file("outlines")).filter((n) => !n.startsWith(".pinfold-"))).toEqual(names);
      await shop.start();
      const project = (await (await fetch(`${shop.address}api/project`)).json()) as { outlines: unknown[] };
      expect(project.outlines).toHaveLength(names.length);
    }
    // The cuts did fall among writes.
    expect(cuts).toBe(12);
    expect(versions.get("tug")?.size).toBeGreaterThan(6);
  } finally {
    await shop.close();
  }
});
