import { expect, test } from "vitest";
import { csv, message, moment, testerName } from "./plays.ts";

const play = { outline: "tug", seconds: 272, finished: true, started: "2026-05-04T10:11:12Z" };

test("a row a play, quoted where it must be", () => {
  const rows = csv('Ada "A", 3rd', [play, { ...play, finished: false, seconds: 1 }]);
  expect(rows).toBe(
    "tester,outline,minutes,finished,started\n" +
      '"Ada ""A"", 3rd",tug,4.53,yes,2026-05-04T10:11:12Z\n' +
      '"Ada ""A"", 3rd",tug,0.02,no,2026-05-04T10:11:12Z\n',
  );
});

test("a name is one line and no formula", () => {
  expect(testerName("  =1+1\n\tmore ")).toBe("1+1  more");
  expect(testerName("é".repeat(50))).toHaveLength(40);
  expect(testerName("@@-")).toBe("");
});

test("the workshop gets the same", () => {
  expect(JSON.parse(message("A", [play]))).toEqual({
    plays: [{ tester: "A", outline: "tug", minutes: 4.53, finished: true, started: play.started }],
  });
  expect(moment(new Date(Date.UTC(2026, 4, 4, 10, 11, 12, 345)))).toBe("2026-05-04T10:11:12Z");
});
