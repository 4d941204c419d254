// The server as the pages see it: requests with the token, errors as problems,
// jobs and changes as they are told.
import type { JobView, OutlineView, PackView, PiecesView, Problem } from "../wire";

const token = () => document.querySelector<HTMLMetaElement>("meta[name=pinfold-token]")?.content ?? "";

/** What the server says when it does not do what was asked. */
export class Refused extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.mend ? `${problem.detail}: ${problem.mend}` : problem.detail);
    this.problem = problem;
  }

  /** Everything that is wrong, a sentence each. */
  get sentences(): string[] {
    const errors = (this.problem.errors ?? []) as unknown as Mistake[];
    if (errors.length === 0) return [this.message];
    return errors.map((e) => `${place(e)}${e.message}. ${capital(e.mend)}.`);
  }
}

/** A mistake in a file of the project. */
export interface Mistake {
  file: string | null;
  line: number | null;
  column: number | null;
  message: string;
  mend: string;
}

export function place(mistake: Mistake): string {
  if (!mistake.file) return "";
  return mistake.line ? `${mistake.file}, line ${mistake.line}, column ${mistake.column}: ` : `${mistake.file}: `;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

interface Call {
  method?: string;
  body?: unknown;
  match?: string;
  fresh?: boolean;
  signal?: AbortSignal;
}

/** One request; what comes back is what the interface's description says. */
export async function call<T>(path: string, { method = "GET", body, match, fresh, signal }: Call = {}): Promise<T> {
  const headers: Record<string, string> = { "x-pinfold-token": token() };
  if (body !== undefined) headers["content-type"] = "application/json";
  if (match !== undefined) headers["if-match"] = `"${match}"`;
  if (fresh) headers["if-none-match"] = "*";
  const init: RequestInit = { method, headers };
  if (body !== undefined) init.body = JSON.stringify(body);
  if (signal) init.signal = signal;
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new Refused(problem(0, "the workshop does not answer", "see whether its program still runs"));
  }
  const text = await response.text();
  const json: unknown = text === "" ? null : JSON.parse(text);
  if (!response.ok) throw new Refused(json as Problem);
  return json as T;
}

function problem(status: number, detail: string, mend: string): Problem {
  return { type: "about:blank", title: "", status, detail, mend };
}

/** Writes an outline over the version that was seen, or a new one. */
export function writeOutline(
  name: string,
  draft: { title: string; opening: OutlineView["opening"] },
  seen: string | null,
): Promise<OutlineView> {
  const path = `/api/outlines/${encodeURIComponent(name)}`;
  return call(path, { method: "PUT", body: draft, ...(seen === null ? { fresh: true } : { match: seen }) });
}

export function writePieces(pieces: PiecesView["pieces"], seen: string): Promise<PiecesView> {
  return call("/api/pieces", { method: "PUT", body: { pieces }, match: seen });
}

/** Writes the order of a pack into the set's file, over the version that was seen. */
export function writePack(name: string, outlines: string[], seen: string): Promise<PackView> {
  return call(`/api/packs/${encodeURIComponent(name)}`, { method: "PUT", body: { outlines }, match: seen });
}

/** Tells of changes of the project's files until it is told to end. */
export function onChange(tell: () => void): () => void {
  const source = new EventSource("/api/events");
  source.addEventListener("changed", tell);
  return () => source.close();
}

/** A job being watched. */
export interface Watched {
  /** Its last state. */
  over: Promise<JobView>;
  /** Ends it. */
  end: () => Promise<void>;
}

/** Begins a job and tells how it goes on. */
export async function begin(order: Record<string, unknown>, tell: (view: JobView) => void): Promise<Watched> {
  const begun = await call<JobView>("/api/jobs", { method: "POST", body: order });
  tell(begun);
  const source = new EventSource(`/api/jobs/${begun.id}/events`);
  const over = new Promise<JobView>((resolve) => {
    const take = (view: JobView) => {
      tell(view);
      if (view.stage === "done" || view.stage === "failed" || view.stage === "cancelled") {
        source.close();
        resolve(view);
      }
    };
    source.addEventListener("job", (event) => take(JSON.parse((event as MessageEvent<string>).data) as JobView));
    source.addEventListener("error", () => {
      if (source.readyState !== EventSource.CLOSED) return;
      call<JobView>(`/api/jobs/${begun.id}`).then(take, () => undefined);
    });
  });
  const end = async () => {
    await call(`/api/jobs/${begun.id}`, { method: "DELETE" });
  };
  return { over, end };
}
