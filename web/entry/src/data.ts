// What the entry page is told, as crates/play writes it into the page.

import type { Told } from "@pinfold/page/data.ts";

export interface EntryData extends Told {
  /** What the race is called, if the page is for one. */
  race: string | null;
  /** Until when entries are taken, in words of the maker's. */
  until: string | null;
}
