// Sends plays to the workshop that served the page. A play that was sent before
// is known there by its tester, outline and start, so sending twice does no harm.

import { message, type Play } from "./plays.ts";

/** Whether the workshop took them. */
export async function sent(path: string, tester: string, plays: readonly Play[]): Promise<boolean> {
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: message(tester, plays),
    });
    return answer.ok;
  } catch {
    return false;
  }
}
