import { expect, test } from "vitest";
import { Clock, shown, spoken } from "./clock.ts";

test("only running time counts", () => {
  let now = 1_000;
  const clock = new Clock(() => now, 5);
  expect(clock.seconds).toBe(5);
  clock.run();
  now += 2_500;
  clock.run();
  expect(clock.seconds).toBe(7.5);
  clock.stop();
  now += 60_000;
  expect([clock.seconds, clock.runs]).toEqual([7.5, false]);
  clock.run();
  now -= 10_000;
  expect(clock.seconds).toBe(7.5);
});

test("times are told", () => {
  expect([0, 67.9, 3750].map(shown)).toEqual(["0:00", "1:07", "1:02:30"]);
  expect([0.4, 61, 7200].map(spoken)).toEqual(["0 seconds", "1 minute 1 second", "2 hours"]);
});
